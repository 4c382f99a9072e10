"""What a whistle document may hold: each limit with the mistake that most likely broke it."""
from __future__ import annotations

import difflib
import re
import uuid
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING, Any, NamedTuple, get_args, get_type_hints

from app.errors import WorldError

if TYPE_CHECKING:
    from app.whistle import Chamber, Whistle

MAX_TEXT_CHARACTERS = 200
MIN_CHAMBERS, MAX_CHAMBERS = 2, 6


class Limit(NamedTuple):
    low: float
    high: float
    hint: str


INCHES = "was it typed in inches?"
WHISTLE_LIMITS = {
    "a4_hz": Limit(390.0, 490.0, "concert pitch is 440"),
    "fipple_length_mm": Limit(4.0, 60.0, INCHES),
    "wall_mm": Limit(1.0, 20.0, INCHES),
    "lip_slope_deg": Limit(10.0, 80.0, "it is measured from the bore's axis, commonly 30 to 45"),
}
AIR_LIMITS = {
    "temperature_c": Limit(0.0, 40.0, "was it typed in degrees Fahrenheit?"),
    "relative_humidity": Limit(0.0, 1.0, "was it typed in percent? 50 % is 0.5"),
    "pressure_pa": Limit(60_000.0, 110_000.0, "was it typed in hectopascal?"),
}
CHAMBER_LIMITS = {
    "bore_mm": Limit(6.0, 20.0, INCHES),
    "bore_length_mm": Limit(40.0, 200.0, INCHES),
    "window_width_mm": Limit(2.0, 20.0, INCHES),
    "window_height_mm": Limit(1.5, 20.0, INCHES),
    "target_hz": Limit(200.0, 2500.0, "is it the note an octave away?"),
}
# Of what may be left unsaid; the keys are those of app.body.
UNSAID_CHAMBER_LIMITS = {
    "windway_flat_mm": Limit(0.2, 8.0, INCHES),
    "drift_outward_mm": Limit(-20.0, 20.0, "it is where the drill came out against where it was meant to"),
    "drift_clockwise_mm": Limit(-20.0, 20.0, "it is where the drill came out against where it was meant to"),
}
BODY_LIMITS = {
    "diameter_mm": Limit(15.0, 120.0, INCHES),
    "circle_radius_mm": Limit(4.0, 50.0, "it goes from the middle of the body to the middle of a bore"),
    "least_wall_mm": Limit(0.5, 20.0, INCHES),
    "length_mm": Limit(50.0, 400.0, INCHES),
    "window_from_end_mm": Limit(4.0, 80.0, INCHES),
    "tenon_diameter_mm": Limit(10.0, 120.0, INCHES),
    "tenon_length_mm": Limit(2.0, 60.0, INCHES),
    "mortise_depth_mm": Limit(2.0, 80.0, INCHES),
    "cap_length_mm": Limit(3.0, 150.0, INCHES),
    "mouthpiece_length_mm": Limit(10.0, 200.0, INCHES),
    "mouthpiece_chamber_diameter_mm": Limit(5.0, 100.0, INCHES),
    "mouthpiece_chamber_depth_mm": Limit(1.0, 150.0, INCHES),
    "grip_diameter_mm": Limit(15.0, 120.0, INCHES),
    "windway_flat_mm": Limit(0.2, 8.0, INCHES),
}
STOCK_LIMITS = {
    "blank_width_mm": Limit(15.0, 150.0, INCHES),
    "blank_height_mm": Limit(15.0, 150.0, INCHES),
    "blank_length_mm": Limit(50.0, 1000.0, INCHES),
    "bit_diameter_mm": Limit(5.0, 25.0, INCHES),
    "bit_reach_mm": Limit(20.0, 600.0, INCHES),
    "dowel_diameter_mm": Limit(5.0, 25.0, INCHES),
    "dowel_across_mm": Limit(5.0, 25.0, INCHES),
    "kerf_mm": Limit(0.1, 6.0, "it is the width of one saw cut, commonly 1 to 3"),
    "chucking_mm": Limit(0.0, 100.0, INCHES),
}


def require_document(whistle: Whistle, where: str) -> None:
    """WorldError for the first value outside its limit, or for chambers out of order."""
    _require_names(whistle, where)
    _require_limits(whistle, WHISTLE_LIMITS, where, "")
    _require_limits(whistle.air, AIR_LIMITS, where, "air.")
    _require_limits(whistle.body, BODY_LIMITS, where, "body.")
    _require_limits(whistle.stock, STOCK_LIMITS, where, "stock.")
    n_chambers = len(whistle.chambers)
    if not MIN_CHAMBERS <= n_chambers <= MAX_CHAMBERS:
        raise WorldError(f"{where}: chambers are {n_chambers}: from {MIN_CHAMBERS} to {MAX_CHAMBERS}.")
    for index, chamber in enumerate(whistle.chambers):
        _require_chamber(chamber, "ABCDEF"[index], where)
    _require_body(whistle, where)
    for lower, higher in zip(whistle.chambers, whistle.chambers[1:], strict=False):
        if not lower.target_hz < higher.target_hz:
            raise WorldError(
                f"{where}: chamber {higher.letter}'s target_hz is {higher.target_hz:g}, not above chamber"
                f" {lower.letter}'s {lower.target_hz:g}: chambers are lettered from the lowest note."
            )


