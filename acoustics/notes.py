"""Note names, chords by interval content, and beats.

Conventions
-----------
A note is written ``A5``, ``F♯5`` or ``F#5``, ``B♭4`` or ``Bb4``; octaves change at C, and A4 is the reference pitch.
A chord is named by the intervals it holds, counted in equal steps (semitones) above its lowest note. Several names can
hold the same notes: the inversions of the major sixth are a minor seventh and its kin.
"""
from __future__ import annotations

import re
from dataclasses import dataclass

from acoustics.constants import REFERENCE_PITCH_HZ
from acoustics.errors import NoSolutionError, OutOfRangeError, require_between
from acoustics.units import cents_between, shift_hz

_NAMES = ("C", "C♯", "D", "D♯", "E", "F", "F♯", "G", "G♯", "A", "A♯", "B")
_STEPS_OF_LETTER = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_STEPS_OF_SIGN = {"": 0, "♮": 0, "#": 1, "♯": 1, "b": -1, "♭": -1}
_NOTE = re.compile(r"([A-Ga-g])([♮#♯b♭]?)(-?\d)")
_A4_STEPS = 4 * 12 + _STEPS_OF_LETTER["A"]


@dataclass(frozen=True)
class Note:
    """The nearest note of the equal scale, and how far off it: ``Note("F♯", 5, -3.2)``."""

    name: str
    octave: int
    deviation_cents: float

    def __str__(self) -> str:
        return f"{self.name}{self.octave}"


@dataclass(frozen=True)
class Chord:
    """Notes above a lowest one.

    Parameters
    ----------
    name : str
        By interval content.
    equal_steps : tuple of int
        Equal steps above the lowest note, which is the first, 0.
    just_ratio : tuple of int, or None
        The same notes as whole numbers that beat least; None where none is agreed.
    """

    name: str
    equal_steps: tuple[int, ...]
    just_ratio: tuple[int, ...] | None = None


# Where several just forms are in use, the one of the smallest numbers within the 5-limit is given, except that sevenths
# that rest on a tritone or a dominant take the 7 (and the diminished seventh the 17).
CHORDS: tuple[Chord, ...] = (
    Chord("minor third", (0, 3), (5, 6)),
    Chord("major third", (0, 4), (4, 5)),
    Chord("perfect fourth", (0, 5), (3, 4)),
    Chord("tritone", (0, 6), (5, 7)),
    Chord("perfect fifth", (0, 7), (2, 3)),
    Chord("minor sixth interval", (0, 8), (5, 8)),  # the bare names of the sixths belong to the chords
    Chord("major sixth interval", (0, 9), (3, 5)),
    Chord("octave", (0, 12), (1, 2)),
    Chord("major triad", (0, 4, 7), (4, 5, 6)),
    Chord("major triad, first inversion", (0, 3, 8), (5, 6, 8)),
    Chord("major triad, second inversion", (0, 5, 9), (3, 4, 5)),
    Chord("minor triad", (0, 3, 7), (10, 12, 15)),
    Chord("minor triad, first inversion", (0, 4, 9), (12, 15, 20)),
    Chord("minor triad, second inversion", (0, 5, 8), (15, 20, 24)),
    Chord("diminished triad", (0, 3, 6), (5, 6, 7)),
    Chord("augmented triad", (0, 4, 8)),
    Chord("suspended second", (0, 2, 7), (8, 9, 12)),
    Chord("suspended fourth", (0, 5, 7), (6, 8, 9)),
    Chord("stacked fourths", (0, 5, 10), (9, 12, 16)),
    Chord("major sixth", (0, 4, 7, 9), (12, 15, 18, 20)),
    Chord("major sixth, first inversion", (0, 3, 5, 8), (15, 18, 20, 24)),
    Chord("major sixth, second inversion", (0, 2, 5, 9), (9, 10, 12, 15)),
    Chord("minor sixth", (0, 3, 7, 9), (30, 36, 45, 50)),
    Chord("minor seventh", (0, 3, 7, 10), (10, 12, 15, 18)),
    Chord("major seventh", (0, 4, 7, 11), (8, 10, 12, 15)),
    Chord("dominant seventh", (0, 4, 7, 10), (4, 5, 6, 7)),
    Chord("half-diminished seventh", (0, 3, 6, 10), (5, 6, 7, 9)),
    Chord("diminished seventh", (0, 3, 6, 9), (10, 12, 14, 17)),
    Chord("major triad with octave", (0, 4, 7, 12), (4, 5, 6, 8)),
    Chord("minor triad with octave", (0, 3, 7, 12), (10, 12, 15, 20)),
    Chord("major triad with ninth", (0, 4, 7, 14), (4, 5, 6, 9)),
    Chord("minor triad with ninth", (0, 3, 7, 14), (20, 24, 30, 45)),
    Chord("major sixth with octave", (0, 4, 7, 9, 12), (12, 15, 18, 20, 24)),
    Chord("minor sixth with octave", (0, 3, 7, 9, 12), (30, 36, 45, 50, 60)),
    Chord("minor seventh with octave", (0, 3, 7, 10, 12), (10, 12, 15, 18, 20)),
    Chord("dominant seventh with octave", (0, 4, 7, 10, 12), (4, 5, 6, 7, 8)),
    Chord("half-diminished seventh with octave", (0, 3, 6, 10, 12), (5, 6, 7, 9, 10)),
    Chord("diminished seventh with octave", (0, 3, 6, 9, 12), (10, 12, 14, 17, 20)),
    Chord("major pentatonic", (0, 2, 4, 7, 9), (24, 27, 30, 36, 40)),
    Chord("minor pentatonic", (0, 3, 5, 7, 10), (30, 36, 40, 45, 54)),
    Chord("major sixth with ninth", (0, 4, 7, 9, 14), (12, 15, 18, 20, 27)),
    Chord("dominant ninth", (0, 4, 7, 10, 14), (4, 5, 6, 7, 9)),
    Chord("major pentatonic with octave", (0, 2, 4, 7, 9, 12), (24, 27, 30, 36, 40, 48)),
    Chord("minor pentatonic with octave", (0, 3, 5, 7, 10, 12), (30, 36, 40, 45, 54, 60)),
    Chord("major hexachord", (0, 2, 4, 5, 7, 9), (24, 27, 30, 32, 36, 40)),
    Chord("dominant eleventh within an octave", (0, 2, 4, 5, 7, 10), (24, 27, 30, 32, 36, 42)),
    Chord("whole-tone hexachord", (0, 2, 4, 6, 8, 10)),
    Chord("major sixth with octave and ninth", (0, 4, 7, 9, 12, 14), (12, 15, 18, 20, 24, 27)),
    Chord("minor sixth with octave and ninth", (0, 3, 7, 9, 12, 14), (60, 72, 90, 100, 120, 135)),
    Chord("dominant ninth with octave", (0, 4, 7, 10, 12, 14), (4, 5, 6, 7, 8, 9)),
    Chord("major seventh with sixth and ninth", (0, 4, 7, 9, 11, 14), (24, 30, 36, 40, 45, 54)),
)


