"""The lines of several chambers that sound at once, told apart frame by frame, and each chamber's phase from them.

In each short frame all lines of all chambers are fitted together by least squares, so that what one line spills onto
its neighbours is taken off; the rest is as in `acoustics.pitch`: a chamber's lines are harmonic, of one phase.

Conventions
-----------
Lines are numbered from 1, a chamber's fundamental. Rows are frames, times are those of a frame's middle.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from acoustics.spectrum import Array, frames_of, hann

Phasors = NDArray[np.complex128]

MOST_LINES = 7
CEILING_HZ = 9000.0
FRAME_S = 0.080
LONGEST_FRAME_S = 0.25
OVERLAP = 4  # frames to a frame's length
CROWDED = 1.25  # cycles in a frame by which two lines must differ for both to be believed
NOISE_RATIO_CAP = 1e4  # a line is never believed more than this: nothing blown is that even
CENTS_PER_NEPER = 1200.0 / math.log(2.0)
WANDER_S = 0.25  # pitch further apart in time than this wanders independently


@dataclass(frozen=True)
class Voice:
    """One chamber's tone over the stretch.

    frequency_hz : mean from the middle of the first frames to the middle of the last
    standard_error_cents : of that mean, from noise and from the wander that another stretch would have had otherwise
    line_power : of lines 1, 2, 3..., full scale squared; 0 for a line that falls on another chamber's
    evenness : how nearly the fundamental keeps its size, 1 a tone, 0 noise
    coherence : share of the fundamental's power that turns as one phase, 1 a tone, near 0 noise
    """

    frequency_hz: float
    standard_error_cents: float
    line_power: tuple[float, ...]
    evenness: float
    coherence: float


@dataclass(frozen=True)
class _Line:
    chamber: int
    number: int
    frequency_hz: float
    trusted: bool


def frame_length_s(duration_s: float, closest_hz: float) -> float:
    """Frames long enough to tell the two closest chambers apart, and as short as that allows."""
    return float(min(max(FRAME_S, CROWDED / max(closest_hz, 1e-9)), LONGEST_FRAME_S, duration_s / 3.0))


def span_read_s(n_samples: int, sample_rate_hz: int, frame_s: float) -> tuple[float, float]:
    """Begin and end of what `measure_voices` takes the mean over: half a frame and more is lost at either end."""
    hop = max(1, round(sample_rate_hz * frame_s / OVERLAP))
    n_frames = (n_samples - OVERLAP * hop) // hop + 1
    begin = OVERLAP * hop / 2.0 + (_few(n_frames) - 1) / 2.0 * hop
    return begin / sample_rate_hz, (begin + (n_frames - _few(n_frames)) * hop) / sample_rate_hz


def _few(n_frames: int) -> int:
    return max(1, min(OVERLAP - 1, n_frames // 4))


def measure_voices(
    samples: NDArray[np.floating], sample_rate_hz: int, near_hz: Sequence[float], frame_s: float
) -> list[Voice]:
    """Measure chambers whose fundamentals lie within a few hertz of `near_hz`, all together.

    Parameters
    ----------
    samples : the stretch, at least three frames
    near_hz : the fundamentals, within 2 Hz; no two the same
    frame_s : from `frame_length_s`
    """
    hop = max(1, round(sample_rate_hz * frame_s / OVERLAP))
    step_s = hop / sample_rate_hz
    frequencies = np.array(near_hz, dtype=np.float64)
    for _ in range(2):
        lines = _lines(frequencies, frame_s, sample_rate_hz)
        rest = _at_rest(samples, sample_rate_hz, np.array([line.frequency_hz for line in lines]), OVERLAP * hop, hop)
        phases = [_common_phase(rest, lines, chamber) for chamber in range(len(frequencies))]
        frequencies = frequencies + [_mean_slope(phase, step_s) / (2.0 * np.pi) for phase in phases]
    return [
        _voice(chamber, float(frequencies[chamber]), phases[chamber], rest, lines, step_s)
        for chamber in range(len(frequencies))
    ]


def _lines(frequencies_hz: Array, frame_s: float, sample_rate_hz: int) -> list[_Line]:
    """Every line below the ceiling; of two that a frame cannot tell apart only the lower-numbered one."""
    ceiling_hz = min(CEILING_HZ, 0.45 * sample_rate_hz)
    lines = [
        _Line(chamber, number, number * float(f), True)
        for chamber, f in enumerate(frequencies_hz) for number in range(1, MOST_LINES + 1)
        if number == 1 or number * f < ceiling_hz
    ]
    near_hz = CROWDED / frame_s
    kept = []
    for line in lines:
        beside = [o for o in lines if o.chamber != line.chamber and abs(o.frequency_hz - line.frequency_hz) < near_hz]
        if all((line.number, line.chamber) < (o.number, o.chamber) or line.number == 1 for o in beside):
            kept.append(_Line(line.chamber, line.number, line.frequency_hz, not beside or line.number == 1))
    return kept


def _at_rest(
    samples: NDArray[np.floating], sample_rate_hz: int, frequencies_hz: Array, frame: int, hop: int
) -> Phasors:
    """Each line's slowly turning amplitude, all lines of a frame fitted together under a Hann window."""
    turn = 2.0 * np.pi * frequencies_hz / sample_rate_hz
    basis = np.exp(1j * np.outer(np.arange(frame), turn))
    weighted = basis.conj() * (hann(frame) / np.sum(hann(frame)))[:, None]
    shared = weighted.T @ basis
    rows = frames_of(samples, frame, hop)
    apart = 2.0 * (rows @ weighted.real + 1j * (rows @ weighted.imag))
    amplitudes = np.linalg.solve(shared, apart.T).T
    rest: Phasors = amplitudes * np.exp(-1j * np.outer(hop * np.arange(len(rows)), turn))
    return rest


