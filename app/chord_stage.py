"""What blows of the whole whistle say together: intervals, the one plug that would better them most, and when to stop.

All is read afresh from the standing records, as in `app.place`. A blow counts for as long as the very faces and voices
that it was blown with are in the whistle. Intervals are to the lowest chamber that was heard: the whole whistle's pitch
is the breath's and the shop's, and no plug is moved for it.

The maker's trade gives 5 cents as good as it gets and 10 as good (common practice, no source).
"""
from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from acoustics.chord import Heard, VoiceReading, beats_of
from acoustics.tuning import Belief, ChamberPlan, Closure, Plan, Policy, Stop
from acoustics.units import cents_between, shift_hz
from app.chord_move import Move, move_of
from app.events import Request, Task
from app.records import ChordTaken, PlugSet, Record, StepTaken

if TYPE_CHECKING:
    from app.place import Chamber

CHORD_BLOWS, MOST_CHORD_BLOWS = 2, 3  # a third where the first two differ
MOST_MOVES = 8  # the chord is no reason to hunt for ever
# Scatter of an interval from blow to blow, one standard deviation, and how many blows that guess is worth. One breath
# moves all chambers together, so it is less than a single blow's. Judgement, no source.
INTERVAL_SD_CENTS, INTERVAL_SD_WEIGHT = 1.5, 4.0
STILL_CENTS = 3.0  # two notes planned this near a ratio of small numbers should not beat: an even fifth is 2 off
NAMED_BEAT_HZ, FASTEST_BEAT_HZ = 1.0, 20.0  # over the plan's own; a faster one is heard as roughness


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
class InChord:
    """One chamber, all counted blows together. What is not known is None.

    interval_cents : off its interval to the lowest chamber; positive is sharp
    too_long_mm : by how much its plug is too long for that; negative is too short
    differs_cents : that interval minus the one of its single blows
    ticks_mm : `too_long_mm` by each blow
    """

    letter: str
    heard: Heard | None
    interval_cents: float | None = None
    sd_cents: float | None = None
    too_long_mm: float | None = None
    sd_mm: float | None = None
    differs_cents: float | None = None
    ticks_mm: tuple[float, ...] = ()


