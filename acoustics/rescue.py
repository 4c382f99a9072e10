"""Ways out for wood that cannot reach its note: a flat plug, a chord that must come down, a bore that is too short.

Conventions
-----------
Deviations are measured minus target, positive sharp. A deeper face sharpens; all wood amounts are millimetres of plug
and never negative. Everything rests on a `Belief`, and every length has the spread that the belief gives it. Plugs are
taken to be cut flush with the plug end, so that a plug is as long as its face is deep.
"""
from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from acoustics.belief import Belief, Unknown, chamber_belief, slopes_of, tone_of
from acoustics.errors import require_between
from acoustics.evidence import ChamberPlan, Closure
from acoustics.notes import CHORDS, Chord, chord_hz
from acoustics.units import shift_hz

_LOWEST_SHIFT_CENTS = 600.0  # further down another chord is meant
_HALVINGS = 40
_SHORTEST_AIR_MM = 15.0  # a shorter chamber is outside what the bore formula is known for


@dataclass(frozen=True)
class FlatPlug:
    """Three ways to sharpen one flat plug; each puts the face at `face_depth_mm`."""

    letter: str
    deviation_cents: float
    push_in_mm: float  # further in, with something behind it; as thick as the disc on its face
    disc_mm: float
    new_plug_mm: float  # length of a new plug, flush with the plug end
    face_depth_mm: float
    sd_mm: float  # of all three


@dataclass(frozen=True)
class Lowered:
    """What one chamber needs when the whole chord comes down."""

    letter: str
    target_hz: float
    take_off_mm: float  # of the plug that is in; 0 for the one that is flat already
    take_off_sd_mm: float  # of the two plugs' difference: what they have in common moves both alike
    face_depth_mm: float


@dataclass(frozen=True)
class ChordShift:
    """The least step down at which no plug is flat any more."""

    shift_cents: float  # never positive
    sd_cents: float  # of the flattest plug's note; 0 when nothing is flat
    chambers: tuple[Lowered, ...]


@dataclass(frozen=True)
class Playable:
    """A root and chord that this wood can still play."""

    chord: Chord
    root_hz: float
    target_hz: tuple[float, ...]  # by chamber, in the order of the plan
    margin_sd: float  # of the tightest chamber: wood beyond what is needed, in its standard deviations
    margin_mm: float  # of that chamber


def flat_plug(belief: Belief, closure: Closure, chamber: ChamberPlan) -> FlatPlug | None:
    """How far a flat plug must come in; None when it is not flat, or the bore has no such note.

    Parameters
    ----------
    belief : Belief
    closure : Closure
        The plug that is in the bore.
    chamber : ChamberPlan
    """
    now = belief.predict(chamber, closure)
    if now.deviation_cents >= 0.0:
        return None
    in_mm = -now.deviation_cents / now.per_depth_cents_per_mm
    face_mm = closure.depth_mm + in_mm
    if face_mm > chamber.bore_length_mm - _SHORTEST_AIR_MM:
        return None
    sd_mm = now.sd_cents / now.per_depth_cents_per_mm
    return FlatPlug(chamber.letter, now.deviation_cents, in_mm, in_mm, face_mm, face_mm, sd_mm)


def lower_chord(belief: Belief, closures: Mapping[str, Closure], margin_sd: float = 0.0) -> ChordShift | None:
    """The least shift of the whole chord down that every plug can still reach by trimming.

    Parameters
    ----------
    belief : Belief
    closures : mapping of letter to Closure
        The plugs that are in their bores; chambers without one can take any depth that the bore has.
    margin_sd : float
        How many standard deviations sharper than the new note each plug shall be believed at least, 0 to 5.

    Returns
    -------
    ChordShift or None
        None when a bore is too short for its lowered note, or the step would exceed six semitones.
    """
    require_between("margin in standard deviations", margin_sd, 0.0, 5.0)
    shift_cents, sd_cents, flattest = 0.0, 0.0, None
    for chamber in belief.plan.chambers:
        if chamber.letter in closures:
            now = belief.predict(chamber, closures[chamber.letter])
            wanted_cents = now.deviation_cents - margin_sd * now.sd_cents
            if wanted_cents < shift_cents:
                shift_cents, sd_cents, flattest = wanted_cents, now.sd_cents, chamber
    if shift_cents < -_LOWEST_SHIFT_CENTS:
        return None
    lowered = []
    for chamber in belief.plan.chambers:
        target_hz = shift_hz(chamber.target_hz, shift_cents)
        depth_mm, _ = depth_for(belief, chamber, target_hz)
        if depth_mm is None:
            return None
        closure = closures.get(chamber.letter)
        if closure is None:
            lowered.append(Lowered(chamber.letter, target_hz, 0.0, 0.0, depth_mm))
            continue
        take_off_mm = _take_off_mm(belief, chamber, closure, shift_cents)
        apart_mm = _apart_sd_mm(belief, closures, chamber, flattest)
        lowered.append(Lowered(chamber.letter, target_hz, take_off_mm, apart_mm, closure.depth_mm - take_off_mm))
    return ChordShift(shift_cents, sd_cents, tuple(lowered))


