"""Chords with known notes: recorded pipes and horns mixed, and horns made up here; and sounds that are no chord.

Recorded: FluidR3 General MIDI sound font (Debian package fluid-soundfont-gm, MIT licence), samples held by the loop of
the font itself (0.2 to 3 s of the recording, its wander in it), each played faster or slower, which moves its pitch
exactly. Truth is taken from each alone, over the very stretch that was read: its least-squares frequency, or for what
wanders the mean of Praat's track. Invented: every line strong, as in a horn with a bell; truth is the mean of the pitch
track over that stretch. Nothing here knows the reader.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

import numpy as np
from numpy.typing import NDArray

from tests.published.test_recorded_pipes import least_squares_hz, middle, praat_hz
from tests.soundfont import Sample, samples_named

Sound = NDArray[np.float64]
Rng = np.random.Generator

RATE_HZ = 44_100
HELD_S = 20.0  # before it is played faster
STEPS = {  # equal steps over the lowest note; those of an octave or more may hide
    2: ((0, 3), (0, 4), (0, 5), (0, 6), (0, 7), (0, 8), (0, 9)),
    3: ((0, 4, 7), (0, 3, 7), (0, 3, 8), (0, 5, 9), (0, 3, 6), (0, 2, 7)),
    4: ((0, 4, 7, 9), (0, 3, 7, 9), (0, 3, 6, 9), (0, 3, 7, 10), (0, 4, 7, 10), (0, 2, 4, 6)),
    5: ((0, 3, 5, 8, 10), (0, 2, 4, 7, 9), (0, 3, 6, 8, 10), (0, 4, 7, 9, 14)),
}
HIDING_STEPS = ((0, 4, 7, 12), (0, 7, 12), (0, 4, 7, 9, 12), (0, 12), (0, 7, 19), (0, 3, 6, 9, 12))
FAMILIES = {
    "recorded stopped pipes": ("pan flute f#5(L)", "pan flute c6(L)", "pan flute f#6(L)", "pan flute c7(L)",
                               "Bottle Chiff C7(L)"),
    "recorded flutes, recorders": ("Flute D5(L)", "Flute E4(L)", "Flute C#4(L)", "Recorder E7", "Recorder D7",
                                   "OcarE3", "OcarD2", "Calliope Lead (L)"),
    "recorded horns": ("English Horn G5(L)", "English Horn F#5(L)", "English Horn C5(L)", "English Horn B4(L)",
                       "English Horn B5(L)", "French Horns D#5(L)", "French Horns A4(L)", "French Horns D#6(L)"),
}


@dataclass(frozen=True)
class Mixed:
    """`singles` are the notes alone, on the recording's own time; a `track_hz` is the pitch, sample by sample."""

    samples: NDArray[np.float32]
    near_hz: tuple[float, ...]
    singles: tuple[Sound, ...]
    tracks_hz: tuple[Sound, ...]  # of invented notes; empty for recorded ones

    def true_hz(self, at: int, start_s: float, end_s: float) -> float:
        """The note's frequency over a stretch of the recording."""
        part = slice(round(start_s * RATE_HZ), round(end_s * RATE_HZ))
        if self.tracks_hz:
            return float(np.mean(self.tracks_hz[at][part]))
        return least_squares_hz(self.singles[at][part], RATE_HZ, self.near_hz[at])

    def mean_hz(self, at: int, start_s: float, end_s: float) -> float:
        """The mean of Praat's track of a recorded note alone, which a wandering one has better than one frequency."""
        return praat_hz(self.singles[at][round(start_s * RATE_HZ):round(end_s * RATE_HZ)], RATE_HZ)


@cache
def _sample(name: str) -> tuple[Sample, float]:
    sample = next(one for one in samples_named(name) if one.name == name)
    return sample, praat_hz(middle(sample), sample.rate_hz)


@cache
def at_pitch(name: str, wanted_hz: float) -> tuple[Sound, float]:
    """The recording at 44.1 kHz, played at the speed that puts it near `wanted_hz`; and where that came out."""
    from scipy.signal import resample_poly

    sample, own_hz = _sample(name)
    ratio = Fraction(RATE_HZ * own_hz / (sample.rate_hz * wanted_hz)).limit_denominator(300)
    begin, end = sample.loop
    looped = np.resize(sample.samples[begin:end], round(HELD_S * sample.rate_hz))
    held = np.concatenate([sample.samples[:begin], looped])
    sound = resample_poly(held.astype(np.float64), ratio.numerator, ratio.denominator)
    return sound / np.std(sound), own_hz * RATE_HZ / (sample.rate_hz * float(ratio))


