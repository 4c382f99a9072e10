"""What can this wood play: which chords its body holds, and upon which lowest notes, as far as geometry can say.

Before the first blow the window's share of the length is known to about a fifth, so a root is `sure` when it is in
reach by two standard deviations, `likely` when it is by the mean, else `not`. What earlier whistles taught narrows it.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from acoustics.air import Air
from acoustics.bore import length_for_hz, resonance_hz, slopes_cents_per_mm
from acoustics.notes import CHORDS, Chord, chord_hz, nearest_note, note_hz
from acoustics.tuning import Priors
from acoustics.units import cents_between, shift_hz
from app.body import Body, Stock
from app.chord_kin import also_called, intervals_of
from app.hole_plan import TRUING_LITTLE_MM, blank_side_mm, body_and_holes, deepest_mm, refused, window_from_end_mm
from app.reach import share_log_sd, share_of, shortest_air_mm
from app.whistle import LETTERS, Chamber, Whistle
from app.whistle_limits import CHAMBER_LIMITS, MAX_CHAMBERS, MIN_CHAMBERS

SURE_SD = 2.0
# In bore widths: the least plug that holds, and the shortest air. Common practice, no source; the whistles that are
# described have air of five widths and more.
BITE_BORES, SHORT_AIR_SURE_BORES, SHORT_AIR_LIKELY_BORES = 1.0, 3.0, 2.0
_SAME_MM, _LITTLE_MM = 1e-6, 0.01
_SAME_CENTS = 0.01  # a root that is just the limit is within it


class Sureness(StrEnum):
    SURE = "sure"
    LIKELY = "likely"
    NOT = "not"


@dataclass(frozen=True)
class Compass:
    """Notes that one chamber of this wood can be given; all None when there is no room for plug and air."""

    lowest_sure_hz: float | None
    lowest_likely_hz: float | None
    highest_likely_hz: float | None
    highest_sure_hz: float | None
    sd_cents: float  # of the lowest note


@dataclass(frozen=True)
class ChordChoice:
    """One chord on this wood, by the notes its lowest chamber may have; None when there is none of that sureness."""

    chord: Chord
    intervals: str
    lowest_sure: str | None
    highest_sure: str | None
    lowest_likely: str
    highest_likely: str
    notes: tuple[str, ...]  # upon the lowest sure root, else upon the lowest likely one
    same_notes: tuple[str, ...]  # the other names of those very notes: "minor seventh on D"


def compass(whistle: Whistle, priors: Priors | None = None) -> Compass:
    """What every chamber of this whistle could be given, whatever its target is now."""
    air = Air(whistle.air.temperature_c, whistle.air.relative_humidity, whistle.air.pressure_pa)
    longest_mm = longest_bore_mm(whistle)
    each = [_compass(chamber, longest_mm, air, priors or Priors()) for chamber in whistle.chambers]
    if any(one.lowest_likely_hz is None for one in each):
        return Compass(None, None, None, None, max(one.sd_cents for one in each))
    return Compass(
        max(one.lowest_sure_hz or math.inf for one in each), max(one.lowest_likely_hz or math.inf for one in each),
        min(one.highest_likely_hz or 0.0 for one in each), min(one.highest_sure_hz or 0.0 for one in each),
        max(one.sd_cents for one in each),
    )


def longest_bore_mm(whistle: Whistle) -> float:
    """The longest bore that body, blank and bit allow; infinite when none of them was said."""
    body, stock = whistle.body, whistle.stock
    return longest_bore_of(body, stock, window_from_end_mm(whistle))


def longest_bore_of(body: Body, stock: Stock, window_from_end_mm: float) -> float:
    """Fipple face to plug end at most."""
    limits_mm = [math.inf]
    if body.length_mm is not None:
        limits_mm.append(body.length_mm)
    if stock.blank_length_mm is not None:
        limits_mm.append(stock.blank_length_mm - stock.chucking_mm)
    if stock.bit_reach_mm is not None:
        limits_mm.append(deepest_mm(stock.bit_reach_mm))
    return min(limits_mm) - window_from_end_mm


def most_chambers(whistle: Whistle, wall_mm: float | None = None) -> int:
    """How many bores of the widest kind can be drilled, with the wanted wall unless another is named; 0 for not two.

    Body, tenon, circle and blank count as far as they were said; of a body and a blank too thin for it the blank does.
    """
    wall_mm = wall_mm or whistle.wall_mm
    for n_bores in range(MAX_CHAMBERS, MIN_CHAMBERS - 1, -1):
        body, _ = body_and_holes(_of_widest(whistle, n_bores))
        if body.thinnest_mm >= wall_mm - _SAME_MM and not refused(body):
            return n_bores
    return 0


def _of_widest(whistle: Whistle, n_bores: int) -> Whistle:
    """The wood with so many bores of the widest kind, none of them drilled yet."""
    widest = max(whistle.chambers, key=lambda chamber: chamber.bore_mm)
    chambers = tuple(
        replace(widest, letter=letter, drift_outward_mm=None, drift_clockwise_mm=None) for letter in LETTERS[:n_bores]
    )
    side_mm, drawn_mm = blank_side_mm(whistle), whistle.body.diameter_mm
    if side_mm is not None and drawn_mm is not None:
        drawn_mm = min(drawn_mm, side_mm - TRUING_LITTLE_MM)
    return replace(whistle, chambers=chambers, body=replace(whistle.body, diameter_mm=drawn_mm))


def shortest_bore_mm(chamber: Chamber, lowest_hz: float, air: Air, priors: Priors) -> float:
    """The shortest bore of this width and window that is likely to be given `lowest_hz`, a plug's bite and air left.

    Raises NoSolutionError when no length of air sounds so high.
    """
    share_mm = share_of(chamber.bore_mm, chamber.window_width_mm, chamber.window_height_mm, priors)
    low_hz = shift_hz(lowest_hz, -priors.air_cents)
    air_mm = length_for_hz(low_hz, share_mm, chamber.bore_mm, air, priors.wall_loss)
    sure_mm = max(SHORT_AIR_SURE_BORES * chamber.bore_mm, shortest_air_mm(chamber))
    return max(air_mm, sure_mm + _LITTLE_MM) + BITE_BORES * chamber.bore_mm


def sureness(chord: Chord, root_hz: float, room: Compass, just: bool = False) -> Sureness:
    """How surely every note of the chord upon this root is in reach."""
    notes_hz = chord_hz(chord, root_hz, just)
    for verdict, low_hz, high_hz in (
        (Sureness.SURE, room.lowest_sure_hz, room.highest_sure_hz),
        (Sureness.LIKELY, room.lowest_likely_hz, room.highest_likely_hz),
    ):
        if low_hz is not None and high_hz is not None and _within(notes_hz, low_hz, high_hz):
            return verdict
    return Sureness.NOT


def choices(
    room: Compass, n_most: int, a4_hz: float = 440.0, chords: Sequence[Chord] = CHORDS
) -> tuple[ChordChoice, ...]:
    """Every chord that has a likely root here: most chambers first, then the one with most sure roots."""
    found = []
    for chord in chords:
        sure = _roots(chord, room.lowest_sure_hz, room.highest_sure_hz, a4_hz)
        likely = _roots(chord, room.lowest_likely_hz, room.highest_likely_hz, a4_hz)
        if likely and len(chord.equal_steps) <= n_most:
            found.append((len(chord.equal_steps), len(sure), _choice(chord, sure, likely, a4_hz)))
    found.sort(key=lambda one: (-one[0], -one[1]))
    return tuple(choice for _, _, choice in found)


def _compass(chamber: Chamber, longest_mm: float, air: Air, priors: Priors) -> Compass:
    bore_mm = chamber.bore_mm
    share_mm = share_of(bore_mm, chamber.window_width_mm, chamber.window_height_mm, priors)
    longest_air_mm = min(chamber.bore_length_mm, longest_mm) - BITE_BORES * bore_mm
    sure_mm, likely_mm = (
        max(n_bores * bore_mm, shortest_air_mm(chamber)) for n_bores in (SHORT_AIR_SURE_BORES, SHORT_AIR_LIKELY_BORES)
    )
    if longest_air_mm <= sure_mm:
        return Compass(None, None, None, None, math.inf)
    low_hz, low_sd_cents = _note(longest_air_mm, share_mm, bore_mm, air, priors)
    high_hz, _ = _note(likely_mm, share_mm, bore_mm, air, priors)
    high_sure_hz, high_sd_cents = _note(sure_mm, share_mm, bore_mm, air, priors)
    least_hz, most_hz, _ = CHAMBER_LIMITS["target_hz"]
    return Compass(
        max(shift_hz(low_hz, SURE_SD * low_sd_cents), least_hz), max(low_hz, least_hz),
        min(high_hz, most_hz), min(shift_hz(high_sure_hz, -SURE_SD * high_sd_cents), most_hz), low_sd_cents,
    )


def _note(air_mm: float, share_mm: float, bore_mm: float, air: Air, priors: Priors) -> tuple[float, float]:
    """Note of a length of air, and its standard deviation in cents before any blow."""
    note_at_hz = resonance_hz(air_mm, share_mm, bore_mm, air, priors.wall_loss)
    _, per_window = slopes_cents_per_mm(note_at_hz, air_mm, share_mm, bore_mm, air, priors.wall_loss)
    sd_cents = math.hypot(per_window * share_mm * share_log_sd(priors), priors.air_sd_cents)
    return shift_hz(note_at_hz, priors.air_cents), sd_cents


def _within(notes_hz: Sequence[float], low_hz: float, high_hz: float) -> bool:
    return (
        cents_between(min(notes_hz), low_hz) >= -_SAME_CENTS and cents_between(max(notes_hz), high_hz) <= _SAME_CENTS
    )


def _roots(chord: Chord, low_hz: float | None, high_hz: float | None, a4_hz: float) -> tuple[str, ...]:
    """Roots of the equal scale, lowest first, upon which the whole chord lies within the limits."""
    if low_hz is None or high_hz is None:
        return ()
    lowest = math.ceil(cents_between(low_hz, a4_hz) / 100.0 - 1e-4)
    highest = math.floor(cents_between(high_hz, a4_hz) / 100.0 + 1e-4) - max(chord.equal_steps)
    return tuple(str(nearest_note(shift_hz(a4_hz, 100.0 * step), a4_hz)) for step in range(lowest, highest + 1))


def _choice(chord: Chord, sure: Sequence[str], likely: Sequence[str], a4_hz: float) -> ChordChoice:
    root_hz = note_hz((sure or likely)[0], a4_hz)
    return ChordChoice(
        chord, intervals_of(chord), sure[0] if sure else None, sure[-1] if sure else None, likely[0], likely[-1],
        tuple(str(nearest_note(hz, a4_hz)) for hz in chord_hz(chord, root_hz)),
        also_called(chord, root_hz, a4_hz),
    )
