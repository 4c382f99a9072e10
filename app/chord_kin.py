"""What a set of notes is called: a known chord, turned over or not, its other names, and the intervals it holds."""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from acoustics.notes import CHORDS, Chord, chord_hz, nearest_note
from acoustics.units import cents_between, shift_hz
from app.errors import WorldError

_OCTAVE = 12
_INTERVALS = (
    "unison", "minor second", "major second", "minor third", "major third", "fourth", "tritone", "fifth",
    "minor sixth", "major sixth", "minor seventh", "major seventh", "octave", "minor ninth", "major ninth",
)  # fmt: skip
_ORDINALS = ("", "first", "second", "third", "fourth", "fifth")


@dataclass(frozen=True)
class Kin:
    """Another chord of the same notes by name; `steps_up` from the first chord's lowest note to this one's."""

    chord: Chord
    steps_up: int


@dataclass(frozen=True)
class Called:
    """The chord that some notes are, whether in just ratios, and by how many cents the farthest note is off it."""

    chord: Chord
    just: bool
    off_cents: float


def chord_called(notes_hz: Sequence[float], within_cents: float) -> Called | None:
    """The nearest of `CHORDS` and their turns, by equal steps or just; None when a note is further off than that.

    `notes_hz` lie lowest first. Of several names for the very same notes the one that needs fewest turns is given.
    """
    found = []
    for chord, _, _ in _chords_and_turns():
        for just in (False, True):
            off = off_cents(notes_hz, chord, just)
            if off is not None and off <= within_cents:
                found.append(Called(chord, just, off))
    return min(found, key=lambda called: called.off_cents, default=None)


def off_cents(notes_hz: Sequence[float], chord: Chord, just: bool) -> float | None:
    """How far the farthest note is off the chord upon the lowest; None for a chord of another size or no just form."""
    if len(chord.equal_steps) != len(notes_hz) or (just and chord.just_ratio is None):
        return None
    own_hz = chord_hz(chord, notes_hz[0], just)
    return max(abs(cents_between(one_hz, other_hz)) for one_hz, other_hz in zip(notes_hz, own_hz, strict=True))


def inverted(chord: Chord, number: int) -> Chord:
    """The chord with its lowest note raised above the others, `number` times.

    It goes up by an octave; where that octave is in the chord already, the next note that is there only once is doubled
    in its stead. A turn that is itself one of `CHORDS` bears that name.
    """
    if not 0 <= number < n_turns(chord):
        raise WorldError(
            f"The inversion is {number}; {chord.name} has from 0 (as it is) to {n_turns(chord) - 1}: "
            "the number says how many notes go up by an octave."
        )
    steps, ratio = chord.equal_steps, chord.just_ratio
    for _ in range(number):
        at = _doubled_by_turning(steps)
        steps = (*steps[1:], steps[at] + _OCTAVE)
        ratio = None if ratio is None else (*ratio[1:], 2 * ratio[at])
        steps, ratio = tuple(sorted(steps)), None if ratio is None else tuple(sorted(ratio))
    return _named(chord, number, tuple(step - steps[0] for step in steps), ratio)


def n_turns(chord: Chord) -> int:
    """How many notes of different name there are, each of which can be the lowest."""
    return len(_classes(chord))


def turned_from(chord: Chord) -> tuple[Chord, int]:
    """The chord of `CHORDS` that this one is, and how often it was turned over.

    Raises
    ------
    WorldError
        If it is none of them.
    """
    for known, base, number in _chords_and_turns():
        if known == chord:
            return base, number
    raise WorldError(f"{chord.name} is not among the chords that are known, nor any of them turned over.")


def kin_of(chord: Chord) -> tuple[Kin, ...]:
    """Other names of the same notes, doubled or not: each name once and unturned, as a mere turn is no other name.

    Two notes have none: an interval turned over is told by its own.
    """
    classes, own = _classes(chord), _family(chord)
    found: dict[str, Kin] = {}
    for other in CHORDS if len(classes) > 2 else ():
        for up in sorted(classes):
            if _family(other) != own and {(step + up) % _OCTAVE for step in _classes(other)} == classes:
                found.setdefault(_family(other), Kin(other, up))
    return tuple(found.values())


def also_called(chord: Chord, lowest_hz: float, a4_hz: float) -> tuple[str, ...]:
    """The other names upon their own lowest notes: "minor seventh on D"."""
    return tuple(
        f"{kin.chord.name} on {nearest_note(shift_hz(lowest_hz, 100.0 * kin.steps_up), a4_hz).name}"
        for kin in kin_of(chord)
    )


def intervals_of(chord: Chord) -> str:
    """What stands above the lowest note: "major third, fifth, major sixth"."""
    return ", ".join(_INTERVALS[step] if step < len(_INTERVALS) else f"{step} steps" for step in chord.equal_steps[1:])


@cache
def _chords_and_turns() -> tuple[tuple[Chord, Chord, int], ...]:
    """Each chord once, with the one of `CHORDS` it comes from and how often that was turned, fewest turns first."""
    found: dict[Chord, tuple[Chord, Chord, int]] = {}
    for number in range(len(_ORDINALS)):
        for base in CHORDS:
            if number < n_turns(base):
                chord = inverted(base, number)
                found.setdefault(chord, (chord, base, number))
    return tuple(found.values())


def _classes(chord: Chord) -> set[int]:
    return {step % _OCTAVE for step in chord.equal_steps}


def _doubled_by_turning(steps: tuple[int, ...]) -> int:
    """Which note's octave comes in when the lowest note leaves."""
    return next(at for at, step in enumerate(steps) if step + _OCTAVE not in steps)


def _family(chord: Chord) -> str:
    """Its name without turns and octaves."""
    return chord.name.partition(", ")[0].removesuffix(" with octave").replace(" with octave and ", " with ")


def _named(chord: Chord, number: int, steps: tuple[int, ...], ratio: tuple[int, ...] | None) -> Chord:
    if number == 0:
        return chord
    known = next((one for one in CHORDS if one.equal_steps == steps), None)
    if known is not None:
        return known
    if ratio is not None:
        ratio = tuple(each // math.gcd(*ratio) for each in ratio)
    # What is turned already counts on from there.
    root, _, turned = chord.name.partition(", ")
    already = next((at for at, ordinal in enumerate(_ORDINALS) if at and turned.startswith(ordinal)), 0)
    return Chord(f"{root}, {_ORDINALS[(already + number) % n_turns(chord)]} inversion", steps, ratio)
