"""Before the glue and after it: which chamber moved against the others, by how much, and most likely why.

The pitch of the whole whistle is the shop's and the breath's, and is named apart. A chamber is judged against the
largest group of chambers that kept their places among each other, so that a lowest chamber that moved is found too.
"""
from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from acoustics.blow import Verdict
from acoustics.chord import Heard
from acoustics.constants import ABSOLUTE_ZERO_C, CENTS_PER_OCTAVE
from acoustics.units import cents_between
from app.chord_together import INTERVAL_SD_CENTS, INTERVAL_SD_WEIGHT, mean, mostly
from app.records import BlowTaken, ChordTaken

MOVED_FROM_SDS = 2.0
SMALL_FROM_SDS = 3.5  # of a shift within what the maker allows: it harms nobody, and a sound plug is not to be blamed
_FAR = 2.0  # one stands off the others by so many times what parts them: it moved, whatever they did; judgement
BREATHIER_DB = 5.0  # than before the glue: a leak hisses; invented blows scatter by 1 dB, judgement


class Why(StrEnum):
    """What most likely moved a chamber."""

    PUSHED_IN = "pushed_in"
    LEAKS = "leaks"
    SHARP = "sharp"  # pushed in, or a leak: nothing tells yet
    DRAWN_OUT = "drawn_out"
    SILENT = "silent"
    APART = "apart"  # two stand apart from two: nobody can say which of them moved


@dataclass(frozen=True)
class Column:
    """Blows of the whole whistle at one time. `notes_cents` are off each chamber's target; positive is sharp."""

    name: str
    n_blows: int = 0
    notes_cents: Mapping[str, tuple[float, ...]] | None = None  # by letter, one for each blow that holds it
    heard: Mapping[str, Heard | None] | None = None
    temperature_c: float | None = None

    def note_cents(self, letter: str) -> float | None:
        cents = (self.notes_cents or {}).get(letter, ())
        return mean(cents) if cents else None

    def interval_cents(self, letter: str, home: str) -> float | None:
        note, home_note = self.note_cents(letter), self.note_cents(home)
        return None if note is None or home_note is None else note - home_note


@dataclass(frozen=True)
class Moved:
    """One chamber that is not where it was.

    shift_cents : against those that stayed
    shift_mm : of its plug, inwards
    small : the shift is within what the maker allows
    """

    letter: str
    why: Why
    shift_cents: float | None = None
    sd_cents: float | None = None
    shift_mm: float | None = None
    small: bool = False

    @property
    def stands_out(self) -> bool:
        """Far enough, for its size, to be named."""
        if not self.small or self.shift_cents is None or self.why is Why.LEAKS:
            return True
        return abs(self.shift_cents) > SMALL_FROM_SDS * (self.sd_cents or 0.0)


@dataclass(frozen=True)
class Whole:
    """How the whole whistle's pitch went, by the chambers that kept their places; what the air explains of it."""

    shift_cents: float
    warmer_c: float | None  # None without a thermometer on both days
    air_cents: float | None


