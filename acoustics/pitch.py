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
from math import comb

import numpy as np
from numpy.typing import NDArray

from acoustics.spectrum import Array, frames_of, hann

LOWEST_HZ = 200.0
HIGHEST_HZ = 2600.0
CENTS_PER_NEPER = 1200.0 / float(np.log(2.0))
MAX_LINES = 8

Phasors = NDArray[np.complex128]

DIVISORS = (5, 4, 3, 2)  # the strongest line may be any of these over the fundamental
ENOUGH_FRAMES = 25  # a quarter second: fewer cannot tell a line at rest from its neighbourhood
WEAKEST_FUNDAMENTAL = 10**-3.0  # of the strongest line's power; leaked and stray lines lie below
OVER_ROOM = 2.0  # a fundamental no stronger against what the room holds there must have company
PRESENT = 16.0  # a line at rest this many times over its neighbourhood is there: chance e**-16 a trial
FRAME_S = 0.040
NOISE_BANDWIDTH = 1.5  # of a Hann window, in bins
ONE_THREAD = 250_000  # multiplications that numpy's matrix library does on one core: waking another costs more
SHORTEST_FRAME_S = 0.015
AUDIBLE_HZ = 12_000.0
PITCH_SPAN_S = 0.05  # over which a pitch within the stretch is taken
CORRELATED_S = 0.25  # for so long a wandering pitch stays on its side; judgement, no source
MODEL_CENTS = 0.003  # what level changes and the tail of the attack leave, as measured on invented blows


@dataclass(frozen=True)
class Tone:
    """One steady tone.

    standard_error_cents : of the mean, from the noise about the lines and from the wander within the stretch
    spread_cents : standard deviation of the pitch about its mean, what noise puts in taken off; None under 0.2 s
    drift_cents : from start to end of a straight line through the pitch
    line_power : of lines 1, 2, 3..., full scale squared
    line_contrast : of the same lines, over the noise about them within the resolution of the whole stretch
    flutter : relative variance of the strongest line's power; a tone near 0, noise near 1
    level_track_db : of the strongest line in overlapping frames, `step_s` apart
    """

    frequency_hz: float
    heard_hz: float
    standard_error_cents: float
    spread_cents: float | None
    drift_cents: float
    line_power: tuple[float, ...]
    line_contrast: tuple[float, ...]
    flutter: float
    level_track_db: tuple[float, ...]
    step_s: float


