"""Why a reading may not be what it seems: plain stories weighed against each other by what each would have sounded.

Conventions
-----------
Every story foretells a reading with a spread; its weight is the density of what was heard under it times how common it
is. The answer is a code; sentences are made in `app.wording`.
"""
from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from acoustics.belief import SURPRISE_SD, Belief, ClosureReading, Shift
from acoustics.breathier import leak_times
from acoustics.evidence import ChamberPlan, Closure, Stop
from acoustics.units import cents_between

_TWELFTH_CENTS = (1850.0, 2100.0)  # a stopped chamber overblows to a twelfth or up to 1.5 semitones more
_OCTAVE_CENTS = (1080.0, 1330.0)  # an open neighbour of about the same length
_LEAK_CENTS = np.geomspace(8.0, 80.0, 16)  # from a hair to a hole of 1 mm through a 4 mm plug; smaller ones alike rare
_ODD_CENTS = 600.0  # half the range of a reading that no story foretells
_SAME_NOTE_CENTS = 8.0
_SAME_DEPTH_MM = 0.3
_ROOT_2_PI = math.sqrt(2.0 * math.pi)
_SLIGHT_CENTS = 60.0  # a length some 4 mm wrong, or a window's share a third longer or shorter
_MISREAD_MM = 10.0  # a rule read one number off
_AIR_CENTS = 45.0  # 15 degrees at 2.95 cents each, untold
_SINCE_SHARE = 0.02  # of sets in which something was touched or the room changed untold; common practice, no source
COVERED_BLOWS = 2  # with a finger over the plug: from then on a leak is told by the difference

_NAMED_FROM = 0.95  # so much likelier than all others together must a leak be to be sealed unchecked, or not-sound be
_TOLD_FROM = 0.7  # what is not sound has a story when that is so much likelier than the others; else it is only odd
_LEAKS_FROM = 0.2  # once the check was made: sealing a sound plug costs little
_LEAST_BLOWS = 2

# How common each is among readings that reach the model; common practice, no source. What is left is sound.
_SHARES = {"leak": 0.05, "wrong_bore": 0.02, "not_cut": 0.02, "overblown": 0.02, "open_neighbour": 0.01, "odd": 0.01}
# Trims on a leaking plug may cost the plug, the check costs two blows: worth it from about this chance on; found on the
# bench, so that few sound plugs are checked.
_CHECKED_FROM = 0.06


class Story(StrEnum):
    """What may have happened; sentences are made in `app.wording`."""

    OVERBLOWN = "overblown"
    OPEN_NEIGHBOUR = "open_neighbour"
    WRONG_BORE = "wrong_bore"
    NOT_CUT = "not_cut"  # it still sounds as it did before the cut that was booked
    LEAK = "leak"
    ODD = "odd"
    BORE = "bore"  # a first reading off all others: the bore, or how deep it is stopped, was measured wrong
    LENGTH = "length"  # the plug was measured or booked wrong
    LENGTH_OR_VOICE = "length_or_voice"  # that, or window or fipple were touched since the chamber was read before
    VOICE = "voice"  # of the chambers blown now only this one reads otherwise than before
    CHANGED = "changed"  # the same face reads otherwise than before: its voice, or the air of all chambers
    AIR = "air"  # all chambers blown now read otherwise than before, the same way


# The note is off, and no other note fits.
UNEXPLAINED = frozenset({Story.ODD, Story.BORE, Story.LENGTH, Story.LENGTH_OR_VOICE})
SINCE = frozenset({Story.VOICE, Story.CHANGED, Story.AIR})  # told by blows of earlier sets on the same faces


@dataclass(frozen=True)
class Suspicion:
    """What may be wrong with a reading, and whether it is likely enough to be acted on or only to be checked."""

    story: Story
    likely_share: float  # 0 to 1, among all stories
    sure: bool


def suspicion_of(
    belief: Belief, chamber: ChamberPlan, closure: Closure, closures: Mapping[str, Closure]
) -> Suspicion | None:
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
    changed = change_of(reading)
    if changed is not None and changed.story is Story.AIR:
        return changed
    of_note = _suspicion_of_note(belief, chamber, closure, closures)
    if of_note is None or of_note.story in UNEXPLAINED and changed is not None:
        return changed
    return of_note


