"""What is no chord, or none that can be told: each must be refused, or come out as the one note it is."""
from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from tests.bench.like.chords import FAMILIES, RATE_HZ, Mixed, Rng, Sound, at_pitch, invented, recorded

Heard = NDArray[np.float32]


def _scaled(sound: Sound) -> Heard:
    return np.asarray(0.4 * sound / max(float(np.max(np.abs(sound))), 1e-12), dtype=np.float32)


def hiss(rng: Rng) -> Heard:
    """Noise that falls with frequency, as wind and breath do."""
    n = round(3.0 * RATE_HZ)
    f = np.maximum(np.fft.rfftfreq(n, 1.0 / RATE_HZ), 20.0)
    return _scaled(np.fft.irfft(np.fft.rfft(rng.normal(size=n)) * f ** -float(rng.uniform(0.0, 1.0)), n))


def breath_in_bores(rng: Rng) -> Heard:
    """Noise heaped up at four bores' resonances: blown, and none of them speaks."""
    n = round(2.0 * RATE_HZ)
    f = np.maximum(np.fft.rfftfreq(n, 1.0 / RATE_HZ), 20.0)
    gain = 0.1 + sum(
        1.0 / np.sqrt(1.0 + (25.0 * (f / hz - hz / f)) ** 2) for hz in float(rng.uniform(400, 700)) * np.array(
            [1.0, 1.26, 1.5, 1.68]
        )
    )
    return _scaled(np.fft.irfft(np.fft.rfft(rng.normal(size=n)) * gain, n))


def glide(rng: Rng) -> Heard:
    """A siren: two notes a third apart that never stand still."""
    t = np.arange(round(3.0 * RATE_HZ)) / RATE_HZ
    hz = float(rng.uniform(350, 500)) * 2.0 ** (0.8 * np.sin(2.0 * np.pi * float(rng.uniform(0.4, 0.8)) * t))
    phase = 2.0 * np.pi * np.cumsum(hz) / RATE_HZ
    tones = sum(np.sin(k * phase) / k + np.sin(k * 1.25 * phase) / k for k in (1, 2, 3))
    return _scaled(tones + rng.normal(size=len(t)) * 0.01)


def tune(rng: Rng) -> Heard:
    """Short notes of a recorded pan flute, one after the other, none of 0.4 s."""
    names = FAMILIES["recorded stopped pipes"]
    notes = []
    for step in rng.permutation(10):
        sound, _ = at_pitch(names[1], 500.0 * 2.0 ** (int(step) / 12.0))
        n = round(float(rng.uniform(0.15, 0.28)) * RATE_HZ)
        notes += [sound[2000:2000 + n] * np.hanning(n) ** 0.2]
    return _scaled(np.concatenate(notes))


def quiet(rng: Rng) -> Heard:
    return (rng.normal(size=2 * RATE_HZ) * 1e-4).astype(np.float32)


def nothing(_: Rng) -> Heard:
    return np.zeros(RATE_HZ, dtype=np.float32)


def seven(rng: Rng) -> Heard:
    """More notes than a whistle has chambers."""
    return invented((0, 2, 4, 5, 7, 9, 11), rng).samples


def recorded_note(rng: Rng) -> Mixed:
    """One recorded note alone."""
    return recorded(list(FAMILIES)[int(rng.integers(3))], (0,), rng)


def invented_note(rng: Rng) -> Mixed:
    return invented((0,), rng)


REFUSED: dict[str, Callable[[Rng], Heard]] = {
    "noise": hiss, "breath in four bores": breath_in_bores, "a glide": glide, "a tune of short notes": tune,
    "a quiet room": quiet, "no sound at all": nothing, "seven notes": seven,
}
ONE_NOTE: dict[str, Callable[[Rng], Mixed]] = {"one recorded note": recorded_note, "one invented note": invented_note}
