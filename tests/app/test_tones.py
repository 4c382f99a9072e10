"""The signals as sound: quiet, short, soft, and never a blow or a gesture even to an ear that is not deaf."""
from itertools import groupby, pairwise

import numpy as np
import pytest
from scipy import signal

from acoustics.blow import BlowFinder, TwoToots
from app.own_sound import APART_S
from app.tones import HIGH_HZ, LOW_HZ, SHAPES, tone

RATES_HZ = (22_050, 44_100, 48_000, 96_000)


def notes_hz(samples, rate_hz):
    """The notes one after the other, by a general library's spectrogram: strongest twice running in 21 ms each."""
    frequencies_hz, _, power = signal.spectrogram(samples, rate_hz, nperseg=1024 * rate_hz // 48_000, noverlap=0)
    heard_hz = [frequencies_hz[column.argmax()] for column in power.T]
    steady_hz = [now for now, after in pairwise(heard_hz) if now == after]
    return [hz for hz, _ in groupby(steady_hz)]


@pytest.mark.parametrize("rate_hz", RATES_HZ)
@pytest.mark.parametrize("sound", SHAPES)
def test_signal_is_short_and_quiet(sound, rate_hz):
    samples = tone(sound, rate_hz)
    assert len(samples) / rate_hz <= 0.35
    middle = samples[len(samples) // 4 : -len(samples) // 4].astype(float)
    assert 20.0 * np.log10(np.sqrt(np.mean(middle**2))) == pytest.approx(-20.0, abs=0.2)
    assert np.abs(samples).max() < 0.15  # by hand: -20 dB and the square root of two are 0.141


@pytest.mark.parametrize("sound", SHAPES)
def test_signal_starts_and_ends_softly(sound):
    samples = np.abs(tone(sound, 48_000))
    assert samples[:96].max() < 0.01  # 2 ms
    assert samples[-96:].max() < 0.01


def test_taken_falls_done_rises_and_ask_does_both():
    low_hz, high_hz = (pytest.approx(hz, rel=0.03) for hz in (LOW_HZ, HIGH_HZ))
    assert notes_hz(tone("taken", 48_000), 48_000) == [high_hz, low_hz]
    assert notes_hz(tone("done", 48_000), 48_000) == [low_hz, high_hz]
    assert notes_hz(tone("ask", 48_000), 48_000) == [high_hz, low_hz, high_hz]


@pytest.mark.parametrize("gain_db", [0.0, -15.0, -30.0])
@pytest.mark.parametrize("gap_s", [APART_S, APART_S + 0.2])
@pytest.mark.parametrize("sounds", ["taken taken", "done done", "ask ask", "done ask"])
def test_signals_heard_by_mistake_are_neither_a_reading_nor_two_toots(sounds, gap_s, gain_db):
    rate_hz = 24_000
    rng = np.random.default_rng(5)
    first, second = (tone(sound, rate_hz) for sound in sounds.split())
    parts = [np.zeros(rate_hz), first, np.zeros(round(gap_s * rate_hz)), second, np.zeros(rate_hz)]
    sound = np.concatenate(parts) * 10.0 ** (gain_db / 20.0)
    sound = (sound + 3e-4 * rng.standard_normal(len(sound))).astype(np.float32)
    finder = BlowFinder(rate_hz)
    finder.expect((500.0, 700.0))
    found = [each for block in np.array_split(sound, len(sound) // 240) for each in finder.feed(block)]
    found += finder.finish()
    assert not [each for each in found if isinstance(each, TwoToots)]
    assert not [each for each in found if getattr(getattr(each, "blow", None), "usable", False)]
