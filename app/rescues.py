"""What is left when wood has run out: ways out for a flat plug, and what a bore too short can still play.

Only a flush plug can be flat for good: a sliding one is pushed in again. Amounts lead to where the advice would put the
face, so that this list and the bench never name two figures for one thing.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from acoustics.notes import nearest_note
from acoustics.rescue import FlatPlug, flat_plug, lower_chord, lowest_hz, playable_chords, semitones_about, tightest
from acoustics.tuning import Action, Advice, Belief, Closure
from acoustics.units import cents_between, shift_hz
from app.asking import settled
from app.chord_kin import intervals_of
from app.chord_stage import closure_on
from app.events import Route
from app.paper.chord_name import chord_of
from app.place import Place
from app.whistle import Whistle

LEAST_DISC_MM = 0.5  # thinner than a veneer, it cannot be handled; common practice, no source
LEAST_WOOD_MM = 0.05  # less is nothing on the calipers
LEAST_SHIFT_CENTS = 0.5
MOST_OF_EACH = 3  # roots of the wished chord, then other chords
MARGIN_SD = 2.0  # of plug to spare, for a chord that is said to be in reach
_OCTAVE = 12


@dataclass(frozen=True)
class Wood:
    """What one plug loses when the whole chord comes down."""

    letter: str
    take_off_mm: float
    sd_mm: float


@dataclass(frozen=True)
class Lowering:
    """The whole chord down, by the least that every plug can reach by trimming."""

    shift_cents: float  # below zero
    sd_cents: float
    lowered_cents: float  # off its document's notes, as the journal keeps it; above 0 where home lay higher yet
    wood: tuple[Wood, ...]  # plugs that lose any
    uncut: tuple[str, ...]  # chambers without a plug: theirs is cut to the lower note


@dataclass(frozen=True)
class CanPlay:
    """A chord that this wood can still play."""

    name: str  # by interval content; "" for the wished intervals, where those have no name
    as_wished: bool  # the wished intervals on another lowest note
    intervals: str  # above the lowest note; "" as `name`
    notes: tuple[str, ...]
    target_hz: tuple[float, ...]
    margin_mm: float  # of plug, in the tightest chamber


@dataclass(frozen=True)
class FlatWays:
    """Out of a flat plug; None is what cannot be done."""

    letter: str
    flat: FlatPlug | None
    has_disc: bool
    lowering: Lowering | None


@dataclass(frozen=True)
class ShortWays:
    """Out of a bore that is too short for its note."""

    letter: str
    lowest_hz: float  # that this bore has with plug to spare
    lowest_note: str
    lowest_off_cents: float  # of that note
    chords: tuple[CanPlay, ...]  # nearest to the wished one first


WaysOut = FlatWays | ShortWays


def has_ways_out(place: Place, letter: str, units: str) -> bool:
    """Whether the wood of this chamber has run out, by what is advised now."""
    chamber, advice = place.chambers[letter], place.advice[letter]
    if chamber.glued:
        return False
    if advice.action is Action.BORE_TOO_SHORT:
        return True
    inwards = advice.action in (Action.PUSH_IN, Action.ADD_DISC) and not settled(advice, units)
    return inwards and chamber.plug is not None and place.route is Route.TRIM


def ways_out(place: Place, whistle: Whistle, letter: str, units: str = "mm") -> WaysOut | None:
    """Every way out for one chamber; None when nothing is amiss, or nothing can be done."""
    if not has_ways_out(place, letter, units):
        return None
    if place.advice[letter].action is Action.BORE_TOO_SHORT:
        return _short_ways(place, whistle, letter)
    plugs = _plugs(place)
    planned = next(chamber for chamber in place.belief.plan.chambers if chamber.letter == letter)
    flat = _as_advised(flat_plug(place.belief, plugs[letter], planned), place.advice[letter])
    has_disc = flat is not None and flat.disc_mm >= LEAST_DISC_MM
    lowering = _lowering(place, plugs)
    return FlatWays(letter, flat, has_disc, lowering) if flat or lowering else None


def _plugs(place: Place) -> dict[str, Closure]:
    return {letter: closure_on(each.plug) for letter, each in place.chambers.items() if each.plug is not None}


def _as_advised(flat: FlatPlug | None, advice: Advice) -> FlatPlug | None:
    """To the depth that the bench asks for, which may lie a hair beyond the note: wood there can still be taken off."""
    if flat is None or advice.stop_at_depth_mm is None or advice.depth_mm is None:
        return flat
    in_mm, face_mm = advice.stop_at_depth_mm - advice.depth_mm, advice.stop_at_depth_mm
    return replace(flat, push_in_mm=in_mm, disc_mm=in_mm, new_plug_mm=face_mm, face_depth_mm=face_mm)


# ---- the chord down ------------------------------------------------------------------------------------------------
def _lowering(place: Place, plugs: dict[str, Closure]) -> Lowering | None:
    """None as soon as one plug is glued: it can no longer come along."""
    if any(chamber.glued for chamber in place.chambers.values()):
        return None
    home_cents = place.home_cents or 0.0
    belief = _all_from_home(place.belief, home_cents)
    shift = lower_chord(belief, plugs)
    if shift is None or shift.shift_cents > -LEAST_SHIFT_CENTS:
        return None
    wood = tuple(
        Wood(each.letter, each.take_off_mm, each.take_off_sd_mm)
        for each in shift.chambers if each.take_off_mm >= LEAST_WOOD_MM
    )  # fmt: skip
    uncut = tuple(letter for letter in place.chambers if letter not in plugs)
    lowered_cents = place.lowered_cents + home_cents + shift.shift_cents
    return Lowering(shift.shift_cents, shift.sd_cents, lowered_cents, wood, uncut)


def _all_from_home(belief: Belief, home_cents: float) -> Belief:
    """The place moves the others' targets to the lowest chamber's own note; here that chamber's own moves along."""
    first, *others = belief.plan.chambers
    first = replace(first, target_hz=shift_hz(first.target_hz, home_cents))
    return replace(belief, plan=replace(belief.plan, chambers=(first, *others)))