def change_of(reading: ClosureReading) -> Suspicion | None:
    """Whether what was blown last reads otherwise than before: all chambers of the set alike, or this one alone."""
    if reading.together is not None:
        likely = _moved_chance(reading.together, _AIR_CENTS)
        if likely >= _NAMED_FROM:
            return Suspicion(Story.AIR, likely, True)
    if reading.since is not None:
        likely = _moved_chance(reading.since, _SLIGHT_CENTS)
        if likely >= _NAMED_FROM:
            return Suspicion(Story.VOICE if reading.n_chambers > 1 else Story.CHANGED, likely, True)
    return None


def _suspicion_of_note(
    belief: Belief, chamber: ChamberPlan, closure: Closure, closures: Mapping[str, Closure]
) -> Suspicion | None:
    """From the reading as a whole, against what all other closures foretell."""
    reading = belief.readings[closure.id]
    chances = story_chances(belief, chamber, closure, closures)
    stories = {Story(name): chance for name, chance in chances.items() if name != "sound"}
    story = max(stories, key=lambda each: stories[each])
    if 0 < reading.n_covered < COVERED_BLOWS:  # a check that was begun is ended: it tells a leak from all else
        return Suspicion(Story.LEAK, stories[Story.LEAK], False)
    if stories[Story.LEAK] >= (_LEAKS_FROM if reading.n_covered >= COVERED_BLOWS else _NAMED_FROM):
        return Suspicion(Story.LEAK, stories[Story.LEAK], True)
    if chances["sound"] <= 1.0 - _NAMED_FROM and story is not Story.LEAK:
        told = story is not Story.ODD and stories[story] >= _TOLD_FROM
        return Suspicion(story if told else _unexplained(belief, chamber, closure), stories[story], True)
    if stories[Story.LEAK] >= _CHECKED_FROM and len(reading.deviations_cents) >= _LEAST_BLOWS:
        return Suspicion(Story.LEAK, stories[Story.LEAK], False)
    return None


def _unexplained(belief: Belief, chamber: ChamberPlan, closure: Closure) -> Story:
    """What foretells a reading that is merely off: both stories where one reading cannot tell them apart."""
    reading = belief.readings[closure.id]
    if closure.stop is not Stop.PLUG:
        return Story.BORE
    if abs(reading.surprise_cents) <= _SLIGHT_CENTS:
        read_before = any(
            other.letter == chamber.letter and other.last_at_s < reading.last_at_s
            for other in belief.readings.values()
        )
        return Story.LENGTH_OR_VOICE if read_before else Story.LENGTH
    slope = belief.predict(chamber, closure).per_depth_cents_per_mm
    beyond_cents = abs(abs(reading.surprise_cents) - _MISREAD_MM * slope)
    return Story.LENGTH if beyond_cents <= SURPRISE_SD * reading.surprise_cents_sd else Story.ODD


def suspicion_of_first(belief: Belief, chamber: ChamberPlan) -> tuple[ClosureReading, Suspicion | None] | None:
    """The same of what stopped a bore before it had a plug; None when nothing did.

    The other bores may have been blown instead, stopped as they were last before their own plugs.
    """
    firsts: dict[str, ClosureReading] = {}
    for reading in sorted(belief.readings.values(), key=lambda each: (each.last_at_s, each.closure_id)):
        if reading.stop is not Stop.PLUG:
            firsts[reading.letter] = reading
    if chamber.letter not in firsts:
        return None
    stops = {letter: Closure(each.closure_id, each.stop, each.depth_mm, 0.0) for letter, each in firsts.items()}
    doubt = _suspicion_of_note(belief, chamber, stops[chamber.letter], stops)
    return firsts[chamber.letter], doubt if doubt and doubt.story is not Story.LEAK else None


def _moved_chance(shift: Shift, most_cents: float) -> float:
    """That blows moved by anything up to so many cents, against chance alone."""
    if abs(shift.cents) >= most_cents:
        return 0.0
    moved = _SINCE_SHARE * _flat_density(shift.cents, -most_cents, most_cents)
    return moved / (moved + (1.0 - _SINCE_SHARE) * _density(shift.cents, max(shift.cents_sd, 0.1)))


