"""What a chamber can play before any plug is cut: the note of its full bore, and how much plug the wanted note takes.

The window's share of the length is only good to about a fifth before the first blow (`acoustics.window`), so a note is
refused only when even an unusually large share would not bring the bore down to it.
"""
from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from acoustics.air import Air
from acoustics.bore import length_for_hz, resonance_hz
from acoustics.errors import NoSolutionError, OutOfRangeError
from acoustics.notes import Note, nearest_note
from acoustics.tuning import Priors
from acoustics.units import cents_between, inch_fraction_up, shift_hz
from acoustics.window import window_prior_mm
from app.whistle import Chamber, Whistle

OVERBLOWS_ABOVE_CENTS: Final = 500.0  # over its full-length note: common practice, no source
SPAN_CENTS: Final = 1200.0  # one window for all serves a chord about this wide


class Verdict(StrEnum):
    IN_REACH = "in_reach"
    LITTLE_PLUG = "little_plug"  # the wanted note leaves less plug than one bore's width
    SHORT = "short"  # the bore may be too short, first blows will tell
    TOO_SHORT = "too_short"  # the bore cannot play so low
    TOO_HIGH = "too_high"  # hardly any air would be left


@dataclass(frozen=True)
class Reach:
    """One chamber's reach; lengths by the prior, so about."""

    letter: str
    lowest_hz: float
    lowest_note: str
    highest_note: str  # of the equal scale, with the least air that may be left
    wanted_note: str
    plug_mm: float | None  # how deep the face would lie, None when no plug gives the note
    verdict: Verdict
    sentence: str = ""


def reaches(whistle: Whistle, units: str = "mm", priors: Priors | None = None) -> tuple[Reach, ...]:
    """The reach of every chamber, in order; `priors` of earlier whistles of the pattern narrow it."""
    air = Air(whistle.air.temperature_c, whistle.air.relative_humidity, whistle.air.pressure_pa)
    return tuple(reach(chamber, air, whistle.a4_hz, units, priors) for chamber in whistle.chambers)


def reach(
    chamber: Chamber, air: Air, a4_hz: float = 440.0, units: str = "mm", priors: Priors | None = None
) -> Reach:
    """How low the full bore speaks and what plug the wanted note takes."""
    priors = priors or Priors()
    share_mm = share_of(chamber.bore_mm, chamber.window_width_mm, chamber.window_height_mm, priors)
    large_mm = share_mm * math.exp(2.0 * share_log_sd(priors))
    lowest_hz = resonance_hz(chamber.bore_length_mm, share_mm, chamber.bore_mm, air)
    surely_above_hz = resonance_hz(chamber.bore_length_mm, large_mm, chamber.bore_mm, air)
    plug_mm = _plug_mm(chamber, share_mm, air)
    verdict = _verdict(chamber, surely_above_hz, plug_mm)
    lowest_note = str(nearest_note(lowest_hz, a4_hz))
    highest_hz = resonance_hz(shortest_air_mm(chamber), share_mm, chamber.bore_mm, air)
    highest_note = str(_not_above(highest_hz, a4_hz))
    wanted_note = chamber.note or str(nearest_note(chamber.target_hz, a4_hz))
    found = Reach(chamber.letter, lowest_hz, lowest_note, highest_note, wanted_note, plug_mm, verdict)
    return replace(found, sentence=_sentence(chamber, found, units))


def share_of(bore_mm: float, window_width_mm: float, window_height_mm: float, priors: Priors) -> float:
    """The window's share of the length in mm, as geometry and earlier whistles have it."""
    return window_prior_mm(bore_mm, window_width_mm, window_height_mm) * math.exp(priors.window_log)


def share_log_sd(priors: Priors) -> float:
    """Standard deviation of its logarithm, the pattern's part and the chamber's own together."""
    return math.hypot(priors.window_log_sd, priors.window_own_sd)


def shortest_air_mm(chamber: Chamber) -> float:
    """Less is no chamber: the plug's face would lie under the window, or nearer to the fipple than the bore is wide."""
    return max(chamber.bore_mm, chamber.window_height_mm)


def too_wide(whistle: Whistle) -> str:
    """A remark when one window serves a chord wider than an octave, else empty."""
    windows = {(chamber.window_width_mm, chamber.window_height_mm) for chamber in whistle.chambers}
    span_cents = cents_between(whistle.chambers[-1].target_hz, whistle.chambers[0].target_hz)
    if len(windows) > 1 or span_cents <= SPAN_CENTS:
        return ""
    return (
        f"The chord spans {span_cents / 100:.0f} semitones and all windows are alike: the lowest chamber will jump up "
        "first under one breath, so give the low ones longer windows."
    )


def _not_above(highest_hz: float, a4_hz: float) -> Note:
    """The highest note of the equal scale that is not above."""
    note = nearest_note(highest_hz, a4_hz)
    return note if note.deviation_cents >= 0.0 else nearest_note(shift_hz(highest_hz, -100.0), a4_hz)


def _plug_mm(chamber: Chamber, share_mm: float, air: Air) -> float | None:
    try:
        return chamber.bore_length_mm - length_for_hz(chamber.target_hz, share_mm, chamber.bore_mm, air)
    except (NoSolutionError, OutOfRangeError):
        return None


def _verdict(chamber: Chamber, surely_above_hz: float, plug_mm: float | None) -> Verdict:
    if chamber.target_hz < surely_above_hz:
        return Verdict.TOO_SHORT
    if plug_mm is None or chamber.bore_length_mm - plug_mm < shortest_air_mm(chamber):
        return Verdict.TOO_HIGH
    if plug_mm < 0:
        return Verdict.SHORT
    return Verdict.LITTLE_PLUG if plug_mm < chamber.bore_mm else Verdict.IN_REACH


def _sentence(chamber: Chamber, reach: Reach, units: str) -> str:
    full = f"{chamber.letter}'s full bore of {_about(chamber.bore_length_mm, units)} speaks about {reach.lowest_note}"
    wanted, plug_mm = reach.wanted_note, reach.plug_mm
    if reach.verdict is Verdict.TOO_SHORT:
        return f"{full} and hardly lower, so {wanted} cannot be reached: a longer bore, or a note an octave too low?"
    if reach.verdict is Verdict.TOO_HIGH or plug_mm is None:
        less = "less air than the bore is wide or the window long"
        highest = f"{reach.highest_note} is about the highest"
        return f"{full}; {wanted} would leave {less}: {highest}, or is it a note an octave too high?"
    if reach.verdict is Verdict.SHORT:
        return f"{full}; {wanted} may lie just below that, and the first blow will tell: leave the body long."
    if reach.verdict is Verdict.LITTLE_PLUG:
        return f"{full}; {wanted} takes only about {_about(plug_mm, units)} of plug, less than the bore is wide."
    far = cents_between(chamber.target_hz, reach.lowest_hz) > OVERBLOWS_ABOVE_CENTS
    slug = " and a slug for its first blow" if far else ""
    return f"{full}; {wanted} takes about {_about(plug_mm, units)} of plug{slug}."


def _about(length_mm: float, units: str) -> str:
    return f"{inch_fraction_up(length_mm, 8)} in" if units == "inch" else f"{length_mm:.0f} mm"
