"""Chords turned upside down, the other names of the same notes, and the intervals they hold."""
from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from acoustics.notes import CHORDS, Chord
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


def inverted(chord: Chord, number: int) -> Chord:
    """The chord with its lowest `number` notes raised by an octave; an octave that doubles the lowest goes along."""
    if not 0 <= number < len(_classes(chord)):
        raise WorldError(
            f"The inversion is {number}; {chord.name} has from 0 (as it is) to {len(_classes(chord)) - 1}: "
            "the number says how many notes go up by an octave."
        )
    steps, ratio = chord.equal_steps, chord.just_ratio
    doubled = steps[-1] == _OCTAVE
    for _ in range(number):
        steps = _turned(steps, doubled, lambda step: step + _OCTAVE)
        ratio = None if ratio is None else _turned(ratio, doubled, lambda each: each * 2)
    return _named(chord, number, tuple(step - steps[0] for step in steps), ratio)


def kin_of(chord: Chord) -> tuple[Kin, ...]:
    """Every other chord that is the same set of notes by name, counted from another of them or ordered otherwise."""
    found = []
    for other in CHORDS:
        for up in sorted(_classes(chord)):
            turned = sorted((step + up) % _OCTAVE for step in other.equal_steps)
            if other != chord and turned == sorted(step % _OCTAVE for step in chord.equal_steps):
                found.append(Kin(other, up))
                break
    return tuple(found)


def intervals_of(chord: Chord) -> str:
    """What stands above the lowest note: "major third, fifth, major sixth"."""
    return ", ".join(_INTERVALS[step] if step < len(_INTERVALS) else f"{step} steps" for step in chord.equal_steps[1:])


def _classes(chord: Chord) -> set[int]:
    return {step % _OCTAVE for step in chord.equal_steps}


def _turned(notes: tuple[int, ...], doubled: bool, raised: Callable[[int], int]) -> tuple[int, ...]:
    lowest, *rest = notes[:-1] if doubled else notes
    turned = sorted([*rest, raised(lowest)])
    return tuple([*turned, raised(turned[0])] if doubled else turned)


def _named(chord: Chord, number: int, steps: tuple[int, ...], ratio: tuple[int, ...] | None) -> Chord:
    if number == 0:
        return chord
    known = next((one for one in CHORDS if one.equal_steps == steps), None)
    if known is not None:
        return known
    if ratio is not None:
        ratio = tuple(each // math.gcd(*ratio) for each in ratio)
    return Chord(f"{chord.name}, {_ORDINALS[number]} inversion", steps, ratio)