@dataclass(frozen=True)
class Alone:
    """Single blows of one chamber with its plug in: before the glue, and the last one after it."""

    before: Sequence[BlowTaken] = ()
    now: BlowTaken | None = None

    @property
    def leaks(self) -> bool | None:
        """Whether it hisses more than before; None when that cannot be told."""
        if self.now is None or not self.now.neighbours_shut:
            return None
        known_db = sorted(b.breath_db for b in self.before if b.breath_db is not None and b.neighbours_shut)
        if not known_db or self.now.breath_db is None:
            return None
        return self.now.verdict == Verdict.BREATHY or self.now.breath_db - known_db[len(known_db) // 2] >= BREATHIER_DB


def column(name: str, blows: Sequence[ChordTaken], targets_hz: Mapping[str, float]) -> Column:
    """These blows together."""
    notes_cents = {
        letter: tuple(
            cents_between(voice.frequency_hz, target_hz) for blow in blows
            if (voice := blow.voice(letter)) is not None and voice.frequency_hz is not None
        ) for letter, target_hz in targets_hz.items()
    }
    airs_c = [blow.temperature_c for blow in blows if blow.temperature_c is not None]
    return Column(name, len(blows), notes_cents, {letter: mostly(blows, letter) for letter in targets_hz},
                  mean(airs_c) if airs_c else None)


def scatter_cents(*columns: Column) -> float:
    """From blow to blow, of one chamber against the middle of all; pooled, and shrunk towards what is usual."""
    squares, weight = INTERVAL_SD_WEIGHT * INTERVAL_SD_CENTS**2, INTERVAL_SD_WEIGHT
    for each in columns:
        rows = [cents for cents in (each.notes_cents or {}).values() if len(cents) == each.n_blows > 1]
        if len(rows) < 2:
            continue
        middles = [mean(blow) for blow in zip(*rows, strict=True)]
        for cents in rows:
            apart = [note - middle for note, middle in zip(cents, middles, strict=True)]
            squares += sum((one - mean(apart)) ** 2 for one in apart)
            weight += len(apart) - 1
    return math.sqrt(squares / weight)


def compare(
    before: Column, now: Column, slopes: Mapping[str, float | None], alone: Mapping[str, Alone],
    tolerance_cents: float = 0.0,
) -> tuple[Whole | None, tuple[Moved, ...]]:
    """What the glue did, and what the shop did.

    slopes : cents that a millimetre of plug inwards is worth
    tolerance_cents : what the maker allows: a shift within it is small
    """
    shifts = {
        letter: after - was for letter in slopes
        if (after := now.note_cents(letter)) is not None and (was := before.note_cents(letter)) is not None
    }
    silent = [Moved(letter, Why.SILENT) for letter in slopes
              if before.note_cents(letter) is not None and (now.heard or {}).get(letter) is Heard.MISSING]
    if not shifts:
        return None, tuple(silent)
    sd_cents = scatter_cents(before, now) * math.sqrt(1.0 / max(1, before.n_blows) + 1.0 / max(1, now.n_blows))
    stayed, sure = _stayed(shifts, MOVED_FROM_SDS * sd_cents, tolerance_cents)
    common_cents = mean(shifts[letter] for letter in stayed)
    moved = [
        replace(
            _moved(letter, shifts[letter] - common_cents, sd_cents, slopes[letter], alone.get(letter, Alone()), sure),
            small=abs(shifts[letter] - common_cents) <= tolerance_cents,
        ) for letter in shifts if letter not in stayed
    ]
    return _whole(common_cents, before, now), tuple([*moved, *silent])


def _stayed(
    shifts: Mapping[str, float], within_cents: float, tolerance_cents: float
) -> tuple[tuple[str, ...], bool]:
    """The largest group that shifted alike, the lowest chamber's of two as large; and whether it is the only one.

    Each is measured from the middle of its group, so that noise in one chamber does not count twice. Where no group
    is the largest, all but the one that stands far off them are taken for it.
    """
    groups = []
    for centre in shifts.values():
        near = tuple(letter for letter, cents in shifts.items() if abs(cents - centre) <= within_cents)
        middle = mean(shifts[letter] for letter in near)
        groups.append(tuple(letter for letter, cents in shifts.items() if abs(cents - middle) <= within_cents))
    most = max(map(len, groups))
    largest = [group for group in groups if len(group) == most]
    lowest = next(iter(shifts))
    chosen = next((group for group in largest if lowest in group), largest[0])
    if all(set(group) & set(chosen) for group in largest):
        return chosen, True
    rest = _all_but_one(shifts, within_cents, tolerance_cents)
    return (rest, True) if rest else (chosen, False)


def _all_but_one(shifts: Mapping[str, float], within_cents: float, tolerance_cents: float) -> tuple[str, ...]:
    """Those that one chamber stands off by far more than parts them, which is no more than the maker allows each."""
    for letter, cents in shifts.items():
        rest = {other: shift for other, shift in shifts.items() if other != letter}
        if len(rest) < 2:
            break
        parted = max(rest.values()) - min(rest.values())
        if parted <= 2.0 * tolerance_cents and _FAR * max(parted, within_cents) < min(
            abs(cents - shift) for shift in rest.values()
        ):
            return tuple(rest)
    return ()


def _moved(letter: str, shift_cents: float, sd_cents: float, slope: float | None, alone: Alone, sure: bool) -> Moved:
    shift_mm = shift_cents / slope if slope else None
    if not sure:
        why = Why.APART
    elif shift_cents < 0.0:
        why = Why.DRAWN_OUT
    else:
        why = {True: Why.LEAKS, False: Why.PUSHED_IN, None: Why.SHARP}[alone.leaks]
    return Moved(letter, why, shift_cents, sd_cents, shift_mm)


def _whole(shift_cents: float, before: Column, now: Column) -> Whole:
    if before.temperature_c is None or now.temperature_c is None:
        return Whole(shift_cents, None, None)
    return Whole(shift_cents, now.temperature_c - before.temperature_c,
                 air_cents(before.temperature_c, now.temperature_c))


def air_cents(from_c: float, to_c: float) -> float:
    """What warmer air alone does to the pitch: the speed of sound goes with the root of the absolute temperature."""
    return CENTS_PER_OCTAVE / 2.0 * math.log2((to_c - ABSOLUTE_ZERO_C) / (from_c - ABSOLUTE_ZERO_C))
