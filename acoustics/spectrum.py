"""Power spectra of short frames, and the lines that stand out of them.

Conventions
-----------
A power spectrum is one-sided, full scale squared per hertz, on equal steps from 0 Hz to half the sample rate. The
power of a line is the sum of its main lobe times the step, less the noise beneath it. Frames bear a Hann window.
"""
from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

Array = NDArray[np.float64]

HOP_S = 0.010
FRAME_HOPS = 4  # 40 ms: lines of 200 Hz spacing stand apart, and an end is seen within 30 ms
LOBE_BINS = 2  # a Hann line fills two bins on either side of its peak


def hop_length(sample_rate_hz: int) -> int:
    """Samples in one hop: the same for a stream and for a whole recording."""
    return max(1, round(sample_rate_hz * HOP_S))


@lru_cache(maxsize=32)
def _power_window(n_samples: int, sample_rate_hz: int) -> Array:
    window: Array = hann(n_samples) * np.sqrt(2.0 / (sample_rate_hz * 0.375 * n_samples))  # a Hann's mean square is 3/8
    window.setflags(write=False)
    return window


@lru_cache(maxsize=32)
def hann(n_samples: int) -> Array:
    """Periodic Hann window, not to be written to."""
    window: Array = np.hanning(n_samples + 1)[:-1]
    window.setflags(write=False)
    return window


def frame_power(frame: NDArray[np.floating], sample_rate_hz: int) -> Array:
    """Power spectrum of one frame, or of each row of several."""
    spectrum = np.fft.rfft(frame * _power_window(frame.shape[-1], sample_rate_hz))
    power: Array = spectrum.real**2 + spectrum.imag**2
    return power


def frames_of(samples: NDArray[np.floating], frame_length: int, hop: int) -> NDArray[np.floating]:
    """Rows of `frame_length` samples every `hop` samples: a view, nothing is copied. No rows if too short."""
    if len(samples) < frame_length:
        return np.empty((0, frame_length))
    rows: NDArray[np.floating] = sliding_window_view(samples, frame_length)[::hop]
    return rows


def local_level(power: Array, reach_bins: int) -> Array:
    """Median of each bin's neighbourhood, as a mean: what the noise would be were there no lines."""
    padded = np.pad(power, reach_bins, mode="edge")
    places = np.arange(0, len(power), max(1, reach_bins // 2))
    medians = np.median(sliding_window_view(padded, 2 * reach_bins + 1)[places], axis=1)
    level: Array = np.interp(np.arange(len(power)), places, medians)
    level /= np.log(2.0)  # the median of an exponential law is ln 2 of its mean
    return level


def resampled(power: Array, n_bins: int) -> Array:
    """The same spectrum on `n_bins` equal steps over the same range."""
    if len(power) == n_bins:
        return power
    result: Array = np.interp(np.linspace(0.0, 1.0, n_bins), np.linspace(0.0, 1.0, len(power)), power)
    return result


@dataclass(frozen=True)
class Line:
    """One peak of a power spectrum."""

    frequency_hz: float
    power: float  # full scale squared: a sine of amplitude a has a**2 / 2
    contrast: float  # peak over the noise beside it, a power ratio


def lines_of(power: Array, level: Array, bin_hz: float, low_hz: float, high_hz: float, contrast: float) -> list[Line]:
    """Peaks that stand `contrast` times over `level`, strongest first."""
    low = max(LOBE_BINS + 1, int(low_hz / bin_hz))
    high = min(len(power) - LOBE_BINS - 2, int(high_hz / bin_hz) + 1)
    if high <= low:
        return []
    middle = power[low:high]
    peaks = (middle > power[low - 1 : high - 1]) & (middle >= power[low + 1 : high + 1])
    peaks &= middle > contrast * level[low:high]
    found = [_line_at(power, level, low + int(k), bin_hz) for k in np.flatnonzero(peaks)]
    return sorted(found, key=lambda line: -line.power)


def _line_at(power: Array, level: Array, k: int, bin_hz: float) -> Line:
    """Frequency by the ratio of the two highest bins, exact for one sine under a Hann window."""
    side = 1 if power[k + 1] >= power[k - 1] else -1
    ratio = float(np.sqrt(power[k + side] / max(power[k], 1e-300)))
    shift = side * max(0.0, (2.0 * ratio - 1.0) / (1.0 + ratio))
    lobe = power[k - LOBE_BINS : k + LOBE_BINS + 1]
    return Line((k + shift) * bin_hz, float(np.sum(lobe) * bin_hz), float(power[k] / max(level[k], 1e-300)))