@dataclass(frozen=True)
class Stretch:
    """A steady stretch of sound, and the short frames it is taken in."""

    samples: NDArray[np.floating]
    sample_rate_hz: int
    frame: int
    hop: int

    @property
    def step_s(self) -> float:
        """From one frame to the next."""
        return self.hop / self.sample_rate_hz

    def at_rest(self, frequencies_hz: Sequence[float]) -> Phasors:
        """Each frequency's slowly turning amplitude (a of a sine a sin wt): frames in rows, frequencies in columns."""
        turn = 2.0 * np.pi * np.array(frequencies_hz) / self.sample_rate_hz
        window = hann(self.frame)
        basis = np.exp(-1j * np.outer(np.arange(self.frame), turn)) * (2.0 * window / np.sum(window))[:, None]
        rows = frames_of(self.samples, self.frame, self.hop)
        both = np.ascontiguousarray(np.hstack([basis.real, basis.imag]))
        few = max(1, ONE_THREAD // both.size)
        parts = np.vstack([rows[at : at + few] @ both for at in range(0, len(rows), few)])
        amplitudes = parts[:, : len(turn)] + 1j * parts[:, len(turn) :]
        rest: Phasors = amplitudes * np.exp(-1j * np.outer(self.hop * np.arange(len(rows)), turn))
        return rest


def contrast_at_rest(phasors: Phasors) -> float:
    """Power of what stands still over the power of what turns within a few cycles of it: about 1 for noise.

    By the median of the neighbourhood: another line within it, of the mains, must not hide this one.
    """
    spectrum = np.abs(np.fft.fft(phasors * hann(len(phasors)))) ** 2
    reach = min(10, (len(phasors) - 1) // 2)
    if reach < 4:
        return 0.0
    beside = np.concatenate([spectrum[3 : reach + 1], spectrum[-reach:-2]])
    return float(spectrum[0] * np.log(2.0) / max(float(np.median(beside)), 1e-300))


def measure(
    samples: NDArray[np.floating],
    sample_rate_hz: int,
    line_hz: float,
    others_hz: Sequence[float] = (),
    room: Array | None = None,
) -> Tone | None:
    """Measure the tone whose strongest line lies near `line_hz`.

    Parameters
    ----------
    samples : the steady stretch, 0.05 s or more
    line_hz : the strongest line, within 20 Hz
    others_hz : the other lines that stand out; in a short stretch only these may be a fundamental below `line_hz`
    room : power spectrum before the tone, whose own lines are no fundamental of it

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
    frame = min(4 * max(1, round(sample_rate_hz * FRAME_S / 4)), len(samples) // 3)
    if frame < sample_rate_hz * SHORTEST_FRAME_S:
        return None
    stretch = Stretch(samples, sample_rate_hz, frame, max(1, frame // 4))
    line_hz, phase = _settle(stretch, line_hz)
    long_enough = len(phase) >= ENOUGH_FRAMES
    divisor = _divisor(stretch, line_hz, phase, room) if long_enough else divisor_among(line_hz, others_hz)
    return _combine(stretch, line_hz / divisor, phase / divisor, divisor)


def divisor_among(line_hz: float, others_hz: Sequence[float]) -> int:
    """Which line of its series `line_hz` is, if its fundamental is one of `others_hz`."""
    near = [k for k in DIVISORS if any(abs(other_hz * k / line_hz - 1.0) < 0.02 for other_hz in others_hz)]
    return max(near, default=1)


def _settle(stretch: Stretch, line_hz: float) -> tuple[float, Array]:
    """Bring the guess onto the line; the line's remaining phase, frame by frame."""
    phase, slope = np.zeros(0), 0.0
    for _ in range(2):
        phase = np.unwrap(np.angle(stretch.at_rest([line_hz])[:, 0]))
        slope = _slope(phase, stretch.step_s)
        line_hz += slope / (2.0 * np.pi)
    return line_hz, phase - slope * stretch.step_s * np.arange(len(phase))


def _slope(values: Array, step_s: float) -> float:
    place = np.arange(len(values)) - (len(values) - 1) / 2.0
    return float(place @ values) / max(float(place @ place), 1.0) / step_s


def _divisor(stretch: Stretch, line_hz: float, phase: Array, room: Array | None) -> int:
    """Which line of its series the strongest one is: the largest divisor whose own fundamental is there."""
    divisors = [k for k in DIVISORS if line_hz / k >= LOWEST_HZ * 0.97]
    rest = stretch.at_rest([line_hz, *(line_hz / k for k in divisors)])
    weakest = WEAKEST_FUNDAMENTAL * float(np.mean(np.abs(rest[:, 0]) ** 2))
    for i, k in enumerate(divisors, start=1):
        held = rest[:, i] * np.exp(-1j * phase / k)
        power = abs(np.mean(held)) ** 2
        if power > weakest and contrast_at_rest(held) > PRESENT:
            alone = power < OVER_ROOM * _room_power(room, stretch, line_hz / k)
            if not alone or _has_company(stretch, line_hz / k, phase / k, k, room):
                return k
    return 1


def _has_company(stretch: Stretch, fundamental_hz: float, phase: Array, divisor: int, room: Array | None) -> bool:
    """Whether a further line stands on this fundamental, and over the room: under a line of the mains none does."""
    ceiling_hz = 0.47 * stretch.sample_rate_hz
    numbers = [n for n in range(2, MAX_LINES) if n % divisor and n * fundamental_hz < ceiling_hz]
    held = stretch.at_rest([n * fundamental_hz for n in numbers]) * np.exp(-1j * np.outer(phase, numbers))
    return any(
        abs(np.mean(line)) ** 2 > OVER_ROOM * _room_power(room, stretch, n * fundamental_hz)
        and contrast_at_rest(line) > PRESENT
        for n, line in zip(numbers, held.T, strict=True)
    )


def _room_power(room: Array | None, stretch: Stretch, frequency_hz: float) -> float:
    """Squared amplitude that the room alone puts into a frame at this frequency, be it noise or a line of its own."""
    if room is None:
        return 0.0
    k = round(frequency_hz / stretch.sample_rate_hz * 2 * (len(room) - 1))
    bandwidth_hz = NOISE_BANDWIDTH * stretch.sample_rate_hz / stretch.frame
    return 2.0 * float(np.max(room[max(0, k - 1) : k + 2])) * bandwidth_hz


def _combine(stretch: Stretch, frequency_hz: float, phase: Array, divisor: int) -> Tone:
    """Let every line say what it knows, and put the tone together."""
    ceiling_hz = min(AUDIBLE_HZ, 0.47 * stretch.sample_rate_hz)
    number = np.arange(1, max(divisor, min(MAX_LINES, int(ceiling_hz / frequency_hz))) + 1)
    held = stretch.at_rest(list(number * frequency_hz)) * np.exp(-1j * np.outer(phase, number))
    noise = _noise_power(held)
    signal = np.maximum(np.mean(np.abs(held) ** 2, axis=0) - noise, 0.0)
    common = phase + _common_phase(held, signal / np.maximum(noise, 1e-300), number, divisor)
    slope = _slope(common, stretch.step_s)
    frequency_hz += slope / (2.0 * np.pi)
    place = np.arange(len(common)) - (len(common) - 1) / 2.0
    scatter = _scatter(common - np.mean(common) - slope * stretch.step_s * place, stretch, frequency_hz)
    frequency_hz += scatter.lean_hz
    main_power = np.abs(held[:, divisor - 1]) ** 2
    return Tone(
        frequency_hz=float(frequency_hz),
        heard_hz=float(frequency_hz * divisor),
        standard_error_cents=scatter.error_cents,
        spread_cents=scatter.spread_cents,
        drift_cents=scatter.drift_cents,
        line_power=tuple(float(p) / 2.0 for p in signal),
        line_contrast=tuple(contrast_at_rest(line) for line in held.T),
        flutter=float(np.var(main_power) / max(float(np.mean(main_power)) ** 2, 1e-300)),
        level_track_db=tuple((10.0 * np.log10(main_power + 1e-30)).tolist()),
        step_s=stretch.step_s,
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


@dataclass(frozen=True)
class _Scatter:
    error_cents: float
    spread_cents: float | None
    drift_cents: float
    lean_hz: float  # of the plain mean pitch from the line's slope, where the pitch wanders more than noise blurs it


def _phase_noise(residual: Array) -> float:
    """Variance that noise puts into each frame's phase.

    By repeated differences of frames that share no sample: a fourth difference leaves next to nothing of vibrato.
    """
    order = 4 if len(residual) > 24 else 2
    apart = min(4, (len(residual) - 1) // order)
    rest = residual
    for _ in range(order):
        rest = rest[apart:] - rest[:-apart]
    return float(np.mean(rest**2)) / comb(2 * order, order)


def _scatter(residual: Array, stretch: Stretch, frequency_hz: float) -> _Scatter:
    """What the phase left over about a straight line says of the pitch."""
    to_cents = CENTS_PER_NEPER / (2.0 * np.pi * frequency_hz)
    step_s, frame_s = stretch.step_s, stretch.frame / stretch.sample_rate_hz
    if len(residual) < 3:
        return _Scatter(float("inf"), None, 0.0, 0.0)
    phase_var = _phase_noise(residual)
    length_s = step_s * (len(residual) - 1) + frame_s / 2.0
    n_frames = max(1.0, NOISE_BANDWIDTH * length_s / frame_s)
    noise_cents = float(np.sqrt(12.0 * phase_var / n_frames)) / length_s * to_cents
    reach = round(PITCH_SPAN_S / step_s)
    if len(residual) < 2 * reach + 5:
        return _Scatter(float(np.hypot(noise_cents, MODEL_CENTS)), None, 0.0, 0.0)
    pitch = (residual[reach:] - residual[:-reach]) / (reach * step_s)
    wander_var = max(0.0, float(np.var(pitch)) - 2.0 * phase_var / (reach * step_s) ** 2)
    wander_cents = float(np.sqrt(wander_var)) * to_cents
    unsure_cents = wander_cents * min(1.0, CORRELATED_S / length_s) ** 0.5
    error_cents = float(np.sqrt(noise_cents**2 + unsure_cents**2 + MODEL_CENTS**2))
    lean_hz = float(np.mean(pitch)) / (2.0 * np.pi) if unsure_cents > 3.0 * noise_cents else 0.0
    return _Scatter(error_cents, wander_cents, _slope(pitch, step_s) * length_s * to_cents, lean_hz)