@dataclass(frozen=True)
class Beating:
    """Two chambers near the ratio n to m that beat faster than the plan would have them."""

    lower: str
    upper: str
    n: int
    m: int
    rate_hz: float
    planned_hz: float


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
    heard = {letter: _mostly(blows, letter) for letter in letters}
    told = [letter for letter in letters if heard[letter] in (Heard.HEARD, Heard.WEAK)]
    home = told[0] if told else letters[0]
    targets_hz = {chamber.letter: chamber.target_hz for chamber in planned.chambers}
    apart = {letter: _intervals(blows, letter, home, targets_hz) for letter in told}
    sd_cents = _scatter_cents([cents for letter, cents in apart.items() if letter != home])
    slopes = {letter: _slope(belief, chambers[letter]) if blows else None for letter in letters}
    found = tuple(
        _together(letter, heard[letter], apart.get(letter, ()), 0.0 if letter == home else sd_cents,
                  _single_cents(belief, chambers, letter, home, targets_hz) if blows else None, slopes[letter])
        for letter in letters
    )
    n_wanted = 0 if "chord_enough" in steps and blows else _n_wanted(blows, letters, apart, policy.tolerance_cents)
    may_move = sum(isinstance(r, StepTaken) and (r.step, r.text) == ("accepted", "chord") for r in records) < MOST_MOVES
    move = _best_move(found, home, chambers, slopes, policy, step_mm) if may_move else None
    word, about = _word(n_wanted, found, move, chambers, policy)
    return Chord(
        word, faces, blows, n_wanted, found, home, _pitch_cents(blows, home, targets_hz),
        _beats(blows, told, targets_hz), move if word is Word.MOVE else None, about, policy.tolerance_cents,
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
    return plug is not None and plug.how in ("push_in", "draw_out") and not chamber.marked and not chamber.left


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


# ---- blows together ------------------------------------------------------------------------------------------------
def _mostly(blows: Sequence[ChordTaken], letter: str) -> Heard | None:
    """What became of a chamber in most blows, in the last one where they are even."""
    said = [voice.heard for blow in reversed(blows) if (voice := blow.voice(letter)) is not None]
    return max(said, key=said.count, default=None)


def _hz(blow: ChordTaken, letter: str) -> float | None:
    voice = blow.voice(letter)
    return None if voice is None else voice.frequency_hz


def _intervals(
    blows: Sequence[ChordTaken], letter: str, home: str, targets_hz: Mapping[str, float]
) -> tuple[float, ...]:
    """Of each blow that holds both chambers: how far the interval is off, in cents."""
    pairs = [(_hz(blow, letter), _hz(blow, home)) for blow in blows]
    return tuple(
        cents_between(upper, targets_hz[letter]) - cents_between(lower, targets_hz[home])
        for upper, lower in pairs if upper is not None and lower is not None
    )


def _scatter_cents(groups: Sequence[Sequence[float]]) -> float:
    """From blow to blow, pooled over the chambers and shrunk towards what is usual."""
    squares, weight = INTERVAL_SD_WEIGHT * INTERVAL_SD_CENTS**2, INTERVAL_SD_WEIGHT
    for cents in groups:
        middle = _mean(cents) if cents else 0.0
        squares += sum((each - middle) ** 2 for each in cents)
        weight += max(0, len(cents) - 1)
    return math.sqrt(squares / weight)


def _together(
    letter: str, heard: Heard | None, cents: Sequence[float], scatter_cents: float, single_cents: float | None,
    slope: float | None,
) -> InChord:
    if not cents:
        return InChord(letter, heard)
    interval_cents, sd_cents = _mean(cents), scatter_cents / math.sqrt(len(cents))
    differs_cents = None if single_cents is None else interval_cents - single_cents
    if slope is None:
        return InChord(letter, heard, interval_cents, sd_cents, differs_cents=differs_cents)
    ticks_mm = tuple(each / slope for each in cents)
    return InChord(
        letter, heard, interval_cents, sd_cents, interval_cents / slope, sd_cents / slope, differs_cents, ticks_mm
    )


def _n_wanted(
    blows: Sequence[ChordTaken], letters: Sequence[str], apart: Mapping[str, Sequence[float]], tolerance_cents: float
) -> int:
    if len(blows) < CHORD_BLOWS:
        return CHORD_BLOWS - len(blows)
    if len(blows) >= MOST_CHORD_BLOWS:
        return 0
    words = [[voice and voice.heard for voice in map(blow.voice, letters)] for blow in blows]
    differ = any(each != words[0] for each in words)
    return int(differ or any(max(cents) - min(cents) > tolerance_cents for cents in apart.values() if cents))


def _pitch_cents(blows: Sequence[ChordTaken], home: str, targets_hz: Mapping[str, float]) -> float | None:
    heard_hz = [hz for blow in blows if (hz := _hz(blow, home)) is not None]
    return _mean(cents_between(hz, targets_hz[home]) for hz in heard_hz) if heard_hz else None


def _beats(blows: Sequence[ChordTaken], letters: Sequence[str], targets_hz: Mapping[str, float]) -> tuple[Beating, ...]:
    if not blows:
        return ()
    planned = beats_of([VoiceReading(letter, targets_hz[letter], 0.0, 0.0, Heard.HEARD) for letter in letters])
    still = {(b.lower, b.upper, b.n, b.m): b.beat_hz for b in planned if abs(b.error_cents) <= STILL_CENTS}
    heard = beats_of([voice for letter in letters if (voice := blows[-1].voice(letter)) is not None])
    found = [
        Beating(b.lower, b.upper, b.n, b.m, b.beat_hz, planned_hz) for b in heard
        if (planned_hz := still.get((b.lower, b.upper, b.n, b.m))) is not None
        and planned_hz + NAMED_BEAT_HZ <= b.beat_hz <= FASTEST_BEAT_HZ
    ]
    return tuple(sorted(found, key=lambda beating: -beating.rate_hz))


def _mean(values: Iterable[float]) -> float:
    told = list(values)
    return math.fsum(told) / len(told)


# ---- against the single blows and the wood -------------------------------------------------------------------------
def _planned(belief: Belief, letter: str) -> ChamberPlan:
    return next(chamber for chamber in belief.plan.chambers if chamber.letter == letter)


def _closure(plug: PlugSet) -> Closure:
    return Closure(plug.id, Stop(plug.stop), plug.depth_mm, plug.depth_sd_mm)


def _slope(belief: Belief, chamber: Chamber) -> float | None:
    """Cents that a millimetre of plug is worth where its face is now."""
    if chamber.plug is None:
        return None
    return belief.predict(_planned(belief, chamber.letter), _closure(chamber.plug)).per_depth_cents_per_mm


def _single_cents(
    belief: Belief, chambers: Mapping[str, Chamber], letter: str, home: str, targets_hz: Mapping[str, float]
) -> float | None:
    """The interval as the single blows on these very faces have it."""
    off_cents = []
    for each in (letter, home):
        plug, planned = chambers[each].plug, _planned(belief, each)
        if plug is None or plug.id not in belief.readings:
            return None
        foretold = belief.predict(planned, _closure(plug), as_it_sits=True)
        off_cents.append(cents_between(shift_hz(planned.target_hz, foretold.deviation_cents), targets_hz[each]))
    return off_cents[0] - off_cents[1]


def _best_move(
    found: Sequence[InChord], home: str, chambers: Mapping[str, Chamber], slopes: Mapping[str, float | None],
    policy: Policy, step_mm: float,
) -> Move | None:
    """The plug whose move takes most off the sum of squares of the intervals, among those that can be moved."""
    others = {c.letter: c.interval_cents for c in found if c.letter != home and c.interval_cents is not None}
    if not others:
        return None
    mean_cents = _mean(others.values())
    sharp_cents = {**others, home: -mean_cents}  # the lowest chamber moves all intervals at once
    gain = {letter: cents**2 for letter, cents in others.items()} | {home: len(others) * mean_cents**2}
    for letter in sorted(gain, key=lambda letter: -gain[letter]):
        if abs(sharp_cents[letter]) > policy.tolerance_cents:
            move = move_of(chambers[letter], sharp_cents[letter], slopes[letter], policy, step_mm)
            if move is not None:
                return move
    return None
