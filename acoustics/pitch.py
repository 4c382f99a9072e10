"""The pitch of one steady stretch of sound, by harmonic least squares.

The lines of a blown pipe are exactly harmonic, so all of them tell of one phase. Each line is brought down to rest
(multiplied by a counter-turning phasor and averaged over short frames), its remaining phase divided by its number, and
the phases averaged with the weights of least squares. The slope of a straight line through that common phase is the
frequency; for a steady tone in white noise this is the maximum-likelihood answer, and where the pitch wanders it is
still the mean, which a search for the best single frequency is not.

Conventions
-----------
Lines are numbered from 1, the fundamental; a stopped pipe favours odd numbers. Times run from the first sample.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from acoustics.spectrum import Array, frames_of, hann

LOWEST_HZ = 200.0
HIGHEST_HZ = 2600.0
CENTS_PER_NEPER = 1200.0 / np.log(2.0)
MAX_LINES = 8

Phasors = NDArray[np.complex128]

DIVISORS = (3, 5, 2, 4)  # the strongest line may be any of these over the fundamental
ENOUGH_FRAMES = 25  # a quarter second: fewer cannot tell a line at rest from its neighbourhood
WEAKEST_FUNDAMENTAL = 10**-3.0  # of the strongest line's power; leaked and stray lines lie below
PRESENT = 16.0  # a line at rest this many times over its neighbourhood is there: chance e**-16 a trial
FRAME_S = 0.040
NOISE_BANDWIDTH = 1.5  # of a Hann window, in bins
AUDIBLE_HZ = 12_000.0


@dataclass(frozen=True)
class Tone:
    """One steady tone.

    standard_error_cents : of the mean, from the noise about the lines and from the wander within the stretch
    spread_cents : standard deviation of the pitch about its mean, what noise puts in taken off; None under 0.25 s
    drift_cents : from start to end of a straight line through the pitch
    line_power : of lines 1, 2, 3..., full scale squared
    line_contrast : of the same lines, over the noise about them within the resolution of the whole stretch
    coherence : share of the strongest line's power that turns as one phase; a tone nearly 1, noise near 0
    flutter : relative variance of that line's power; a tone near 0, noise near 1
    """

    frequency_hz: float
    heard_hz: float
    standard_error_cents: float
    spread_cents: float | None
    drift_cents: float
    line_power: tuple[float, ...]
    line_contrast: tuple[float, ...]
    coherence: float
    flutter: float


def at_rest(samples: NDArray[np.floating], sample_rate_hz: int, frequencies_hz: Array, frame: int, hop: int) -> Phasors:
    """Each frequency's slowly turning amplitude; rows are frames, columns frequencies. A sine of amplitude a gives a."""
    turn = 2.0 * np.pi * np.asarray(frequencies_hz) / sample_rate_hz
    window = hann(frame)
    basis = np.exp(-1j * np.outer(np.arange(frame), turn)) * (2.0 * window / np.sum(window))[:, None]
    rows = frames_of(samples, frame, hop)
    parts = rows @ np.ascontiguousarray(np.hstack([basis.real, basis.imag]))
    amplitudes = parts[:, : len(turn)] + 1j * parts[:, len(turn) :]
    rest: Phasors = amplitudes * np.exp(-1j * np.outer(hop * np.arange(len(rows)), turn))
    return rest


