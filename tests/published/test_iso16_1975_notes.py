"""ISO 16:1975, A4 = 440 Hz, and the equal scale built on it.

The frequencies are those of the tables printed in handbooks of acoustics, to a hundredth of a hertz (from memory, and
the same in librosa, a general library for sound, which is asked for every semitone).
"""
import librosa
import pytest

from acoustics.notes import nearest_note, note_hz

PRINTED_HZ = {
    "C4": 261.63, "C#4": 277.18, "D4": 293.66, "D#4": 311.13, "E4": 329.63, "F4": 349.23, "F#4": 369.99, "G4": 392.00,
    "G#4": 415.30, "A4": 440.00, "A#4": 466.16, "B4": 493.88,
    "C5": 523.25, "D5": 587.33, "D#5": 622.25, "E5": 659.26, "F5": 698.46, "F#5": 739.99, "G5": 783.99, "A5": 880.00,
    "C6": 1046.50, "D6": 1174.66, "E6": 1318.51, "G6": 1567.98, "C7": 2093.00,
}


def test_a_above_middle_c_is_the_standards():
    assert note_hz("A4") == 440.0


@pytest.mark.parametrize(("name", "printed_hz"), PRINTED_HZ.items())
def test_note_is_the_printed_one_to_its_last_figure(name, printed_hz):
    assert note_hz(name) == pytest.approx(printed_hz, abs=0.005)


@pytest.mark.parametrize("number", range(48, 97))
def test_every_semitone_is_named_and_pitched_as_the_general_library_does(number):
    name = librosa.midi_to_note(number, unicode=True)
    assert note_hz(name) == pytest.approx(librosa.midi_to_hz(number), rel=1e-12)
    assert str(nearest_note(float(librosa.midi_to_hz(number)))) == name