def story_chances(
    belief: Belief, chamber: ChamberPlan, closure: Closure, closures: Mapping[str, Closure]
) -> dict[str, float]:
    """How likely each story is, "sound" among them; together 1."""
    reading = belief.readings[closure.id]
    off_cents, sd_cents = reading.surprise_cents, max(reading.surprise_cents_sd, 0.1)
    heard_cents = cents_between(reading.heard_hz, chamber.target_hz)
    weights = {
        "sound": (1.0 - sum(_SHARES.values())) * _density(off_cents, sd_cents),
        "leak": _SHARES["leak"] * _leak_density(closure, off_cents, sd_cents) * leak_times(reading.breathier),
        "wrong_bore": _SHARES["wrong_bore"] * _other_density(belief, chamber, heard_cents, reading, closures),
        "not_cut": _SHARES["not_cut"] * _before_density(belief, heard_cents, reading),
        "overblown": _SHARES["overblown"] * _flat_density(off_cents, *_TWELFTH_CENTS),
        "open_neighbour": _SHARES["open_neighbour"] * _flat_density(off_cents, *_OCTAVE_CENTS),
        "odd": _SHARES["odd"] * max(_flat_density(off_cents, -_ODD_CENTS, _ODD_CENTS), 1e-6),
    }
    total = sum(weights.values())
    return {name: weight / total for name, weight in weights.items()}


def was_surprising_here_before(belief: Belief, chamber: ChamberPlan, closure: Closure) -> bool:
    """Whether another closure of about this depth read the same surprise: then sealing or reseating did not help."""
    now = belief.readings[closure.id]
    return any(
        reading.closure_id != closure.id and reading.letter == chamber.letter
        and abs(reading.surprise_sd) > SURPRISE_SD and abs(reading.depth_mm - closure.depth_mm) < _SAME_DEPTH_MM
        and abs(cents_between(reading.heard_hz, now.heard_hz)) < _SAME_NOTE_CENTS
        for reading in belief.readings.values()
    )


def _density(off_cents: float, sd_cents: float) -> float:
    return math.exp(-0.5 * (off_cents / sd_cents) ** 2) / (sd_cents * _ROOT_2_PI)


def _flat_density(off_cents: float, low_cents: float, high_cents: float) -> float:
    return 1.0 / (high_cents - low_cents) if low_cents < off_cents < high_cents else 0.0


def _leak_density(closure: Closure, off_cents: float, sd_cents: float) -> float:
    """Any leak of a few to many cents, sharp; only wood can leak."""
    if closure.stop not in (Stop.PLUG, Stop.SLUG, Stop.CAP):
        return 0.0
    scores = (off_cents - _LEAK_CENTS) / sd_cents
    return float(np.exp(-0.5 * scores**2).mean()) / (sd_cents * _ROOT_2_PI)


def _before_density(belief: Belief, heard_cents: float, reading: ClosureReading) -> float:
    """As the face before sounded, when this one was moved away from it."""
    earlier = [
        other for other in belief.readings.values()
        if other.letter == reading.letter and other.stop is reading.stop and other.last_at_s < reading.last_at_s
    ]
    if not earlier:
        return 0.0
    last = max(earlier, key=lambda other: other.last_at_s)
    if abs(last.depth_mm - reading.depth_mm) <= _SAME_DEPTH_MM:
        return 0.0
    chamber = next(c for c in belief.plan.chambers if c.letter == reading.letter)
    apart_cents = heard_cents - cents_between(last.heard_hz, chamber.target_hz)
    return _density(apart_cents, math.hypot(_own_sd_cents(belief, reading), _own_sd_cents(belief, last)))


def _other_density(
    belief: Belief, chamber: ChamberPlan, heard_cents: float, reading: ClosureReading, closures: Mapping[str, Closure]
) -> float:
    """As one of the other plugs of this whistle should sound."""
    densities = []
    for other in belief.plan.chambers:
        closure = closures.get(other.letter)
        if other.letter == chamber.letter or closure is None or closure.id not in belief.readings:
            continue
        expected = belief.predict(other, closure)
        expected_cents = expected.deviation_cents + cents_between(other.target_hz, chamber.target_hz)
        sd_cents = math.hypot(expected.sd_cents, _own_sd_cents(belief, reading))
        densities.append(_density(heard_cents - expected_cents, sd_cents))
    return sum(densities) / len(densities) if densities else 0.0


def _own_sd_cents(belief: Belief, reading: ClosureReading) -> float:
    """How far a reading may lie from the note of its face: breath, air and seat."""
    priors = belief.priors
    breath = belief.blow_sd_cents / math.sqrt(len(reading.deviations_cents))
    seat_cents = priors.seat_sd_mm * 15.0  # a millimetre is 10 to 22 cents
    return math.sqrt(breath**2 + priors.set_sd_cents**2 + priors.seating_sd_cents**2 + seat_cents**2)