def contrast_at_rest(phasors: Phasors) -> float:
    """Power of what stands still over the power of what turns within a few cycles of it: about 1 for noise."""
    spectrum = np.abs(np.fft.fft(phasors * hann(len(phasors)))) ** 2
    reach = min(10, (len(phasors) - 1) // 2)
    if reach < 4:
        return 0.0
    beside = np.concatenate([spectrum[3 : reach + 1], spectrum[-reach:-2]])
    return float(spectrum[0] / max(float(np.mean(beside)), 1e-300))


def measure(
    samples: NDArray[np.floating], sample_rate_hz: int, line_hz: float, others_hz: Sequence[float] = ()
) -> Tone | None:
    """Measure the tone whose strongest line lies near `line_hz`.

    Parameters
    ----------
    samples : the steady stretch, 0.05 s or more
    line_hz : the strongest line, within 20 Hz
    others_hz : the other lines that stand out; in a short stretch only these may be a fundamental below `line_hz`

    Returns
    -------
    The tone, or None when the stretch is too short to say.

    Notes
    -----
    A fundamental far weaker than its third line is found by turning the third line's own phase down to a third: a
    true fundamental then stands still however the breath wanders, and may be averaged over the whole stretch.

    References
    ----------
    Cramér-Rao bound of a harmonic series: asymptotically 12 / (eta N (N**2 - 1)) with eta the sum of l**2 eta_l.
    """
    hop = max(1, round(sample_rate_hz * FRAME_S / 4))
    frame = min(4 * hop, len(samples) // 3)
    if frame < sample_rate_hz * 0.015:
        return None
    hop = max(1, frame // 4)
    line_hz, phase = _settle(samples, sample_rate_hz, line_hz, frame, hop)
    if len(phase) < ENOUGH_FRAMES:
        divisor = divisor_among(line_hz, others_hz)
    else:
        divisor = _divisor(samples, sample_rate_hz, line_hz, phase, frame, hop)
    return _combine(samples, sample_rate_hz, line_hz / divisor, phase / divisor, divisor, frame, hop)


def divisor_among(line_hz: float, others_hz: Sequence[float]) -> int:
    """Which line of its series `line_hz` is, if its fundamental is one of `others_hz`."""
    near = [k for k in DIVISORS if any(abs(other_hz * k / line_hz - 1.0) < 0.02 for other_hz in others_hz)]
    return max(near, default=1)


def _settle(
    samples: NDArray[np.floating], sample_rate_hz: int, line_hz: float, frame: int, hop: int
) -> tuple[float, Array]:
    """Bring the guess onto the line; the line's remaining phase, frame by frame."""
    phase = np.zeros(0)
    for _ in range(2):
        phase = np.unwrap(np.angle(at_rest(samples, sample_rate_hz, np.array([line_hz]), frame, hop)[:, 0]))
        slope = _slope(phase, hop / sample_rate_hz)
        line_hz += slope / (2.0 * np.pi)
    times_s = np.arange(len(phase)) * hop / sample_rate_hz
    return line_hz, phase - slope * times_s


def _slope(values: Array, step_s: float) -> float:
    place = np.arange(len(values)) - (len(values) - 1) / 2.0
    return float(place @ values / max(place @ place, 1.0) / step_s)


def _divisor(
    samples: NDArray[np.floating], sample_rate_hz: int, line_hz: float, phase: Array, frame: int, hop: int
) -> int:
    """Which line of its series the strongest one is: the largest divisor whose own fundamental is there."""
    divisors = [k for k in DIVISORS if line_hz / k >= LOWEST_HZ * 0.97]
    if not divisors:
        return 1
    rest = at_rest(samples, sample_rate_hz, np.array([line_hz, *(line_hz / k for k in divisors)]), frame, hop)
    weakest = WEAKEST_FUNDAMENTAL * float(np.mean(np.abs(rest[:, 0]) ** 2))
    for i in np.argsort(divisors)[::-1]:
        k = divisors[i]
        held = rest[:, i + 1] * np.exp(-1j * phase / k)
        if abs(np.mean(held)) ** 2 > weakest and contrast_at_rest(held) > PRESENT:
            return k
    return 1


def _combine(
    samples: NDArray[np.floating],
    sample_rate_hz: int,
    frequency_hz: float,
    phase: Array,
    divisor: int,
    frame: int,
    hop: int,
) -> Tone:
    ceiling_hz = min(AUDIBLE_HZ, 0.47 * sample_rate_hz)
    n_lines = max(divisor, min(MAX_LINES, int(ceiling_hz / frequency_hz)))
    number = np.arange(1, n_lines + 1)
    rest = at_rest(samples, sample_rate_hz, np.asarray(number * frequency_hz, dtype=np.float64), frame, hop)
    held = rest * np.exp(-1j * np.outer(phase, number))
    noise = _noise_power(held)
    signal = np.maximum(np.mean(np.abs(held) ** 2, axis=0) - noise, 0.0)
    common = phase + _common_phase(held, signal / np.maximum(noise, 1e-300), number, divisor)
    step_s = hop / sample_rate_hz
    slope = _slope(common, step_s)
    frequency_hz += slope / (2.0 * np.pi)
    residual = common - np.mean(common) - slope * step_s * (np.arange(len(common)) - (len(common) - 1) / 2.0)
    error_cents, spread_cents, drift_cents = _scatter(residual, frame / sample_rate_hz, step_s, frequency_hz)
    main = np.abs(held[:, divisor - 1]) ** 2
    return Tone(
        frequency_hz=float(frequency_hz),
        heard_hz=float(frequency_hz * divisor),
        standard_error_cents=error_cents,
        spread_cents=spread_cents,
        drift_cents=drift_cents,
        line_power=tuple(float(p) / 2.0 for p in signal),
        line_contrast=tuple(contrast_at_rest(held[:, i]) for i in range(n_lines)),
        coherence=_coherence(held[:, divisor - 1], step_s),
        flutter=float(np.var(main) / max(float(np.mean(main)) ** 2, 1e-300)),
    )


def _noise_power(held: Phasors) -> Array:
    """Of each line's frames, from the difference of frames that share no sample."""
    apart = min(4, len(held) - 1)
    noise: Array = 0.5 * np.mean(np.abs(held[apart:] - held[:-apart]) ** 2, axis=0)
    return noise


def _common_phase(held: Phasors, ratio: Array, number: NDArray[np.int_], divisor: int) -> Array:
    """What the lines' phases, each divided by its number, say together beyond the strongest line's."""
    weight = np.where(ratio > 3.0, np.minimum(ratio, 1e6) * number**2, 0.0)
    weight[divisor - 1] = max(weight[divisor - 1], 1e-9)
    mean = np.mean(held, axis=0)
    lag = np.angle(held * np.conj(mean)) / number
    common: Array = lag @ (weight / np.sum(weight))
    return common


def _scatter(residual: Array, frame_s: float, step_s: float, frequency_hz: float) -> tuple[float, float | None, float]:
    """Standard error and spread of the pitch, in cents, from the phase left over about a straight line; and drift."""
    to_cents = CENTS_PER_NEPER / (2.0 * np.pi * frequency_hz)
    apart = min(4, (len(residual) - 1) // 2)
    if apart < 1:
        return float("inf"), None, 0.0
    bend = residual[2 * apart :] - 2.0 * residual[apart:-apart] + residual[: -2 * apart]
    phase_var = float(np.mean(bend**2)) / 6.0
    length_s = step_s * (len(residual) - 1) + frame_s / 2.0
    n_frames = NOISE_BANDWIDTH * length_s / frame_s
    noise_var = 12.0 * phase_var / (max(n_frames, 1.0) * length_s**2)
    reach = round(0.1 / step_s)
    if len(residual) < 2 * reach + 5:
        return float(np.sqrt(noise_var)) * to_cents, None, 0.0
    pitch = (residual[reach:] - residual[:-reach]) / (reach * step_s)
    wander_var = max(0.0, float(np.var(pitch)) - 2.0 * phase_var / (reach * step_s) ** 2)
    correlated_s = 0.25
    error = np.sqrt(noise_var + wander_var * min(1.0, correlated_s / length_s))
    drift = _slope(pitch, step_s) * length_s
    return float(error) * to_cents, float(np.sqrt(wander_var)) * to_cents, drift * to_cents


def _coherence(phasors: Phasors, step_s: float) -> float:
    reach = max(3, min(len(phasors) // 2, round(0.2 / step_s)))
    smooth = np.convolve(phasors, np.ones(reach) / reach, mode="valid")
    return float(np.mean(np.abs(smooth) ** 2) / max(float(np.mean(np.abs(phasors) ** 2)), 1e-300))
