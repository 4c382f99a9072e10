"""Note names and chords: spelling, round trips and the agreement of each just form with its equal steps."""
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from acoustics.errors import NoSolutionError, OutOfRangeError
from acoustics.notes import CHORDS, beat_hz, chord_hz, chord_named, nearest_note, note_hz
from acoustics.units import cents_between, shift_hz

CHORD_NAMES = [chord.name for chord in CHORDS]


@pytest.mark.parametrize(
    ("spelling", "same"),
    [("F#5", "F♯5"), ("Bb4", "B♭4"), ("Eb5", "D♯5"), ("a5", "A5"), (" C6 ", "C6"), ("Cb5", "B4"), ("B#4", "C5")],
)
def test_one_note_may_be_spelt_in_several_ways(spelling, same):
    assert note_hz(spelling) == pytest.approx(note_hz(same), rel=1e-12)


@pytest.mark.parametrize("nonsense", ["", "H4", "A", "5", "A#b4", "440", "A44", "do"])
def test_what_is_no_note_is_refused_with_an_example(nonsense):
    with pytest.raises(OutOfRangeError, match="F#5"):
        note_hz(nonsense)


@pytest.mark.parametrize("a4_hz", [0.0, 44.0, 880.0, math.nan])
def test_reference_pitch_of_another_note_is_refused(a4_hz):
    with pytest.raises(OutOfRangeError, match="reference pitch"):
        note_hz("A5", a4_hz=a4_hz)


@given(st.floats(50.0, 8000.0), st.floats(415.0, 466.0))
def test_nearest_note_and_its_deviation_lead_back_to_the_frequency(frequency_hz, a4_hz):
    note = nearest_note(frequency_hz, a4_hz)
    assert -50.0 - 1e-6 <= note.deviation_cents <= 50.0 + 1e-6
    assert shift_hz(note_hz(str(note), a4_hz), note.deviation_cents) == pytest.approx(frequency_hz, rel=1e-9)


def test_note_played_sharp_has_a_positive_deviation():
    assert nearest_note(885.0).deviation_cents > 0
    assert str(nearest_note(885.0)) == "A5"


def test_octave_changes_at_c_not_at_a():
    assert str(nearest_note(note_hz("B4"))) == "B4"
    assert str(nearest_note(note_hz("C5"))) == "C5"
    assert note_hz("C5") > note_hz("B4")


def test_raising_the_reference_raises_every_note_alike():
    assert cents_between(note_hz("D5", 442.0), note_hz("D5")) == pytest.approx(cents_between(442.0, 440.0), abs=1e-9)


@pytest.mark.parametrize("chord", CHORDS, ids=CHORD_NAMES)
def test_chord_begins_with_its_lowest_note_and_rises(chord):
    for just in (False, True):
        if just and chord.just_ratio is None:
            continue
        frequencies_hz = chord_hz(chord, 600.0, just=just)
        assert frequencies_hz[0] == 600.0
        assert list(frequencies_hz) == sorted(set(frequencies_hz))
        assert len(frequencies_hz) == len(chord.equal_steps)


@pytest.mark.parametrize("chord", CHORDS, ids=CHORD_NAMES)
def test_just_form_is_the_same_chord_as_its_equal_steps(chord):
    if chord.just_ratio is None:
        with pytest.raises(NoSolutionError, match="equal steps"):
            chord_hz(chord, 600.0, just=True)
        return
    for just_hz, equal_hz in zip(chord_hz(chord, 600.0, just=True), chord_hz(chord, 600.0), strict=True):
        assert abs(cents_between(just_hz, equal_hz)) < 32.0  # by hand, the widest: 7:4 lies 31.2 below ten steps
    assert math.gcd(*chord.just_ratio) == 1


def test_no_two_chords_share_a_name_or_their_steps():
    assert len(set(CHORD_NAMES)) == len(CHORDS)
    assert len({chord.equal_steps for chord in CHORDS}) == len(CHORDS)


def test_chord_is_found_by_name_in_any_case():
    assert chord_named(" Major Sixth ").equal_steps == (0, 4, 7, 9)


def test_unknown_chord_is_refused_with_the_names_there_are():
    with pytest.raises(OutOfRangeError, match="diminished seventh"):
        chord_named("lost chord")


def test_notes_in_their_just_ratio_do_not_beat():
    assert beat_hz(600.0, 750.0, 5, 4) == 0.0


@given(st.floats(-30.0, 30.0))
def test_beats_quicken_with_the_error_whichever_way_it_goes(error_cents):
    beats_hz = beat_hz(600.0, shift_hz(1000.0, error_cents), 5, 3)
    assert beats_hz == pytest.approx(3000.0 * abs(2 ** (error_cents / 1200) - 1), abs=1e-6)