def playable_chords(
    belief: Belief, roots_hz: Sequence[float], margin_sd: float = 2.0, just: bool = False
) -> tuple[Playable, ...]:
    """Roots and chords that the bores, as they were read, can still play; the widest margin first.

    Parameters
    ----------
    belief : Belief
        Of bores that were blown: what is only planned has wide spreads and few chords.
    roots_hz : sequence of float
        Lowest notes to try, 50 to 10 000.
    margin_sd : float
        How many standard deviations of plug every chamber must have to spare, 0 to 5.
    just : bool
        In whole-number ratios; chords that have none are then left out.

    Notes
    -----
    Chambers keep their order, lowest note first. A chamber can play a note when the face belongs further in than
    the plug end by `margin_sd` of its spread, and 15 mm of air remain.
    """
    require_between("margin in standard deviations", margin_sd, 0.0, 5.0)
    chords = [chord for chord in CHORDS if len(chord.equal_steps) == len(belief.plan.chambers)]
    found = []
    for root_hz in roots_hz:
        require_between("root in Hz", root_hz, 50.0, 10_000.0)
        for chord in chords:
            if just and chord.just_ratio is None:
                continue
            targets_hz = chord_hz(chord, root_hz, just)
            margin = tightest(belief, targets_hz)
            if margin is not None and margin[0] >= margin_sd:
                found.append(Playable(chord, root_hz, targets_hz, *margin))
    return tuple(sorted(found, key=lambda each: (-each.margin_sd, each.root_hz, each.chord.name)))


def lowest_hz(belief: Belief, chamber: ChamberPlan, margin_sd: float = 2.0) -> float:
    """The lowest note of a bore that leaves `margin_sd` spreads of plug in it."""
    low_hz, high_hz = 0.25 * chamber.target_hz, 4.0 * chamber.target_hz
    for _ in range(_HALVINGS):
        middle_hz = math.sqrt(low_hz * high_hz)
        depth_mm, sd_mm = depth_for(belief, chamber, middle_hz)
        spare = depth_mm is not None and depth_mm >= margin_sd * sd_mm
        low_hz, high_hz = (low_hz, middle_hz) if spare else (middle_hz, high_hz)
    return high_hz


def depth_for(belief: Belief, chamber: ChamberPlan, target_hz: float) -> tuple[float | None, float]:
    """Where the face belongs for another note of this bore, and the spread; None when the bore has no such note."""
    posterior, aimed = belief.posterior, replace(chamber, target_hz=target_hz)
    about = chamber_belief(aimed, belief.plan, belief.priors, posterior, 0, 0)
    depth_mm = about.target_depth_mm
    reachable = depth_mm is not None and depth_mm <= chamber.bore_length_mm - _SHORTEST_AIR_MM
    return depth_mm if reachable else None, about.target_depth_sd_mm


def _take_off_mm(belief: Belief, chamber: ChamberPlan, closure: Closure, shift_cents: float) -> float:
    """From where the plug sounds now to its lowered note, by the slope between the two."""
    now = belief.predict(chamber, closure)
    aimed = replace(chamber, target_hz=shift_hz(chamber.target_hz, shift_cents))
    first_mm = max(now.deviation_cents - shift_cents, 0.0) / now.per_depth_cents_per_mm
    trimmed = replace(closure, depth_mm=closure.depth_mm - first_mm)
    there = belief.predict(aimed, trimmed)
    slope = 0.5 * (now.per_depth_cents_per_mm + there.per_depth_cents_per_mm)
    return max(now.deviation_cents - shift_cents, 0.0) / slope


def _apart_sd_mm(
    belief: Belief, closures: Mapping[str, Closure], chamber: ChamberPlan, flattest: ChamberPlan | None
) -> float:
    """Spread of a plug's own note against the flattest plug's, in mm of that plug; 0 for the flattest itself."""
    if chamber == flattest:
        return 0.0
    own, own_free_cents, per_depth = _moved_by(belief, chamber, closures[chamber.letter])
    if flattest is None:
        return math.hypot(belief.posterior.sd(own), own_free_cents) / per_depth
    other, other_free_cents, _ = _moved_by(belief, flattest, closures[flattest.letter])
    apart = {unknown: own.get(unknown, 0.0) - other.get(unknown, 0.0) for unknown in {**own, **other}}
    return math.hypot(belief.posterior.sd(apart), own_free_cents, other_free_cents) / per_depth


def _moved_by(belief: Belief, chamber: ChamberPlan, closure: Closure) -> tuple[dict[Unknown, float], float, float]:
    """Cents of a plug's note per unit of each unknown, those of a depth that no blow has told, and per millimetre."""
    tone = tone_of(chamber, closure, belief.priors, belief.plan.air(), belief.posterior.value)
    told = ("depth", closure.id) in belief.posterior.index
    free_cents = 0.0 if told else tone.per_depth_cents_per_mm * closure.depth_sd_mm
    return slopes_of(chamber, closure, tone), free_cents, tone.per_depth_cents_per_mm


def tightest(belief: Belief, targets_hz: Sequence[float]) -> tuple[float, float] | None:
    """Margin of the chamber with the least wood to spare, in spreads and mm; None when one has no such note."""
    margins = []
    for chamber, target_hz in zip(belief.plan.chambers, targets_hz, strict=True):
        depth_mm, sd_mm = depth_for(belief, chamber, target_hz)
        if depth_mm is None:
            return None
        margins.append((depth_mm / max(sd_mm, 1e-6), depth_mm))
    return min(margins)


def semitones_about(root_hz: float, below: int = 5, above: int = 7) -> tuple[float, ...]:
    """Roots in equal steps about the planned one, for `playable_chords`."""
    return tuple(shift_hz(root_hz, 100.0 * step) for step in range(-below, above + 1))
