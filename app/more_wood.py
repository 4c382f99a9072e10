"""How much larger body, blank, bit or bores must be for what is wished of them, as written: each size holds as read."""
from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from acoustics.air import Air
from acoustics.layout import body_diameter_mm, pitch_radius_mm
from acoustics.tuning import Priors
from acoustics.units import cents_between, shift_hz
from app.body import Body, Stock
from app.choices_of_chord import compass, shortest_bore_mm
from app.hole_plan import MEETING_MM, TRUING_LITTLE_MM, blank_side_mm, deepest_mm, least_wall_mm, window_from_end_mm
from app.remark import Lengths, listed
from app.whistle import Whistle
from app.whistle_limits import BODY_LIMITS, CHAMBER_LIMITS

_SAME_MM = 1e-6
_SAME_STEPS = 1e-4
_ROUNDING_MM = 1.0  # the longest bore that is thought of stays within its limit when it is written
_WORDS = {
    "circle_radius_mm": "a circle of radius {}", "diameter_mm": "a body of {}", "tenon_diameter_mm": "a tenon of {}",
    "blank_width_mm": "a blank of {}", "bore_length_mm": "bores {} long", "length_mm": "a body {} long",
    "blank_length_mm": "a blank {} long", "bit_reach_mm": "a bit that reaches {}",
}  # fmt: skip


def wood_for_bores(whistle: Whistle, n_bores: int, say: Lengths) -> dict[str, float]:
    """Sizes by key of the document under which it holds so many bores of the widest kind; only those that change.

    By the least wall, but outside the bores of a body that is not drawn, which is planned by the wanted one.
    """
    body, bores_mm = whistle.body, [max(chamber.bore_mm for chamber in whistle.chambers)] * n_bores
    least_mm = least_wall_mm(whistle)
    wall_mm = whistle.wall_mm if body.diameter_mm is None else least_mm
    tenon_saves_mm = 2.0 * (wall_mm - least_mm)  # a tenon is refused only under the least wall
    held_mm = min(body.diameter_mm or math.inf, (body.tenon_diameter_mm or math.inf) + tenon_saves_mm)
    sizes: dict[str, float] = {}
    radius_mm, smallest_mm = body.circle_radius_mm, pitch_radius_mm(bores_mm, least_mm)
    if radius_mm is not None:
        least_radius_mm = BODY_LIMITS["circle_radius_mm"].low
        over_mm = body_diameter_mm(bores_mm, wall_mm, radius_mm) - held_mm
        if radius_mm < smallest_mm - _SAME_MM or over_mm > _SAME_MM:
            radius_mm = sizes["circle_radius_mm"] = say.needed_mm(max(smallest_mm, least_radius_mm))
    across_mm = body_diameter_mm(bores_mm, wall_mm, radius_mm)
    if body.diameter_mm is not None and body.diameter_mm < across_mm - _SAME_MM:
        sizes["diameter_mm"] = say.needed_mm(across_mm)
    if body.tenon_diameter_mm is not None and body.tenon_diameter_mm < across_mm - tenon_saves_mm - _SAME_MM:
        sizes["tenon_diameter_mm"] = say.needed_mm(across_mm - tenon_saves_mm)
    side_mm = blank_side_mm(whistle)
    turned_mm = sizes.get("diameter_mm", body.diameter_mm or across_mm)
    thickest_mm = max(turned_mm, sizes.get("tenon_diameter_mm", body.tenon_diameter_mm or 0.0))
    if side_mm is not None and side_mm < thickest_mm + TRUING_LITTLE_MM - _SAME_MM:
        sizes["blank_width_mm"] = say.needed_mm(thickest_mm + TRUING_LITTLE_MM)
    return sizes


def bores_text(whistle: Whistle, n_bores: int, say: Lengths) -> str:
    """The same in words; empty when the wood holds them."""
    sizes = wood_for_bores(whistle, n_bores, say)
    return wood_text(sizes, say) if sizes else ""


def wood_for_note(whistle: Whistle, lowest_hz: float, say: Lengths, priors: Priors | None = None) -> dict[str, float]:
    """Sizes by key under which every bore is likely to reach down to this note; only those that change."""
    air = Air(whistle.air.temperature_c, whistle.air.relative_humidity, whistle.air.pressure_pa)
    bore_mm = say.needed_mm(max(shortest_bore_mm(c, lowest_hz, air, priors or Priors()) for c in whistle.chambers))
    body, stock = whistle.body, whistle.stock
    length_mm = bore_mm + window_from_end_mm(whistle)
    sizes: dict[str, float] = {}
    if min(chamber.bore_length_mm for chamber in whistle.chambers) < bore_mm:
        sizes["bore_length_mm"] = bore_mm
    if body.length_mm is not None and body.length_mm < length_mm:
        length_mm = sizes["length_mm"] = say.needed_mm(length_mm)
    if stock.blank_length_mm is not None and stock.blank_length_mm < length_mm + stock.chucking_mm:
        sizes["blank_length_mm"] = say.needed_mm(length_mm + stock.chucking_mm)
    if stock.bit_reach_mm is not None and deepest_mm(stock.bit_reach_mm) < length_mm:
        sizes["bit_reach_mm"] = say.needed_mm(0.5 * (length_mm + MEETING_MM))
    return sizes


def wood_for_span(
    whistle: Whistle, span_cents: float, on_hz: float, say: Lengths, priors: Priors | None = None
) -> dict[str, float] | None:
    """Sizes by key under which notes that span so much, whole semitones from `on_hz`, are likely to be in reach.

    Where the shortest bores will do, that is as high as they can be blown; None when no bore is long enough.
    """
    room = compass(with_long_bores(whistle), priors)
    if room.highest_likely_hz is None or room.lowest_likely_hz is None:
        return None
    n_steps = math.floor((cents_between(room.highest_likely_hz, on_hz) - span_cents) / 100.0 + _SAME_STEPS)
    lowest_hz = shift_hz(on_hz, 100.0 * n_steps)
    if lowest_hz < room.lowest_likely_hz:
        return None
    return wood_for_note(whistle, lowest_hz, say, priors)


def with_long_bores(whistle: Whistle) -> Whistle:
    """The same wood with nothing that keeps the bores short."""
    longest_mm = CHAMBER_LIMITS["bore_length_mm"].high - _ROUNDING_MM
    chambers = tuple(replace(chamber, bore_length_mm=longest_mm) for chamber in whistle.chambers)
    body = Body(window_from_end_mm=whistle.body.window_from_end_mm)
    return replace(whistle, chambers=chambers, body=body, stock=Stock())


def wood_text(sizes: Mapping[str, float], say: Lengths) -> str:
    """The sizes in words: "a body of 38.8 mm and a blank of 42 mm"."""
    return listed([_WORDS[key].format(say.needed(size_mm)) for key, size_mm in sizes.items()])
