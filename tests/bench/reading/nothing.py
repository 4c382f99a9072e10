"""Set F: no whistle at all. Speech, hum, machines, claps, music: each a recording of a few seconds to a minute."""
from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from tests.bench.reading import machines
from tests.bench.reading.invented import Recording, Rng, Sound, collector, coloured, mains, smoothed

RATE_HZ = 48000


def formants(sound: Sound, centres_hz: tuple[float, ...], rate_hz: int = RATE_HZ) -> Sound:
    """A source shaped by a vowel's resonances."""
    f = np.fft.rfftfreq(len(sound), 1.0 / rate_hz)
    gain = sum(1.0 / np.sqrt(1.0 + ((f - c) / (40.0 + 0.06 * c)) ** 2) / (1 + i) for i, c in enumerate(centres_hz))
    return np.asarray(np.fft.irfft(np.fft.rfft(sound) * gain, len(sound)))


def speech(rng: Rng, seconds: float) -> Sound:
    """Syllables: glottal pulses with a moving pitch through vowels, fricatives between, pauses."""
    vowels = ((730, 1090, 2440), (270, 2290, 3010), (300, 870, 2240), (530, 1840, 2480), (570, 840, 2410))
    whole = np.zeros(round(seconds * RATE_HZ))
    base, at = float(rng.uniform(90, 260)), 0.3
    while at < seconds - 0.6:
        length = float(rng.uniform(0.08, 0.35)) if rng.random() < 0.9 else float(rng.uniform(0.5, 1.2))
        n = round(length * RATE_HZ)
        t = np.arange(n) / RATE_HZ
        pitch = base * 2 ** ((rng.normal() * 3 + rng.normal() * 3 * t / length + 0.2 * np.sin(2 * np.pi * 5 * t)) / 12)
        turns = np.cumsum(pitch) / RATE_HZ
        source = np.diff((turns % 1.0) ** 3, prepend=0.0) + 0.003 * rng.normal(size=n)
        voiced = formants(source, vowels[rng.integers(len(vowels))])
        voiced *= np.sin(np.pi * np.minimum(1.0, t / length)) ** 0.5 / (np.std(voiced) + 1e-9)
        piece = voiced if rng.random() < 0.85 else coloured(rng, n, -0.5) * 0.4 * np.sin(np.pi * t / length)
        i = round(at * RATE_HZ)
        whole[i : i + n] += piece[: len(whole) - i]
        at += length + (float(rng.uniform(0.0, 0.08)) if rng.random() < 0.7 else float(rng.uniform(0.15, 0.9)))
    return whole * 0.1


def sung(rng: Rng, seconds: float) -> Sound:
    """Held vowels, hummed and sung, vibrato and breaths between."""
    whole = np.zeros(round(seconds * RATE_HZ))
    at = 0.4
    while at < seconds - 2.2:
        length = float(rng.uniform(0.4, 1.8))
        t = np.arange(round(length * RATE_HZ)) / RATE_HZ
        pitch = rng.uniform(110, 500) * 2 ** (rng.uniform(0.05, 0.4) * np.sin(2 * np.pi * 5.3 * t) / 12)
        source = np.diff((np.cumsum(pitch) / RATE_HZ % 1.0) ** 2, prepend=0.0)
        voiced = formants(source, ((300, 870, 2240), (730, 1090, 2440))[rng.integers(2)])
        voiced *= np.minimum(1.0, np.minimum(t, length - t) / 0.06) / (np.std(voiced) + 1e-9)
        i = round(at * RATE_HZ)
        whole[i : i + len(t)] += voiced
        at += length + float(rng.uniform(0.2, 0.8))
    return whole * 0.1


def hum(rng: Rng, seconds: float) -> Sound:
    """A bare steady line or mains hum, from the start or switched on and off."""
    n = round(seconds * RATE_HZ)
    t = np.arange(n) / RATE_HZ
    if rng.random() < 0.3:
        sound = mains(rng, n, RATE_HZ)
    else:
        on_mains = rng.random() < 0.6
        f = float(rng.choice([200.0, 300.0, 400.0, 600.0, 1000.0]) if on_mains else rng.uniform(200, 1500))
        sound = np.sin(2 * np.pi * f * t)
        for k in (2, 3, 4, 5):
            if rng.random() < 0.4:
                sound += 10 ** (rng.uniform(-40, -12) / 20) * np.sin(2 * np.pi * k * f * t + k)
    if rng.random() < 0.6:
        period = rng.uniform(1.5, 8.0)
        gate = ((t + rng.uniform(0, period)) % period < period * rng.uniform(0.3, 0.8)).astype(float)
        sound = sound * smoothed(gate, round(rng.uniform(0.002, 0.2) * RATE_HZ))
    return sound * 10 ** (rng.uniform(-45, -15) / 20) + coloured(rng, n, 0.5) * 10 ** (rng.uniform(-75, -45) / 20)