def recorded(family: str, steps: Sequence[int], rng: Rng, noise_db: float = 40.0, level_sd_db: float = 2.0) -> Mixed:
    """Samples of one family, each where it need not be moved far."""
    root_hz = float(rng.uniform(380.0, 640.0))
    wanted = [root_hz * 2.0 ** ((step + rng.normal(0.0, 0.06)) / 12.0) for step in steps]
    names = _nearest(family, wanted, rng)
    played = [at_pitch(name, hz) for name, hz in zip(names, wanted, strict=True)]
    n = round(float(rng.uniform(1.0, 2.2)) * RATE_HZ)
    levels = 10 ** (rng.normal(0.0, level_sd_db, len(played)) / 20.0)
    singles = [level * sound[:n] for level, (sound, _) in zip(levels, played, strict=True)]
    return _in_room(singles, [hz for _, hz in played], [], rng, noise_db)


def _nearest(family: str, wanted_hz: Sequence[float], rng: Rng) -> list[str]:
    """For each note a sample of its own, not moved further than needs be."""
    left, taken = list(FAMILIES[family]), []
    for hz in wanted_hz:
        far = [abs(np.log2(hz / _sample(name)[1])) + rng.uniform(0.0, 0.2) for name in left]
        taken.append(left.pop(int(np.argmin(far))))
    return taken


def invented(steps: Sequence[int], rng: Rng, noise_db: float = 40.0) -> Mixed:
    """Horns: ten lines and more, a fundamental that is not the strongest, each note wandering by itself."""
    root_hz, n = float(rng.uniform(250.0, 520.0)), round(float(rng.uniform(1.2, 3.0)) * RATE_HZ)
    tracks, singles = [], []
    for step in steps:
        off = rng.normal(0.0, 0.06)
        cents = slow(n, rng) * rng.uniform(0.5, 3.0)
        tracks.append(root_hz * 2.0 ** ((step + off) / 12.0 + cents / 1200.0))
        singles.append(horn(tracks[-1], rng) * 10 ** (rng.normal(0.0, 2.0) / 20.0))
    return _in_room(singles, [float(np.mean(track)) for track in tracks], tracks, rng, noise_db)


def horn(track_hz: Sound, rng: Rng) -> Sound:
    """All lines, strongest about the second to fourth, falling from there."""
    phase = 2.0 * np.pi * np.cumsum(track_hz) / RATE_HZ
    peak, sound = rng.uniform(1.0, 3.5), np.zeros(len(track_hz))
    for number in range(1, 21):
        if number * track_hz.max() < 9000.0:
            level_db = -rng.uniform(5.0, 8.0) * abs(np.log2(number / peak)) + rng.normal(0.0, 2.0)
            sound += 10 ** (level_db / 20.0) * np.sin(number * phase + rng.uniform(0.0, 2.0 * np.pi))
    rise = np.minimum(1.0, np.arange(len(sound)) / (0.06 * RATE_HZ))
    return np.asarray(sound / np.std(sound) * rise * rise[::-1])


def slow(n: int, rng: Rng) -> Sound:
    """Chance of a few hertz, unit variance, no mean."""
    t = np.arange(n) / RATE_HZ
    track = np.zeros(n)
    for f in np.arange(0.3, 4.0, 0.6) + rng.uniform(-0.2, 0.2, 7):
        track += rng.normal() / max(f, 0.7) * np.sin(2.0 * np.pi * f * t + rng.uniform(0.0, 2.0 * np.pi))
    track -= np.mean(track)
    return np.asarray(track / np.std(track))


def _in_room(
    singles: Sequence[Sound], near_hz: Sequence[float], tracks_hz: Sequence[Sound], rng: Rng, noise_db: float
) -> Mixed:
    """A stretch of room before and behind; `noise_db`: mean power of the notes over that of white noise."""
    lead = round(float(rng.uniform(0.3, 0.8)) * RATE_HZ)
    padded = tuple(np.pad(sound, lead) for sound in singles)
    tones = np.sum(padded, axis=0)
    power = float(np.mean(tones[lead:-lead] ** 2))
    mixed = tones + rng.normal(size=len(tones)) * np.sqrt(power) * 10 ** (-noise_db / 20.0)
    mixed *= 0.5 / np.max(np.abs(mixed))
    tracks = tuple(np.pad(track, lead, mode="edge") for track in tracks_hz)
    return Mixed(mixed.astype(np.float32), tuple(near_hz), padded, tracks)
