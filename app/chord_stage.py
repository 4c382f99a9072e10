"""What blows of the whole whistle say together: intervals, the one plug that would better them most, and when to stop.

All is read afresh from the standing records, as in `app.place`. A blow counts for as long as the very faces and voices
that it was blown with are in the whistle. Intervals are to the lowest chamber that was heard: the whole whistle's pitch
is the breath's and the shop's, and no plug is moved for it.

The maker's trade gives 5 cents as good as it gets and 10 as good (common practice, no source).
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from acoustics.chord import Heard
from acoustics.tuning import Belief, ChamberPlan, Closure, Plan, Policy, Stop
from acoustics.units import cents_between, shift_hz
from app.chamber import Chamber
from app.chord_move import Move, move_of
from app.chord_together import (
    Beating,
    InChord,
    beats_of_last,
    intervals_cents,
    mean,
    mostly,
    n_wanted_of,
    pitch_cents_of,
    scatter_cents_of,
    together,
)
from app.events import Request, Task
from app.records import ChordTaken, PlugSet, Record, StepTaken

SHORT_LEFT = 0.5  # of the tolerance: so far a plug that is too short may stay under the lowest that came down to it
MOST_MOVES = 8  # the chord is no reason to hunt for ever


class Word(StrEnum):
    """What the chord asks for next."""

    WANTS_BLOWS = "wants_blows"
    MISSING = "missing"
    TOO_NEAR = "too_near"
    MOVE = "move"
    MARK = "mark"  # a plug that was slid for the chord has no line yet
    GOOD = "good"
    LEAVE = "leave"  # off, and no plug can better it by a step of the scale


@dataclass(frozen=True)
class Chord:
    """What the chord says now."""

    word: Word
    faces: str
    blows: tuple[ChordTaken, ...]  # that count
    n_wanted: int
    chambers: tuple[InChord, ...]
    home: str  # the lowest chamber that was heard
    pitch_cents: float | None  # of that chamber against its plan
    beats: tuple[Beating, ...]  # of the last blow, between chambers that should all but stand still; fastest first
    move: Move | None
    letters: tuple[str, ...]  # whom the word is about
    tolerance_cents: float
    closed: bool  # the maker went on from here

    @property
    def settled(self) -> bool:
        """Nothing is left to do about it."""
        return self.closed or self.word in (Word.GOOD, Word.LEAVE)

    def chamber(self, letter: str) -> InChord:
        return next(each for each in self.chambers if each.letter == letter)


def faces_of(chambers: Mapping[str, Chamber]) -> str:
    """What closes each bore and which voice it has, lowest first."""
    return ",".join(f"{c.face.id if c.face is not None else ''}:{c.epoch}" for c in chambers.values())


def sounding(chambers: Mapping[str, Chamber]) -> tuple[str, ...]:
    """The chambers that a blow of the whole whistle should hold: those with a plug, or all while no plug is known."""
    plugged = tuple(letter for letter, chamber in chambers.items() if chamber.plug is not None)
    return plugged if len(plugged) > 1 else tuple(chambers)


def in_chord(
    planned: Plan, belief: Belief, chambers: Mapping[str, Chamber], records: Sequence[Record], policy: Policy,
    step_mm: float,
) -> Chord:
    """Put the blows of the present faces together. `belief` is of the single blows."""
    faces, letters = faces_of(chambers), sounding(chambers)
    blows = tuple(r for r in records if isinstance(r, ChordTaken) and r.faces == faces and r.usable and not r.warm_up)
    steps = {r.step for r in records if isinstance(r, StepTaken) and r.text == faces}
    heard = {letter: mostly(blows, letter) for letter in letters}
    told = [letter for letter in letters if heard[letter] in (Heard.HEARD, Heard.WEAK)]
    home = told[0] if told else letters[0]
    targets_hz = {chamber.letter: chamber.target_hz for chamber in planned.chambers}
    apart = {letter: intervals_cents(blows, letter, home, targets_hz) for letter in told}
    sd_cents = scatter_cents_of([cents for letter, cents in apart.items() if letter != home])
    slopes = {letter: _slope(belief, chambers[letter]) if blows else None for letter in letters}
    found = tuple(
        together(letter, heard[letter], apart.get(letter, ()), 0.0 if letter == home else sd_cents,
                  _single_cents(belief, chambers, letter, home, targets_hz) if blows else None, slopes[letter])
        for letter in letters
    )
    n_wanted = 0 if "chord_enough" in steps and blows else n_wanted_of(blows, letters, apart, policy.tolerance_cents)
    may_move = sum(isinstance(r, StepTaken) and (r.step, r.text) == ("accepted", "chord") for r in records) < MOST_MOVES
    move = _best_move(found, home, chambers, slopes, policy, step_mm) if may_move else None
    word, about = _word(n_wanted, found, move, chambers, policy)
    return Chord(
        word, faces, blows, n_wanted, found, home, pitch_cents_of(blows, home, targets_hz),
        beats_of_last(blows, told, targets_hz), move if word is Word.MOVE else None, about, policy.tolerance_cents,
        "chord_done" in steps,
    )


def _word(
    n_wanted: int, found: Sequence[InChord], move: Move | None, chambers: Mapping[str, Chamber], policy: Policy
) -> tuple[Word, tuple[str, ...]]:
    """Voice before pitch, pitch before the line, the line before the end."""
    if n_wanted:
        return Word.WANTS_BLOWS, ()
    for what, word in ((Heard.MISSING, Word.MISSING), (Heard.TOO_NEAR, Word.TOO_NEAR)):
        if about := tuple(each.letter for each in found if each.heard is what):
            return word, about
    if move is not None:
        return Word.MOVE, (move.letter,)
    if about := tuple(letter for letter, chamber in chambers.items() if _unmarked(chamber)):
        return Word.MARK, about[:1]
    off = [each for each in found if abs(each.interval_cents or 0.0) > policy.tolerance_cents]
    worst = max(off, key=lambda each: abs(each.interval_cents or 0.0), default=None)
    return (Word.GOOD, ()) if worst is None else (Word.LEAVE, (worst.letter,))


def _unmarked(chamber: Chamber) -> bool:
    plug = chamber.plug
    if plug is None or chamber.marked or chamber.left or chamber.glued:
        return False
    return plug.how in ("push_in", "draw_out")


def chord_request(chord: Chord, chambers: Mapping[str, Chamber]) -> Request:
    """What the whole chord asks of the maker; the id is left 0 for `app.workflow` to give."""
    about = chord.letters[0] if chord.letters else None
    if chord.move is not None:
        text = "disc" if chord.move.task is Task.REPAIR else ""
        return Request(0, chord.move.task, about, Stop.PLUG, chord.move.depth_mm, chord.move.amount_mm, text)
    if chord.word is Word.MARK and about is not None and (plug := chambers[about].plug) is not None:
        return Request(0, Task.MARK, about, Stop.PLUG, plug.depth_mm)
    if chord.word in (Word.GOOD, Word.LEAVE):
        return Request(0, Task.NOTHING, about, text=chord.word.value)
    return Request(0, Task.CHORD, about, text=chord.word.value)


# ---- against the single blows and the wood -------------------------------------------------------------------------
def _planned(belief: Belief, letter: str) -> ChamberPlan:
    return next(chamber for chamber in belief.plan.chambers if chamber.letter == letter)


def closure_on(plug: PlugSet) -> Closure:
    return Closure(plug.id, Stop(plug.stop), plug.depth_mm, plug.depth_sd_mm)


def _slope(belief: Belief, chamber: Chamber) -> float | None:
    """Cents that a millimetre of plug is worth where its face is now."""
    if chamber.plug is None:
        return None
    return belief.predict(_planned(belief, chamber.letter), closure_on(chamber.plug)).per_depth_cents_per_mm


def _single_cents(
    belief: Belief, chambers: Mapping[str, Chamber], letter: str, home: str, targets_hz: Mapping[str, float]
) -> float | None:
    """The interval as the single blows on these very faces have it."""
    off_cents = []
    for each in (letter, home):
        plug, planned = chambers[each].plug, _planned(belief, each)
        if plug is None or plug.id not in belief.readings:
            return None
        foretold = belief.predict(planned, closure_on(plug), as_it_sits=True)
        off_cents.append(cents_between(shift_hz(planned.target_hz, foretold.deviation_cents), targets_hz[each]))
    return off_cents[0] - off_cents[1]


def _best_move(
    found: Sequence[InChord], home: str, chambers: Mapping[str, Chamber], slopes: Mapping[str, float | None],
    policy: Policy, step_mm: float,
) -> Move | None:
    """The plug whose move takes most off the sum of squares of the intervals; else the lowest, for a short one."""
    others = {c.letter: c.interval_cents for c in found if c.letter != home and c.interval_cents is not None}
    if not others:
        return None
    mean_cents = mean(others.values())
    sharp_cents = {**others, home: -mean_cents}  # the lowest chamber moves all intervals at once
    gain = {letter: cents**2 for letter, cents in others.items()} | {home: len(others) * mean_cents**2}
    for letter in sorted(gain, key=lambda letter: -gain[letter]):
        if abs(sharp_cents[letter]) > policy.tolerance_cents and not chambers[letter].glued:
            move = move_of(chambers[letter], sharp_cents[letter], slopes[letter], policy, step_mm)
            if move is not None:
                return move
    flat_cents = min(others.values())
    if policy.sliding or flat_cents >= -policy.tolerance_cents or chambers[home].glued:
        return None
    # A trimmed plug cannot come up to the lowest: so the lowest comes down to it, and what is sharp then follows.
    return move_of(chambers[home], -flat_cents - SHORT_LEFT * policy.tolerance_cents, slopes[home], policy, step_mm)
