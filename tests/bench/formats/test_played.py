"""The tunes are what the file format says they are. Expected bytes: worked by hand, and soundfile for the sound."""
from __future__ import annotations

import numpy as np
import pytest

from tests.bench.formats import played
from tests.soundfont import GENERAL_MIDI


@pytest.mark.parametrize(("number", "written"), [
    (0x00, "00"), (0x40, "40"), (0x7F, "7f"), (0x80, "8100"), (0x2000, "c000"), (0x3FFF, "ff7f"), (0x4000, "818000"),
    (0x1FFFFF, "ffff7f"), (0x0FFFFFFF, "ffffff7f"),
])  # published: Standard MIDI Files 1.0, its table of variable-length quantities, from memory
def test_length_is_written_as_the_standard_shows(number: int, written: str) -> None:
    assert played.varying_length(number).hex() == written


def test_note_is_on_then_off_a_second_later() -> None:
    track = played.midi_file([played.Note(0.0, 1.0, 69, 100, 76, True)])[22:]
    assert track.hex(" ") == "00 c0 4b 00 90 45 64 87 40 80 45 00 8f 00 ff 2f 00"  # by hand: 960 ticks are 87 40


@pytest.mark.skipif(not (played.can_play() and GENERAL_MIDI.exists()), reason="fluidsynth or its font is not installed")
def test_note_of_440_hertz_sounds_near_440_hertz() -> None:
    samples = played.rendered([played.Note(0.5, 2.0, 69, 100, 76, True)], GENERAL_MIDI)
    heard = samples[round(1.0 * played.RATE_HZ):round(1.8 * played.RATE_HZ)]
    spectrum = np.abs(np.fft.rfft(heard * np.hanning(len(heard)), 8 * len(heard)))
    assert np.argmax(spectrum) * played.RATE_HZ / (8 * len(heard)) == pytest.approx(440.0, rel=0.02)
    assert np.max(np.abs(samples[:round(0.4 * played.RATE_HZ)])) < 1e-3