def machine(rng: Rng, seconds: float) -> Sound:
    """A lathe or collector that spins up, cuts, and spins down."""
    n = round(seconds * RATE_HZ)
    t = np.arange(n) / RATE_HZ
    speed = np.clip(np.minimum(t - 1.0, seconds - 3.0 - t) / rng.uniform(0.4, 2.0), 0.0, 1.0)
    phase = 2 * np.pi * np.cumsum(speed * rng.uniform(12, 60)) / RATE_HZ
    orders = (1, 2, int(rng.integers(6, 13)), int(rng.integers(14, 25)), 2 * int(rng.integers(8, 20)))
    lines = sum(10 ** (rng.uniform(-20, 0) / 20) * np.sin(k * phase + k) for k in orders)
    cut = smoothed(coloured(rng, n, 2.0) > 0.8, 9600)
    sound = (lines + coloured(rng, n, 1.0)) * speed * 0.5 + coloured(rng, n, 0.3) * cut * rng.uniform(0, 1.5)
    if rng.random() < 0.4:
        sound += collector(rng, n, RATE_HZ) * (t > rng.uniform(2, seconds / 2))
    return np.asarray(sound * 10 ** (rng.uniform(-35, -18) / 20) + coloured(rng, n, 0.5) * 1e-3)


def knocks(rng: Rng, seconds: float) -> Sound:
    """Claps, hammer blows and ringing bits of metal and wood."""
    n = round(seconds * RATE_HZ)
    whole = coloured(rng, n, 0.5) * 10 ** (rng.uniform(-70, -50) / 20)
    at = 0.5
    while at < seconds - 1.5:
        t = np.arange(round(1.2 * RATE_HZ)) / RATE_HZ
        piece = rng.normal(size=len(t)) * np.exp(-t / rng.uniform(0.003, 0.03))
        if rng.random() < 0.5:
            for _ in range(int(rng.integers(1, 6))):
                ring = np.sin(2 * np.pi * rng.uniform(250, 5000) * t) * np.exp(-t / rng.uniform(0.01, 0.4))
                piece += rng.uniform(0.1, 1.0) * ring
        i = round(at * RATE_HZ)
        whole[i : i + len(t)] += piece * 0.15 * rng.uniform(0.2, 1.0)
        at += float(rng.uniform(0.08, 1.5))
    return whole


def music(rng: Rng, seconds: float) -> Sound:
    """Plucked, bowed and organ-like notes, alone, in runs and in chords."""
    n = round(seconds * RATE_HZ)
    whole = coloured(rng, n, 0.5) * 10 ** (rng.uniform(-70, -55) / 20)
    kind, at, beat_s = rng.integers(3), 0.4, float(rng.uniform(0.2, 0.7))
    while at < seconds - 2.5:
        length = beat_s * float(rng.choice([1, 1, 2, 3]))
        t = np.arange(round(min(length + 0.4, 2.4) * RATE_HZ)) / RATE_HZ
        fade = 1.0 / (1.0 + np.exp((t - length) / 0.02))
        held = np.minimum(1.0, t / (0.08 if kind == 1 else 0.01)) * fade
        env = np.exp(-t / rng.uniform(0.15, 0.8)) if kind == 0 else held
        for _ in range(int(rng.choice([1, 1, 1, 2, 3]))):
            f = 220.0 * 2 ** (int(rng.integers(0, 25)) / 12)
            bend = 1.0 + (0.003 * np.sin(2 * np.pi * 5.5 * t) if kind == 1 else 0.0) * np.ones_like(t)
            phase = 2 * np.pi * np.cumsum(f * bend) / RATE_HZ
            note = sum(np.sin(k * phase + k) / k ** rng.uniform(0.8, 1.6) for k in range(1, 9))
            i = round(at * RATE_HZ)
            whole[i : i + len(t)] += note * env * 0.06
        at += length if rng.random() < 0.85 else length + 0.6
    return whole


KINDS: dict[str, Callable[[Rng, float], Sound]] = {
    "speech": speech, "sung": sung, "hum": hum, "machine": machine, "knocks": knocks, "music": music,
    "compressor": machines.compressor, "fans": machines.fans, "phone": machines.phone, "beeper": machines.beeper,
    "organ": machines.organ, "kettle": machines.kettle, "squeak": machines.squeak, "relay": machines.relay,
}


def set_f(seconds: float, rng: Rng) -> Iterator[Recording]:
    """Recordings of 20 s, the kinds in turn, `seconds` in all; as in A and B a chamber is expected in two of three."""
    expected = rng.spawn(1)[0]
    for i in range(max(len(KINDS), round(seconds / 20.0))):
        kind = list(KINDS)[i % len(KINDS)]
        sound = KINDS[kind](rng, 20.0)
        if kind in ("speech", "sung"):
            sound = sound + coloured(rng, len(sound), 0.5) * 10 ** (rng.uniform(-70, -45) / 20)
        range_hz = any_range(expected) if expected.random() < 2.0 / 3.0 else None
        yield Recording(f"F {kind}", sound.astype(np.float32), RATE_HZ, 0.0, 0.0, None, range_hz, 0.0)


def any_range(rng: Rng) -> tuple[float, float]:
    """Where some chamber of the trade is expected: 3 semitones to either side."""
    frequency_hz = float(np.exp(rng.uniform(np.log(380.0), np.log(1250.0))))
    return frequency_hz * 2 ** (-3 / 12), frequency_hz * 2 ** (3 / 12)
