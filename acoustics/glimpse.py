"""A cheap look at a growing blow: one frame, its lines, their common fundamental. Shown, never stored."""
from __future__ import annotations

import numpy as np

from acoustics.heard import Glimpse, Samples
from acoustics.pitch import CENTS_PER_NEPER, DIVISORS, LOWEST_HZ
from acoustics.segment import FineSpectrum, fine_spectrum
from acoustics.spectrum import Array, Line

EXPECTED, UNEXPECTED = 3.0, 9.0  # contrast of a fundamental under the strongest line, within the range and elsewhere
LINE_ERROR_BINS = 0.5  # standard deviation of one line's place at a contrast of 1; falls as its square root


def glimpse(
    samples: Samples, sample_rate_hz: int, floor: Array | None, range_hz: tuple[float, float] | None, at_s: float
) -> Glimpse:
    """What the last tenth of a second says."""
    spectrum = fine_spectrum(samples, sample_rate_hz, floor)
    lines = spectrum.lines()
    if not lines:
        power = float(np.dot(samples, samples)) / max(len(samples), 1)
        return Glimpse(at_s, None, None, _dbfs(power))
    guess_hz = lines[0].frequency_hz / _divisor(spectrum, lines[0].frequency_hz, range_hz)
    own = [line for line in lines if _of_series(line.frequency_hz, guess_hz)]
    heard_hz, error_hz = _common(own, guess_hz, sample_rate_hz / len(samples))
    return Glimpse(at_s, heard_hz, CENTS_PER_NEPER * error_hz / heard_hz, _dbfs(sum(line.power for line in own)))


def _divisor(spectrum: FineSpectrum, line_hz: float, range_hz: tuple[float, float] | None) -> int:
    """Which line of its series the strongest is. In so short a look less is asked of an expected fundamental."""
    if range_hz is not None and range_hz[0] <= line_hz <= range_hz[1]:
        return 1
    for k in DIVISORS:
        fundamental_hz = line_hz / k
        expected = range_hz is not None and range_hz[0] <= fundamental_hz <= range_hz[1]
        if fundamental_hz > LOWEST_HZ and spectrum.contrast(fundamental_hz) > (EXPECTED if expected else UNEXPECTED):
            return k
    return 1


def _of_series(frequency_hz: float, fundamental_hz: float) -> bool:
    number = round(frequency_hz / fundamental_hz)
    return number >= 1 and abs(frequency_hz / (number * fundamental_hz) - 1.0) < 0.01


def _common(lines: list[Line], guess_hz: float, bin_hz: float) -> tuple[float, float]:
    """The fundamental all lines agree on, each weighted by how well it is known, and its standard error."""
    number = np.array([round(line.frequency_hz / guess_hz) for line in lines])
    weight = np.array([line.contrast for line in lines]) * number**2
    heard = np.array([line.frequency_hz for line in lines]) / number
    error_hz = LINE_ERROR_BINS * bin_hz / np.sqrt(float(np.sum(weight)))
    return float(heard @ weight / np.sum(weight)), float(error_hz)


def _dbfs(power: float) -> float:
    return 10.0 * float(np.log10(max(power, 1e-30)))