def _common_phase(rest: Phasors, lines: Sequence[_Line], chamber: int) -> Array:
    """What the chamber's trusted lines say together of the phase of its fundamental."""
    mine = [(at, line.number) for at, line in enumerate(lines) if line.chamber == chamber and line.trusted]
    strongest, number = max(mine, key=lambda one: float(np.mean(np.abs(rest[:, one[0]]) ** 2)))
    phase = np.unwrap(np.angle(rest[:, strongest])) / number
    numbers = np.array([n for _, n in mine])
    held = rest[:, [at for at, _ in mine]] * np.exp(-1j * np.outer(phase, numbers))
    ratio = _signal_to_noise(held)
    weight = np.where(ratio > 3.0, np.minimum(ratio, NOISE_RATIO_CAP) * numbers**2, 0.0)
    if not np.any(weight):
        return np.asarray(phase)
    lag = np.angle(held * np.conj(np.mean(held, axis=0))) / numbers
    return np.asarray(phase + lag @ (weight / np.sum(weight)))


def _signal_to_noise(held: Phasors) -> Array:
    """Of each line, noise being what differs between frames that share no sample."""
    noise = 0.5 * np.mean(np.abs(held[OVERLAP:] - held[:-OVERLAP]) ** 2, axis=0)
    signal = np.maximum(np.mean(np.abs(held) ** 2, axis=0) - noise, 0.0)
    return np.asarray(signal / np.maximum(noise, 1e-300))


def _mean_slope(phase: Array, step_s: float) -> float:
    """From the first frames to the last: the mean of a wandering pitch, which a fitted straight line is not."""
    few = _few(len(phase))
    rise = float(np.mean(phase[-few:]) - np.mean(phase[:few]))
    return rise / (step_s * (len(phase) - few))


def _voice(
    chamber: int, frequency_hz: float, phase: Array, rest: Phasors, lines: Sequence[_Line], step_s: float
) -> Voice:
    power = [0.0] * MOST_LINES
    for at, line in enumerate(lines):
        if line.chamber == chamber and line.trusted:
            power[line.number - 1] = float(np.mean(np.abs(rest[:, at]) ** 2)) / 2.0
    first = rest[:, next(at for at, line in enumerate(lines) if line.chamber == chamber)]
    size = np.abs(first) ** 2
    slope = _mean_slope(phase, step_s)
    left = phase - slope * step_s * np.arange(len(phase))
    return Voice(
        frequency_hz=frequency_hz,
        standard_error_cents=_error_cents(left, step_s, frequency_hz),
        line_power=tuple(power),
        evenness=float(max(0.0, 1.0 - np.var(size) / max(float(np.mean(size)) ** 2, 1e-300))),
        coherence=_coherence(first),
    )


def _error_cents(left: Array, step_s: float, frequency_hz: float) -> float:
    """From the phase's scatter about its own smooth course, and from the wander of the pitch."""
    apart = min(OVERLAP, (len(left) - 1) // 2)
    if apart < 1:
        return float("inf")
    length_s = step_s * (len(left) - 1)
    bend = left[2 * apart:] - 2.0 * left[apart:-apart] + left[:-2 * apart]
    phase_var = float(np.mean(bend**2)) / 6.0
    pitch = (left[apart:] - left[:-apart]) / (apart * step_s)
    wander_var = max(0.0, float(np.var(pitch)) - 2.0 * phase_var / (apart * step_s) ** 2)
    noise_var = phase_var / length_s**2
    error = math.sqrt(noise_var + wander_var * min(1.0, WANDER_S / length_s))
    return error * CENTS_PER_NEPER / (2.0 * math.pi * frequency_hz)


def _coherence(phasors: Phasors) -> float:
    """Of neighbouring frames, after each pair's turn is brought down by the pair before."""
    turns = phasors[2:] * np.conj(phasors[:-2])
    steady = turns[2:] * np.conj(turns[:-2])
    size = np.abs(turns[2:]) * np.abs(turns[:-2])
    return float(abs(np.sum(steady)) / max(float(np.sum(size)), 1e-300))
