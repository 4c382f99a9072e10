"""Just intervals in cents, as Ellis tabulated them in Helmholtz, *On the Sensations of Tone* (1885), appendix XX.

To whole cents, from memory; the same whole numbers stand in every later table. And beats, which are plain arithmetic.
"""
import pytest

from acoustics.notes import beat_hz, chord_hz, chord_named, note_hz
from acoustics.units import cents_between

WHOLE_CENTS = {
    (16, 15): 112, (9, 8): 204, (7, 6): 267, (6, 5): 316, (5, 4): 386, (9, 7): 435, (4, 3): 498, (7, 5): 583,
    (10, 7): 617, (3, 2): 702, (8, 5): 814, (5, 3): 884, (7, 4): 969, (16, 9): 996, (9, 5): 1018, (15, 8): 1088,
}
JUST_CHORD_CENTS = {
    "major sixth": [0, 386, 702, 884],
    "minor sixth": [0, 316, 702, 884],
    "dominant seventh": [0, 386, 702, 969],
    "diminished seventh": [0, 316, 583, 919],
    "major seventh": [0, 386, 702, 1088],
    "minor seventh": [0, 316, 702, 1018],
    "half-diminished seventh": [0, 316, 583, 1018],
    "major triad with ninth": [0, 386, 702, 1404],
    "minor triad with ninth": [0, 316, 702, 1404],
    "minor third": [0, 316],
    "major third": [0, 386],
    "perfect fourth": [0, 498],
    "tritone": [0, 583],
    "perfect fifth": [0, 702],
    "minor sixth interval": [0, 814],
    "major sixth interval": [0, 884],
    "octave": [0, 1200],
    "diminished triad": [0, 316, 583],
    "minor triad, first inversion": [0, 386, 884],
    "suspended second": [0, 204, 702],
    "suspended fourth": [0, 498, 702],
    "stacked fourths": [0, 498, 996],
    "major pentatonic": [0, 204, 386, 702, 884],
    "minor pentatonic": [0, 316, 498, 702, 1018],
    "dominant ninth": [0, 386, 702, 969, 1404],
    "major hexachord": [0, 204, 386, 498, 702, 884],
    "dominant eleventh within an octave": [0, 204, 386, 498, 702, 969],
    "major sixth with octave and ninth": [0, 386, 702, 884, 1200, 1404],
    "minor sixth with octave and ninth": [0, 316, 702, 884, 1200, 1404],
    "dominant ninth with octave": [0, 386, 702, 969, 1200, 1404],
    "major seventh with sixth and ninth": [0, 386, 702, 884, 1088, 1404],
}


@pytest.mark.parametrize(("ratio", "whole_cents"), WHOLE_CENTS.items())
def test_ratio_has_the_cents_of_the_table(ratio, whole_cents):
    assert cents_between(*ratio) == pytest.approx(whole_cents, abs=0.5)


@pytest.mark.parametrize(("name", "whole_cents"), JUST_CHORD_CENTS.items())
def test_just_chord_holds_the_intervals_of_the_table(name, whole_cents):
    frequencies_hz = chord_hz(chord_named(name), 600.0, just=True)
    assert [cents_between(f_hz, 600.0) for f_hz in frequencies_hz] == pytest.approx(whole_cents, abs=0.5)


@pytest.mark.parametrize(
    ("upper", "lower_partial", "upper_partial", "beats_hz"),
    [
        ("E5", 5, 4, 20.765),  # derived by hand: |5 x 523.25113 - 4 x 659.25511|
        ("G5", 3, 2, 1.772),
        ("A5", 5, 3, 23.744),
        ("Bb5", 7, 4, 66.552),
    ],
)
def test_equal_interval_on_c_beats_as_worked_by_hand(upper, lower_partial, upper_partial, beats_hz):
    # Two frequencies to 5e-6 Hz, times at most 7 and 4: 0.0001 Hz; the last printed figure is 0.0005.
    found_hz = beat_hz(note_hz("C5"), note_hz(upper), lower_partial, upper_partial)
    assert found_hz == pytest.approx(beats_hz, abs=6e-4)