# ---- a bore that is too short --------------------------------------------------------------------------------------
def _short_ways(place: Place, whistle: Whistle, letter: str) -> ShortWays:
    belief = place.belief
    planned = next(chamber for chamber in belief.plan.chambers if chamber.letter == letter)
    low_hz = lowest_hz(belief, planned, MARGIN_SD)
    note = nearest_note(low_hz, whistle.a4_hz)
    glued = any(chamber.glued for chamber in place.chambers.values())
    chords = () if glued else (*_wished_elsewhere(belief, whistle), *_kin(belief, whistle))
    return ShortWays(letter, low_hz, str(note), note.deviation_cents, chords)


def _wished_elsewhere(belief: Belief, whistle: Whistle) -> tuple[CanPlay, ...]:
    """The wished intervals, cent for cent, on other lowest notes; the nearest first."""
    chord, targets_hz = chord_of(whistle), [chamber.target_hz for chamber in whistle.chambers]
    found = []
    for step in (sign * step for step in range(1, _OCTAVE + 1) for sign in (1, -1)):
        shifted_hz = tuple(shift_hz(hz, 100.0 * step) for hz in targets_hz)
        margin = tightest(belief, shifted_hz)
        if margin is not None and margin[0] >= MARGIN_SD:
            name, intervals = (chord.name, intervals_of(chord)) if chord else ("", "")
            notes = _notes(shifted_hz, whistle.a4_hz)
            found.append(CanPlay(name, True, intervals, notes, shifted_hz, margin[1]))
    return tuple(found[:MOST_OF_EACH])


def _kin(belief: Belief, whistle: Whistle) -> tuple[CanPlay, ...]:
    """Other chords of as many notes: most of the wished notes kept, then the nearest lowest note; each chord once."""
    wished, root_hz = chord_of(whistle), whistle.chambers[0].target_hz
    wished_steps = {round(cents_between(each.target_hz, root_hz) / 100.0) % _OCTAVE for each in whistle.chambers}
    ranked = []
    for each in playable_chords(belief, semitones_about(root_hz), MARGIN_SD):
        up = round(cents_between(each.root_hz, root_hz) / 100.0)
        steps = {(step + up) % _OCTAVE for step in each.chord.equal_steps}
        if each.chord != wished:
            ranked.append((-len(steps & wished_steps), abs(up), each))
    ranked.sort(key=lambda one: one[:2])
    best: dict[str, CanPlay] = {}
    for _, _, each in ranked:
        notes = _notes(each.target_hz, whistle.a4_hz)
        name, intervals = each.chord.name, intervals_of(each.chord)
        best.setdefault(name, CanPlay(name, False, intervals, notes, each.target_hz, each.margin_mm))
    return tuple(best.values())[:MOST_OF_EACH]


def _notes(targets_hz: Sequence[float], a4_hz: float) -> tuple[str, ...]:
    return tuple(str(nearest_note(hz, a4_hz)) for hz in targets_hz)
