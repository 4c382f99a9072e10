"""How a tone begins: how fast it swings up, and whether a higher note speaks first.

A column of air needs many periods to swing up, a switch does not. A jet that is too strong or too high speaks on the
octave or the twelfth until the fundamental takes over.
"""
from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from acoustics.spectrum import Array, frames_of, hann

WINDOW_S, STEP_S = 0.008, 0.001
BEFORE_S, AFTER_S = 0.08, 0.16  # searched about the start
SETTLED_S = 0.06  # of the end of what is searched: taken as the tone's level
LOW, HIGH = 0.2, 0.8  # of that level
CHIRP_BEFORE_S, CHIRP_S = 0.2, 0.010  # searched before the start; shorter is no chirp but an attack
SPEAKS, SILENT = 0.35, 0.25  # of its own later level: the higher line already, the fundamental not yet
HIGHER = (3, 2)  # lines that may speak first
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
    least = max(LOW, OVER_NOISE * noise)
    low = np.flatnonzero(level[:up] < least)
    return (up - int(low[-1])) * STEP_S * (HIGH - LOW) / (HIGH - least) if len(low) else None


def chirps_first(
    samples: NDArray[np.floating], sample_rate_hz: int, fundamental_hz: float, start_s: float
) -> bool:
    """Whether the octave or the twelfth sounds for a while before the fundamental does."""
    first = max(0, round((start_s - CHIRP_BEFORE_S) * sample_rate_hz))
    part = samples[first : round((start_s + AFTER_S) * sample_rate_hz)]
    numbers = [n for n in HIGHER if n * fundamental_hz < 0.45 * sample_rate_hz]
    tracks = [_level(part, sample_rate_hz, n * fundamental_hz) for n in (1, *numbers)]
    settled = round(SETTLED_S / STEP_S)
    if len(tracks[0]) < 2 * settled:
        return False
    later = [float(np.median(track[-settled:])) for track in tracks]
    silent = tracks[0] < SILENT * later[0]
    silent[int(np.argmax(~silent)) :] = False  # until it first speaks
    before = [float(np.median(track[: settled // 2])) for track in tracks]
    return any(
        np.count_nonzero(silent & (track > max(SPEAKS * end, OVER_NOISE * noise))) * STEP_S >= CHIRP_S
        for track, end, noise in zip(tracks[1:], later[1:], before[1:], strict=True)
        if SPEAKS * end > OVER_NOISE * noise
    )


def _level(part: NDArray[np.floating], sample_rate_hz: int, frequency_hz: float) -> Array:
    """Amplitude of one line, step by step."""
    window = hann(max(8, round(WINDOW_S * sample_rate_hz)))
    turn = np.exp(-2j * np.pi * frequency_hz / sample_rate_hz * np.arange(len(window))) * window / np.sum(window)
    rows = frames_of(part, len(window), max(1, round(STEP_S * sample_rate_hz)))
    level: Array = np.hypot(rows @ turn.real, rows @ turn.imag)
    return level