def require_known_keys(raw: dict[str, Any], kind: type, where: str, place: str = "") -> None:
    """WorldError for a key the document does not have: a mistyped key must not silently become a default."""
    hints = get_type_hints(kind)
    for key, value in raw.items():
        if key not in hints:
            near = difflib.get_close_matches(key, hints, 1)
            meant = f": did you mean {near[0]}?" if near else "."
            raise WorldError(f"{where}: {place}{key} is not a key of a whistle document{meant}")
        for part in (hints[key], *get_args(hints[key])):
            if is_dataclass(part) and isinstance(part, type):
                inner = value if isinstance(value, list) else [value]
                for index, item in enumerate(inner):
                    if isinstance(item, dict):
                        at = f"{key}[{index}]." if isinstance(value, list) else f"{key}."
                        require_known_keys(item, part, where, chamber_place(place + at))


def chamber_place(place: str) -> str:
    """A place in the document with its chamber by letter: "chambers[1].bore_mm" is "chamber B's bore_mm"."""
    def lettered(found: re.Match[str]) -> str:
        letter = chr(ord("A") + int(found[1]))
        return f"chamber {letter}'s " if found[2] else f"chamber {letter}"

    return re.sub(r"chambers\[([0-5])\](\.?)", lettered, place)


def _require_names(whistle: Whistle, where: str) -> None:
    try:
        uuid.UUID(whistle.id)
    except ValueError:
        raise WorldError(f'{where}: id is "{whistle.id[:40]}": it must be a UUID.') from None
    if not whistle.name.strip():
        raise WorldError(f"{where}: name is empty: give the whistle a name or a number to be called by.")
    for field in fields(whistle):
        value = getattr(whistle, field.name)
        if isinstance(value, str) and len(value) > MAX_TEXT_CHARACTERS:
            raise WorldError(f"{where}: {field.name} has {len(value)} characters: at most {MAX_TEXT_CHARACTERS}.")
    if whistle.number is not None and not 1 <= whistle.number <= 9999:
        raise WorldError(f"{where}: number is {whistle.number}: from 1 to 9999.")
    if whistle.of is not None and (whistle.number is None or not whistle.number <= whistle.of <= 9999):
        raise WorldError(f"{where}: number is {whistle.number} of {whistle.of}: the second cannot be less.")


def _require_body(whistle: Whistle, where: str) -> None:
    """WorldError for sizes that contradict each other, whatever the wood."""
    body, stock = whistle.body, whistle.stock
    if body.least_wall_mm is not None and body.least_wall_mm > whistle.wall_mm:
        raise WorldError(
            f"{where}: body.least_wall_mm is {body.least_wall_mm:g}, more than the wanted wall_mm of"
            f" {whistle.wall_mm:g}: were the two swapped?"
        )
    narrowest_mm = min(chamber.bore_mm for chamber in whistle.chambers)
    if body.windway_flat_mm is not None and body.windway_flat_mm > 0.5 * narrowest_mm:
        raise WorldError(
            f"{where}: body.windway_flat_mm is {body.windway_flat_mm:g}, more than half a bore of {narrowest_mm:g}:"
            " it is what is taken off one side of the fipple."
        )
    if stock.dowel_across_mm is not None and stock.dowel_diameter_mm is None:
        raise WorldError(f"{where}: stock.dowel_across_mm is given without stock.dowel_diameter_mm: measure both ways.")
    if stock.blank_height_mm is not None and stock.blank_width_mm is None:
        raise WorldError(f"{where}: stock.blank_height_mm is given without stock.blank_width_mm: measure both sides.")
    if len(stock.dowel_wood) > MAX_TEXT_CHARACTERS:
        raise WorldError(f"{where}: stock.dowel_wood has {len(stock.dowel_wood)} characters: at most"
                         f" {MAX_TEXT_CHARACTERS}.")


def _require_chamber(chamber: Chamber, letter: str, where: str) -> None:
    if chamber.letter != letter:
        raise WorldError(
            f'{where}: a chamber\'s letter is "{chamber.letter[:8]}" where {letter} belongs: A is the lowest note.'
        )
    place = f"chamber {letter}'s "
    _require_limits(chamber, CHAMBER_LIMITS | UNSAID_CHAMBER_LIMITS, where, place)
    if chamber.windway_flat_mm is not None and chamber.windway_flat_mm > 0.5 * chamber.bore_mm:
        raise WorldError(
            f"{where}: {place}windway_flat_mm is {chamber.windway_flat_mm:g}, more than half its bore of"
            f" {chamber.bore_mm:g}: it is what is taken off one side of the fipple."
        )
    if len(chamber.note) > MAX_TEXT_CHARACTERS:
        raise WorldError(f"{where}: {place}note has {len(chamber.note)} characters: at most {MAX_TEXT_CHARACTERS}.")
    if chamber.window_width_mm > chamber.bore_mm:
        raise WorldError(
            f"{where}: {place}window_width_mm is {chamber.window_width_mm:g}, wider than its bore of"
            f" {chamber.bore_mm:g}: were width and height swapped?"
        )


def _require_limits(part: object, limits: dict[str, Limit], where: str, place: str) -> None:
    for key, (low, high, hint) in limits.items():
        value = getattr(part, key)
        if value is None:
            continue
        if not low <= value <= high:  # NaN fails too
            raise WorldError(f"{where}: {place}{key} is {value:g}: from {low:g} to {high:g}; {hint}{_stop(hint)}")


def _stop(hint: str) -> str:
    return "" if hint.endswith(("?", ".")) else "."
