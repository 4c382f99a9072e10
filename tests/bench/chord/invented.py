"""Invented chords with known truth: several stopped pipes in one breath, each wandering by itself.

Nothing here knows the reader or `acoustics.synthesis`. Truth is kept as the whole pitch track of every chamber, so that
a mean can be taken over any stretch. All figures are invented; odd lines are strong, as in any stopped pipe.
"""
from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Sound = NDArray[np.float64]
Rng = np.random.Generator

CHORDS = {
    "major sixth": (0, 4, 7, 9), "minor sixth": (0, 3, 7, 9), "diminished seventh": (0, 3, 6, 9),
    "close cluster": (0, 2, 4, 6),
}
LETTERS = "ABCDEF"
ATTACK_S, RELEASE_S = 0.15, 0.1  # left out of the truth: while a pipe begins or ends it has no one pitch


@dataclass(frozen=True)
class Case:
    """One blow of a whole whistle. `cents` bears each chamber's pitch against `planned_hz`, sample by sample."""

    samples: NDArray[np.float32]
    rate_hz: int
    planned_hz: tuple[float, ...]
    cents: tuple[Sound, ...]
    silent: frozenset[int]
    steady_s: tuple[float, float]
    noise_db: float

    def true_hz(self, chamber: int, begin_s: float | None = None, end_s: float | None = None) -> float:
        """Mean pitch over a stretch; without one, from 150 ms after the start to 100 ms before the end."""
        begin_s, end_s = self.steady_s[0] if begin_s is None else begin_s, self.steady_s[1] if end_s is None else end_s
        part = self.cents[chamber][round(begin_s * self.rate_hz):round(end_s * self.rate_hz)]
        return float(np.mean(self.planned_hz[chamber] * 2.0 ** (part / 1200.0)))


@dataclass(frozen=True)
class Chord:
    """What is to be blown. `off_cents` moves each chamber from its plan; `fade_db` takes from its usual level."""

    planned_hz: tuple[float, ...]
    off_cents: tuple[float, ...]
    noise_db: float = 22.0  # all lines over all noise
    length_s: float = 1.3
    wander_cents: tuple[float, float] = (1.0, 3.0)
    silent: frozenset[int] = frozenset()
    fade_db: tuple[float, ...] = ()
    room_share: float = 0.3  # of the noise that is there before and after, too


def drawn(name: str, rng: Rng, noise_db: float | None = None) -> Chord:
    """A chord of that kind on a chance root, every chamber some cents off its plan."""
    root_hz = float(rng.uniform(520.0, 720.0))
    planned = tuple(root_hz * 2.0 ** (step / 12.0) for step in CHORDS[name])
    off = tuple(float(v) for v in rng.normal(0.0, 8.0, len(planned)))
    noise = float(rng.uniform(15.0, 30.0)) if noise_db is None else noise_db
    return Chord(planned, off, noise, float(rng.uniform(0.9, 2.0)), room_share=float(rng.uniform(0.1, 0.6)))


def blown(chord: Chord, rng: Rng) -> Case:
    """The blow in its room."""
    rate_hz = int(rng.choice([44_100, 48_000]))
    n = round(chord.length_s * rate_hz)
    lead, tail = (round(rng.uniform(0.3, 0.7) * rate_hz) for _ in range(2))
    tones, tracks, breath = np.zeros(n), [], np.zeros(n)
    for chamber, planned_hz in enumerate(chord.planned_hz):
        cents = chord.off_cents[chamber] + slow(n, rate_hz, rng) * rng.uniform(*chord.wander_cents)
        tracks.append(np.pad(cents, (lead, tail)))
        level_db = rng.normal(0.0, 2.5) - (chord.fade_db[chamber] if chord.fade_db else 0.0)
        tone = pipe(planned_hz * 2.0 ** (cents / 1200.0), rate_hz, rng) * 10 ** (level_db / 20.0)
        tones += 0.0 if chamber in chord.silent else tone
        bore_hz = planned_hz * 2.0 ** (chord.off_cents[chamber] / 1200.0)
        breath += hiss(bore_hz, n, rate_hz, rng)  # a silent bore hisses too
    noise_power = np.mean(tones**2) * 10 ** (-chord.noise_db / 10.0)
    breath *= np.sqrt(noise_power * (1.0 - chord.room_share) / np.mean(breath**2)) * gate(n, rate_hz, 0.005, 0.03)
    sound = rng.normal(size=lead + n + tail) * np.sqrt(noise_power * chord.room_share)
    sound[lead:lead + n] += tones + breath
    sound *= 10 ** (rng.uniform(-26.0, -8.0) / 20.0) / np.max(np.abs(sound))
    steady_s = (lead / rate_hz + ATTACK_S, (lead + n) / rate_hz - RELEASE_S)
    sound = sound.astype(np.float32)
    return Case(sound, rate_hz, chord.planned_hz, tuple(tracks), chord.silent, steady_s, chord.noise_db)


