"""The pitch of a steady stretch, against tones whose frequency is set by hand and against the Cramér-Rao bound."""
from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from acoustics.pitch import measure

ODD_HEAVY = (1.0, 0.1, 0.4, 0.05, 0.2)


def tone(
    frequency_hz: float, length_s: float = 1.0, lines: tuple[float, ...] = ODD_HEAVY, rate_hz: int = 48000
) -> NDArray[np.float64]:
    t = np.arange(round(length_s * rate_hz)) / rate_hz
    return np.asarray(sum(a * np.sin(2 * np.pi * k * frequency_hz * t + k) for k, a in enumerate(lines, start=1)))


def cents(a_hz: float, b_hz: float) -> float:
    return 1200.0 * float(np.log2(a_hz / b_hz))


@settings(max_examples=40, deadline=None)
@given(frequency_hz=st.floats(205.0, 2600.0), rate_hz=st.sampled_from([16000, 22050, 44100, 48000, 96000]))
def test_a_clean_tone_is_read_within_a_hundredth_of_a_cent(frequency_hz: float, rate_hz: int) -> None:
    found = measure(tone(frequency_hz, rate_hz=rate_hz), rate_hz, frequency_hz * 1.002)
    assert found is not None
    assert abs(cents(found.frequency_hz, frequency_hz)) < 0.01


@pytest.mark.parametrize("under_db", [3.0, 6.0, 12.0, 18.0])
def test_a_fundamental_far_under_its_third_line_is_still_the_note(under_db: float) -> None:
    lines = (10 ** (-under_db / 20.0), 0.05, 1.0, 0.02, 0.2)
    noise = np.random.default_rng(3).normal(size=48000) * 0.5
    found = measure(tone(612.3, lines=lines) + noise, 48000, 3 * 612.3 + 1.0)
    assert found is not None
    assert abs(cents(found.frequency_hz, 612.3)) < 0.2


def test_a_lone_twelfth_is_not_read_down_to_a_fundamental_that_is_not_there() -> None:
    noise = np.random.default_rng(4).normal(size=48000) * 0.1
    found = measure(tone(1836.9, lines=(1.0, 0.1, 0.2)) + noise, 48000, 1837.0)
    assert found is not None
    assert abs(cents(found.frequency_hz, 1836.9)) < 0.05


BOUNDS = [(0.5, 0, 0.02054), (1.0, 0, 0.007261), (1.0, 10, 0.002296)]


@pytest.mark.parametrize(("length_s", "noise_db", "bound_cents"), BOUNDS)
def test_scatter_of_one_line_stays_within_twice_the_bound(length_s: float, noise_db: int, bound_cents: float) -> None:
    # derived by hand: Rife & Boorstyn 1974, sd(f) >= fs/2pi sqrt(12/(eta N(N^2-1))), 600 Hz, 48 kHz, in cents
    rng, errors = np.random.default_rng(7), []
    clean = tone(600.0, length_s, (1.0,))
    for _ in range(30):
        noise = rng.normal(size=len(clean)) * np.sqrt(0.5 / 10 ** (noise_db / 10.0))
        found = measure(clean + noise, 48000, 600.3)
        assert found is not None
        errors.append(cents(found.frequency_hz, 600.0))
    assert bound_cents * 0.6 < float(np.std(errors)) < 2.0 * bound_cents


def test_the_stated_error_covers_the_true_one() -> None:
    rng, ratios = np.random.default_rng(8), []
    clean = tone(700.0, 0.8)
    for _ in range(40):
        found = measure(clean + rng.normal(size=len(clean)) * 0.7, 48000, 700.2)
        assert found is not None
        ratios.append(cents(found.frequency_hz, 700.0) / found.standard_error_cents)
    assert 0.3 < float(np.std(ratios)) < 1.6


def test_vibrato_shows_as_spread_and_leaves_the_mean() -> None:
    # derived by hand: a sine of 6 cents' amplitude has a standard deviation of 4.24 cents; 0.05 s of averaging at 4 Hz
    # leaves sin(0.2 pi)/(0.2 pi) = 0.935 of it, 3.97 cents, and frames of 40 ms a little less
    t = np.arange(96000) / 48000
    frequency_hz = 640.0 * 2 ** (6.0 * np.sin(2 * np.pi * 4.0 * t) / 1200.0)
    phase = 2 * np.pi * np.cumsum(frequency_hz) / 48000
    found = measure(np.sin(phase) + 0.3 * np.sin(3 * phase), 48000, 640.0)
    assert found is not None
    assert found.spread_cents == pytest.approx(3.9, abs=0.2)
    assert abs(cents(found.frequency_hz, 640.0)) < 0.3


def test_a_rising_tone_drifts_and_a_falling_one_drifts_the_other_way() -> None:
    t = np.arange(48000) / 48000
    for sign in (1.0, -1.0):
        phase = 2 * np.pi * np.cumsum(600.0 * 2 ** (sign * 10.0 * t / 1200.0)) / 48000
        found = measure(np.sin(phase), 48000, 600.0)
        assert found is not None
        assert found.drift_cents == pytest.approx(sign * 10.0, rel=0.1)


def test_narrow_noise_flutters_and_a_tone_does_not() -> None:
    rng = np.random.default_rng(9)
    spectrum = np.fft.rfft(rng.normal(size=48000))
    f = np.maximum(np.fft.rfftfreq(48000, 1 / 48000), 1.0)
    noise = np.fft.irfft(spectrum / np.sqrt(1.0 + (30.0 * (f / 600.0 - 600.0 / f)) ** 2), 48000)
    heap, line = measure(noise, 48000, 600.0), measure(tone(600.0), 48000, 600.0)
    assert heap is not None
    assert line is not None
    assert heap.flutter > 0.4 > 0.05 > line.flutter


def test_too_short_a_stretch_has_no_pitch() -> None:
    assert measure(tone(600.0, 0.03), 48000, 600.0) is None
