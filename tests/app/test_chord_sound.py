"""A chord to be heard before it is built: its own notes, soft, and silent at both ends."""
from __future__ import annotations

import threading

import numpy as np
import pytest
from scipy import signal

from app.chord_player import ChordPlayer
from app.chord_sound import CHORD_S, LEVEL_DBFS, SWELL_S, ChordSound

RATE_HZ = 48_000
MAJOR_SIXTH_HZ = (698.456, 880.0, 1046.502, 1174.659)  # published: equal scale on ISO 16, F5 A5 C6 D6


@pytest.mark.parametrize("rate_hz", [44_100, 48_000])
def test_each_note_of_the_chord_is_in_it_and_the_lowest_lines_are_those(rate_hz) -> None:
    samples = ChordSound(MAJOR_SIXTH_HZ).samples(rate_hz).astype(float)
    n_frames = rate_hz  # one second: lines 1 Hz apart
    power = np.abs(np.fft.rfft(samples[rate_hz // 2 :][:n_frames] * signal.windows.blackmanharris(n_frames)))
    peaks, _ = signal.find_peaks(power[:1400], height=power.max() * 0.2)
    assert peaks == pytest.approx(np.round(MAJOR_SIXTH_HZ), abs=1.0)


@pytest.mark.parametrize("n_notes", [2, 4, 6])
def test_a_chord_of_many_notes_is_no_louder_than_one_of_few(n_notes) -> None:
    samples = ChordSound(tuple(600.0 * 1.13**step for step in range(n_notes))).samples(RATE_HZ).astype(float)
    middle = samples[RATE_HZ : 2 * RATE_HZ]
    level_dbfs = 20.0 * np.log10(np.sqrt(np.mean(middle**2)))
    assert level_dbfs == pytest.approx(LEVEL_DBFS, abs=1.5)  # overtones and breath come on top of the fundamentals
    assert np.abs(samples).max() < 0.25


def test_it_swells_from_nothing_and_dies_away() -> None:
    samples = np.abs(ChordSound(MAJOR_SIXTH_HZ).samples(RATE_HZ))
    assert samples[: RATE_HZ // 50].max() < 0.002  # the first 20 ms
    assert samples[-RATE_HZ // 50 :].max() < 0.002
    assert samples[: round(SWELL_S * RATE_HZ / 4)].max() < 0.3 * samples.max()
    assert CHORD_S <= len(samples) / RATE_HZ <= 3.0


class Alone:
    """Stands in for the loudspeaker: sounds until it is broken off."""

    def __init__(self) -> None:
        self.sounding, self.broken_off = threading.Event(), 0

    def __call__(self, _sound: ChordSound, break_off: threading.Event) -> bool:
        self.sounding.set()
        assert break_off.wait(30.0)
        self.broken_off += 1
        return True


def test_where_nothing_sounds_that_is_told() -> None:
    silent = threading.Event()
    ChordPlayer(lambda _sound, _break_off: False).play(ChordSound((700.0, 880.0)), silent.set)
    assert silent.wait(30.0)


def test_one_chord_sounds_at_a_time_and_stop_breaks_it_off() -> None:
    alone = Alone()
    player = ChordPlayer(alone)
    assert player.play(ChordSound((700.0, 880.0)))
    assert alone.sounding.wait(30.0)
    assert not player.play(ChordSound((700.0, 880.0)))
    player.stop()
    assert alone.broken_off == 1
    player.stop()  # nothing sounds: nothing to do
    assert player.play(ChordSound((700.0, 880.0)))
    player.stop()
    assert alone.broken_off == 2
