"""Why a reading may not be what it seems: the likeliest plain story of a surprise, as a code."""
from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from acoustics.belief import SURPRISE_SD, Belief, ClosureReading
from acoustics.evidence import ChamberPlan, Closure, Stop
from acoustics.units import cents_between

_TWELFTH_CENTS = (1850.0, 2100.0)  # a stopped chamber overblows to a twelfth or up to 1.5 semitones more
_OCTAVE_CENTS = (1080.0, 1330.0)  # an open neighbour of about the same length
_LEAK_CENTS = 80.0  # a hole of 1 mm through a 4 mm plug; a larger one hardly speaks
_SAME_NOTE_CENTS = 8.0
_SAME_DEPTH_MM = 0.3


class Story(StrEnum):
    """What may have happened; sentences are made in `app.wording`."""

    OVERBLOWN = "overblown"
    OPEN_NEIGHBOUR = "open_neighbour"
    WRONG_BORE = "wrong_bore"
    NOT_CUT = "not_cut"  # it still sounds as it did before the cut that was booked
    LEAK = "leak"
    ODD = "odd"


def story_of(belief: Belief, chamber: ChamberPlan, closure: Closure, closures: Mapping[str, Closure]) -> Story | None:
    """The likeliest story of the blows on one closure; None when they are no surprise.

    Parameters
    ----------
    belief : Belief
    chamber : ChamberPlan
    closure : Closure
        Of that chamber, blown at least once.
    closures : mapping of letter to Closure
        What is in the other bores, as far as it is known.
    """
    reading = belief.readings[closure.id]
    disbelieved = reading.n_believed < 0.5 * len(reading.deviations_cents)
    if not disbelieved and abs(reading.surprise_sd) <= SURPRISE_SD:
        return None
    off_cents = _heard_above_foretold(belief, chamber, closure, reading)
    if _TWELFTH_CENTS[0] < off_cents < _TWELFTH_CENTS[1]:
        return Story.OVERBLOWN
    if _OCTAVE_CENTS[0] < off_cents < _OCTAVE_CENTS[1]:
        return Story.OPEN_NEIGHBOUR
    if _sounds_as_before(belief, reading):
        return Story.NOT_CUT
    if _sounds_like_another(belief, chamber, reading, closures):
        return Story.WRONG_BORE
    sealed_by_wood = closure.stop in (Stop.PLUG, Stop.SLUG, Stop.CAP)
    return Story.LEAK if sealed_by_wood and 0.0 < off_cents < _LEAK_CENTS else Story.ODD


def was_surprising_here_before(belief: Belief, chamber: ChamberPlan, closure: Closure) -> bool:
    """Whether another closure of about this depth read the same surprise: then sealing or reseating did not help."""
    now = belief.readings[closure.id]
    return any(
        reading.closure_id != closure.id and reading.letter == chamber.letter
        and abs(reading.surprise_sd) > SURPRISE_SD and abs(reading.depth_mm - closure.depth_mm) < _SAME_DEPTH_MM
        and abs(cents_between(reading.heard_hz, now.heard_hz)) < _SAME_NOTE_CENTS
        for reading in belief.readings.values()
    )


def _heard_above_foretold(
    belief: Belief, chamber: ChamberPlan, closure: Closure, reading: ClosureReading
) -> float:
    foretold_cents = belief.predict(chamber, closure).deviation_cents - belief.posterior.value(("fault", closure.id))
    return cents_between(reading.heard_hz, chamber.target_hz) - foretold_cents


def _sounds_as_before(belief: Belief, reading: ClosureReading) -> bool:
    earlier = [
        other for other in belief.readings.values()
        if other.letter == reading.letter and other.last_at_s < reading.last_at_s
    ]
    if not earlier:
        return False
    last = max(earlier, key=lambda other: other.last_at_s)
    was_moved = abs(last.depth_mm - reading.depth_mm) > _SAME_DEPTH_MM
    return was_moved and abs(cents_between(last.heard_hz, reading.heard_hz)) < _SAME_NOTE_CENTS


def _sounds_like_another(
    belief: Belief, chamber: ChamberPlan, reading: ClosureReading, closures: Mapping[str, Closure]
) -> bool:
    for other in belief.plan.chambers:
        closure = closures.get(other.letter)
        if other.letter == chamber.letter or closure is None or closure.id not in belief.readings:
            continue
        if abs(cents_between(reading.heard_hz, belief.readings[closure.id].heard_hz)) < _SAME_NOTE_CENTS:
            return True
    return False