def pipe(frequency_hz: Sound, rate_hz: int, rng: Rng) -> Sound:
    """Odd-heavy lines of one phase, an attack of its own, a slow sway of each line's level."""
    n = len(frequency_hz)
    phase = 2.0 * np.pi * np.cumsum(frequency_hz) / rate_hz
    tone = np.zeros(n)
    line_db = (0.0, rng.uniform(-36, -18), rng.uniform(-20, -6), rng.uniform(-45, -28), rng.uniform(-32, -14), -45.0,
               rng.uniform(-40, -22))
    for number, level_db in enumerate(line_db, start=1):
        if number * frequency_hz.max() < 0.45 * rate_hz:
            sway_db = 0.7 * slow(n, rate_hz, rng)
            tone += 10 ** ((level_db + sway_db) / 20.0) * np.sin(number * phase + rng.uniform(0.0, 2.0 * np.pi))
    late = round(rng.uniform(0.0, 0.04) * rate_hz)
    envelope = np.concatenate([np.zeros(late), gate(n - late, rate_hz, float(rng.uniform(0.006, 0.02)), 0.02)])
    return np.asarray(tone * envelope)


def gate(n: int, rate_hz: int, rise_s: float, fall_s: float) -> Sound:
    t = np.arange(n) / rate_hz
    fall = np.minimum(1.0, np.exp(-(t - (t[-1] - 4.0 * fall_s)) / fall_s))
    return np.asarray((1.0 - np.exp(-t / rise_s)) ** 2 * fall)


def slow(n: int, rate_hz: int, rng: Rng) -> Sound:
    """Chance below 5 Hz whose power falls with frequency, unit variance over the blow, no mean."""
    t = np.arange(n) / rate_hz
    track = np.zeros(n)
    for frequency_hz in np.arange(0.35, 5.0, 0.55) + rng.uniform(-0.2, 0.2, 9):
        phase = 2.0 * np.pi * frequency_hz * t + rng.uniform(0.0, 2.0 * np.pi)
        track += rng.normal() / max(frequency_hz, 0.7) * np.sin(phase)
    track -= np.mean(track)
    return np.asarray(track / np.std(track))


def hiss(frequency_hz: float, n: int, rate_hz: int, rng: Rng) -> Sound:
    """Breath: broad noise heaped up at the bore's own resonances, which are not harmonic."""
    size = 1 << (n - 1).bit_length()
    f = np.maximum(np.fft.rfftfreq(size, 1.0 / rate_hz), 1.0)
    gain = 1.0 / np.sqrt(1.0 + (f / 4000.0) ** 2)
    for ratio, heap in ((1.0, rng.uniform(1.0, 4.0)), (3.05, rng.uniform(0.5, 2.0))):
        gain += heap / np.sqrt(1.0 + (30.0 * (f / (ratio * frequency_hz) - ratio * frequency_hz / f)) ** 2)
    sound = np.fft.irfft(np.fft.rfft(rng.normal(size=size)) * gain, size)[:n]
    return np.asarray(sound / np.std(sound))
