"""Chords against the interval content that A. Forte tabulated in *The Structure of Atonal Music* (1973), appendix 1.

How many pairs of notes, by name, stand one to six steps apart, inversions of an interval counted together. From memory.
Which name goes with which row is that of any book of harmony, from memory too. The counting is done here, anew.
"""
from itertools import combinations

import pytest

from acoustics.notes import CHORDS, chord_named

PAIRS_BY_STEPS = {
    "3-9": (0, 1, 0, 0, 2, 0), "3-10": (0, 0, 2, 0, 0, 1), "3-11": (0, 0, 1, 1, 1, 0), "3-12": (0, 0, 0, 3, 0, 0),
    "4-14": (1, 1, 1, 1, 2, 0), "4-20": (1, 0, 1, 2, 2, 0), "4-22": (0, 2, 1, 1, 2, 0), "4-26": (0, 1, 2, 1, 2, 0),
    "4-27": (0, 1, 2, 1, 1, 1), "4-28": (0, 0, 4, 0, 0, 2), "5-29": (1, 2, 2, 1, 3, 1), "5-34": (0, 3, 2, 2, 2, 1),
    "5-35": (0, 3, 2, 1, 4, 0), "6-32": (1, 4, 3, 2, 5, 0), "6-33": (1, 4, 3, 2, 4, 1), "6-35": (0, 6, 0, 6, 0, 3),
}
NAMES = {
    "3-9": ("suspended second", "suspended fourth", "stacked fourths"),
    "3-10": ("diminished triad",),
    "3-11": ("major triad", "minor triad", "major triad with octave", "minor triad with octave"),
    "3-12": ("augmented triad",),
    "4-14": ("minor triad with ninth",),
    "4-20": ("major seventh",),
    "4-22": ("major triad with ninth",),
    "4-26": ("major sixth", "minor seventh", "major sixth with octave", "minor seventh with octave"),
    "4-27": ("minor sixth", "dominant seventh", "half-diminished seventh", "minor sixth with octave",
             "dominant seventh with octave", "half-diminished seventh with octave"),
    "4-28": ("diminished seventh", "diminished seventh with octave"),
    "5-29": ("minor sixth with octave and ninth",),
    "5-34": ("dominant ninth", "dominant ninth with octave"),
    "5-35": ("major pentatonic", "minor pentatonic", "major sixth with ninth", "major pentatonic with octave",
             "minor pentatonic with octave", "major sixth with octave and ninth"),
    "6-32": ("major hexachord", "major seventh with sixth and ninth"),
    "6-33": ("dominant eleventh within an octave",),
    "6-35": ("whole-tone hexachord",),
}
ROWS = [(name, row) for row, names in NAMES.items() for name in names]


@pytest.mark.parametrize(("name", "row"), ROWS)
def test_chord_has_the_interval_content_of_its_row(name: str, row: str) -> None:
    notes = {step % 12 for step in chord_named(name).equal_steps}
    apart = [min((high - low) % 12, (low - high) % 12) for low, high in combinations(notes, 2)]
    assert tuple(apart.count(steps) for steps in range(1, 7)) == PAIRS_BY_STEPS[row]


def test_every_chord_of_three_notes_and_more_has_its_row() -> None:
    unturned = {chord.name for chord in CHORDS if len(chord.equal_steps) > 2 and "inversion" not in chord.name}
    assert unturned == {name for name, _ in ROWS}
