"""The changes do what they are named for. Tones and noise of known make; a phase slope measures what a tone became."""
from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.bench.formats import changes, phone

RATE_HZ, TONE_HZ = 48_000, 611.3
ON_S, OFF_S = 1.0, 2.5


def blow(level: float = 0.2, room: float = 1e-4) -> NDArray[np.float64]:
    """A tone from 1 s to 2.5 s of 3.5 s of quiet noise."""
    t = np.arange(round(3.5 * RATE_HZ)) / RATE_HZ
    tone = np.where((t > ON_S) & (t < OFF_S), level * np.sin(2 * np.pi * TONE_HZ * t), 0.0)
    return tone + np.random.default_rng(2).normal(size=len(t)) * room


def rms(samples: NDArray[np.float64], rate_hz: int, start_s: float, end_s: float) -> float:
    return float(np.sqrt(np.mean(samples[round(start_s * rate_hz):round(end_s * rate_hz)] ** 2)))


def off_cents(samples: NDArray[np.float64], rate_hz: int) -> float:
    """By the phase against the true tone in two halves of the steady part."""
    halves = []
    for start_s in (1.3, 1.8):
        t = np.arange(round(start_s * rate_hz), round((start_s + 0.5) * rate_hz)) / rate_hz
        turned = samples[round(start_s * rate_hz):][:len(t)] * np.exp(-2j * np.pi * TONE_HZ * t)
        halves.append(np.sum(turned * np.hanning(len(t))))
    off_hz = float(np.angle(halves[1] / halves[0])) / (2 * np.pi * 0.5)
    return 1200.0 * float(np.log2(1.0 + off_hz / TONE_HZ))


@pytest.mark.parametrize("name", changes.all_changes())
def test_no_change_moves_a_tones_frequency_by_a_hundredth_of_a_cent(name: str) -> None:
    if name in ("suppressor", "a phone's call") and phone.speex() is None:
        pytest.skip("libspeexdsp1 is not installed")
    samples, rate_hz = changes.all_changes()[name](blow(), RATE_HZ)
    limit = 0.1 if "GSM" in name or "call" in name else 0.01  # a voice codec at 13 kbit/s bends a tone's phase
    assert abs(off_cents(np.asarray(samples), rate_hz)) < limit
    assert abs(len(samples) / rate_hz - 3.5) < 0.1


def test_mp3_weighs_what_128_kbit_per_second_weigh() -> None:
    codec = changes.mp3(2 / 3)
    codec(blow(), RATE_HZ)
    assert codec.kbit_per_s == pytest.approx(128.0, rel=0.05)  # the header weighs a little on so short a file


def test_steps_of_eight_bits_are_a_128th_of_full_scale() -> None:
    samples, _ = changes.in_steps(blow(), RATE_HZ, 8)
    assert np.max(np.abs(samples - blow())) <= 1 / 256 + 1e-12
    assert len(np.unique(samples)) < 60


def test_clipping_by_six_decibels_cuts_a_sine_at_half_its_height() -> None:
    samples, _ = changes.cut_flat(blow(room=0.0), RATE_HZ, 20 * np.log10(2.0))
    steady = np.abs(samples[round(1.2 * RATE_HZ):round(2.2 * RATE_HZ)])
    assert np.mean(steady == 1.0) == pytest.approx(2 / 3, abs=0.01)  # |sin| > 1/2 for two thirds of a turn


def test_band_lets_neither_rumble_nor_hiss_through() -> None:
    t = np.arange(RATE_HZ) / RATE_HZ
    for hz in (100.0, 12_000.0):
        kept, _ = phone.band(np.sin(2 * np.pi * hz * t), RATE_HZ)
        assert rms(kept, RATE_HZ, 0.3, 1.0) < 0.1


def test_gain_riding_brings_a_quiet_blow_to_its_target_and_lifts_the_room_before_it() -> None:
    before = blow(level=0.02)
    after, _ = phone.gain_riding(before, RATE_HZ)
    assert 20 * np.log10(rms(after, RATE_HZ, 2.2, 2.4)) == pytest.approx(phone.TARGET_DBFS, abs=1.0)
    assert rms(after, RATE_HZ, 0.6, 0.9) > 5.0 * rms(before, RATE_HZ, 0.6, 0.9)


def test_limiter_holds_a_loud_tone_at_its_limit() -> None:
    after, _ = phone.limited(blow(level=0.95), RATE_HZ)
    top_dbfs = 20 * np.log10(np.max(np.abs(after[round(1.2 * RATE_HZ):round(2.4 * RATE_HZ)])))
    assert top_dbfs == pytest.approx(phone.LIMIT_DBFS, abs=0.7)


def test_gate_is_shut_before_the_blow_and_open_in_it() -> None:
    before = blow()
    after, _ = phone.gated(before, RATE_HZ)
    assert rms(after, RATE_HZ, 0.5, 0.95) < 0.02 * rms(before, RATE_HZ, 0.5, 0.95)
    assert rms(after, RATE_HZ, 1.1, 2.4) == pytest.approx(rms(before, RATE_HZ, 1.1, 2.4), rel=0.02)


@pytest.mark.skipif(phone.speex() is None, reason="libspeexdsp1 is not installed")
def test_suppressor_takes_steady_noise_away() -> None:
    noise = np.random.default_rng(3).normal(size=4 * RATE_HZ) * 0.01
    noise[:RATE_HZ // 2] = 0.0
    plain, rate_hz = changes.resampled(noise, RATE_HZ, phone.SUPPRESSOR_RATE_HZ)
    after, _ = phone.suppressed(noise, RATE_HZ)
    assert rms(after, rate_hz, 3.0, 4.0) < 0.5 * rms(plain, rate_hz, 3.0, 4.0)