def note_hz(name: str, a4_hz: float = REFERENCE_PITCH_HZ) -> float:
    """Frequency of a note of the equal scale.

    Parameters
    ----------
    name : str
        ``"A5"``, ``"F♯5"``, ``"F#5"``, ``"B♭4"``, ``"Bb4"``; octaves -9 to 9.
    a4_hz : float
        The reference pitch, 380 to 480.

    Raises
    ------
    OutOfRangeError
        If the name cannot be read, or `a4_hz` is out of range.

    References
    ----------
    ISO 16:1975 for the reference pitch; ``f = a4 2^(steps / 12)``.
    """
    _require_reference(a4_hz)
    match = _NOTE.fullmatch(name.strip())
    if match is None:
        raise OutOfRangeError(f"{name!r} is not a note; it must be a letter A to G, a # or b if any, an octave: F#5.")
    letter, sign, octave = match.groups()
    steps = 12 * int(octave) + _STEPS_OF_LETTER[letter.upper()] + _STEPS_OF_SIGN[sign]
    return shift_hz(a4_hz, 100.0 * (steps - _A4_STEPS))


def nearest_note(frequency_hz: float, a4_hz: float = REFERENCE_PITCH_HZ) -> Note:
    """The nearest note of the equal scale; `deviation_cents` from -50 to 50, positive when sharp of it.

    Raises
    ------
    OutOfRangeError
        If `frequency_hz` is not a positive number, or `a4_hz` is out of range.
    """
    _require_reference(a4_hz)
    cents = cents_between(frequency_hz, a4_hz)
    steps = round(cents / 100.0)
    octave, place = divmod(steps + _A4_STEPS, 12)
    return Note(_NAMES[place], octave, cents - 100.0 * steps)


def chord_named(name: str) -> Chord:
    """The chord of that name in `CHORDS`, upper or lower case.

    Raises
    ------
    OutOfRangeError
        If there is none.
    """
    for chord in CHORDS:
        if chord.name == name.strip().lower():
            return chord
    raise OutOfRangeError(f"{name!r} is not a known chord; it must be one of: {'; '.join(c.name for c in CHORDS)}.")


def chord_hz(chord: Chord, lowest_hz: float, just: bool = False) -> tuple[float, ...]:
    """Frequencies of a chord upon `lowest_hz`, lowest first.

    Raises
    ------
    NoSolutionError
        If `just` is wanted of a chord that has no agreed just form.
    """
    if not just:
        return tuple(shift_hz(lowest_hz, 100.0 * steps) for steps in chord.equal_steps)
    if chord.just_ratio is None:
        raise NoSolutionError(f"The chord {chord.name} has no agreed just form; use equal steps.")
    return tuple(lowest_hz * number / chord.just_ratio[0] for number in chord.just_ratio)


def beat_hz(first_hz: float, second_hz: float, first_partial: int, second_partial: int) -> float:
    """Beats per second between partial `first_partial` of one note and `second_partial` of another.

    Notes
    -----
    Two notes near the ratio n:m beat where partial m of the lower meets partial n of the upper. Even partials are weak
    in stopped pipes, so odd pairs (5:3, 7:5, 9:7) carry best.
    """
    return abs(first_partial * first_hz - second_partial * second_hz)


def _require_reference(a4_hz: float) -> None:
    require_between("reference pitch A4 in Hz", a4_hz, 380.0, 480.0, "Is it the frequency of another note?")
