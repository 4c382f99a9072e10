"""How fast a tone rises: a column of air needs many periods to swing up, a switch does not."""
from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from acoustics.spectrum import Array, frames_of, hann

WINDOW_S, STEP_S = 0.008, 0.001
BEFORE_S, AFTER_S = 0.08, 0.16  # searched about the start
SETTLED_S = 0.06  # of the end of what is searched: taken as the tone's level
LOW, HIGH = 0.2, 0.8  # of that level
OVER_NOISE, NOISIEST = 3.0, 0.12  # over the noise before it; more noise than this hides the start


def rise_s(samples: NDArray[np.floating], sample_rate_hz: int, frequency_hz: float, start_s: float) -> float | None:
    """Time from a fifth to four fifths of the level a line has soon after its start; None where it cannot be told."""
    first = round((start_s - BEFORE_S) * sample_rate_hz)
    part = samples[max(0, first) : round((start_s + AFTER_S) * sample_rate_hz)]
    level = _level(part, sample_rate_hz, frequency_hz)
    settled = round(SETTLED_S / STEP_S)
    if first < 0 or len(level) < 2 * settled:
        return None
    level = level / max(float(np.median(level[-settled:])), 1e-30)
    noise = float(np.median(level[: settled // 2]))
    if noise > NOISIEST:
        return None
    up = int(np.argmax(level > HIGH))
    low = np.flatnonzero(level[:up] < max(LOW, OVER_NOISE * noise))
    return (up - int(low[-1])) * STEP_S if len(low) else None


def _level(part: NDArray[np.floating], sample_rate_hz: int, frequency_hz: float) -> Array:
    """Amplitude of one line, step by step."""
    window = hann(max(8, round(WINDOW_S * sample_rate_hz)))
    turn = np.exp(-2j * np.pi * frequency_hz / sample_rate_hz * np.arange(len(window))) * window / np.sum(window)
    rows = frames_of(part, len(window), max(1, round(STEP_S * sample_rate_hz)))
    level: Array = np.hypot(rows @ turn.real, rows @ turn.imag)
    return level
