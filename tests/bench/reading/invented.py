"""Invented blows with known truth: a stopped pipe's odd-heavy lines, an attack, breath, wander; and their rooms."""
from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Sound = NDArray[np.float64]
Rng = np.random.Generator


@dataclass(frozen=True)
class Pipe:
    """One blow to be made. Levels in dB; noise to tone over the whole band."""

    frequency_hz: float
    length_s: float
    line_db: tuple[float, ...] = (0.0, -25.0, -10.0, -32.0, -18.0, -40.0, -28.0)
    tone_dbfs: float = -20.0
    breath_db: float = -40.0  # riding with the tone
    attack_s: float = 0.015
    release_s: float = 0.015
    glide_cents: float = 0.0  # where the attack starts from
    chirp: bool = False  # speaks at the twelfth first
    wander_cents: tuple[float, float] = (0.0, 0.0)  # vibrato at 4 Hz or so, slow random wander (standard deviations)
    drift_cents: float = 0.0  # from start to end
    resonance_db: float = 12.0  # breath noise heaps up at the pipe's own resonances


def coloured(rng: Rng, n: int, slope: float) -> Sound:
    """Noise of unit power whose power falls as 1 / f**slope, level below 60 Hz."""
    spectrum = np.fft.rfft(rng.normal(size=n))
    place = np.maximum(np.arange(len(spectrum)), 1.0 + 60.0 / 24000.0 * len(spectrum))
    sound = np.fft.irfft(spectrum * place ** (-slope / 2.0), n)
    return sound / np.sqrt(np.mean(sound**2))


def smoothed(sound: Sound, n: int) -> Sound:
    """Running mean over `n` samples, centred: a switch's edge drawn out, or an envelope."""
    from scipy.ndimage import uniform_filter1d

    return np.asarray(uniform_filter1d(sound.astype(float), max(1, n), mode="constant"))


def resonant(rng: Rng, n: int, rate_hz: int, frequency_hz: float, heap_db: float, q: float = 30.0) -> Sound:
    """Breath noise heaped up at odd multiples of a frequency, unit power."""
    spectrum = np.fft.rfft(rng.normal(size=n))
    f = np.maximum(np.fft.rfftfreq(n, 1.0 / rate_hz), 1.0)
    gain = np.ones_like(f) / np.sqrt(1.0 + (f / 4000.0) ** 2)
    for number in (1, 3, 5):
        centre_hz = number * frequency_hz
        gain += 10 ** (heap_db / 20.0) / np.sqrt(1.0 + (q * (f / centre_hz - centre_hz / f)) ** 2)
    sound = np.fft.irfft(spectrum * gain, n)
    return sound / np.sqrt(np.mean(sound**2))


def blow(pipe: Pipe, rate_hz: int, rng: Rng) -> tuple[Sound, float]:
    """The blow's sound, and the mean frequency of its steady part (attack's 150 ms and the last 100 ms left out)."""
    n = round(pipe.length_s * rate_hz)
    t = np.arange(n) / rate_hz
    cents = pipe.drift_cents * (t / pipe.length_s - 0.5) + pipe.glide_cents * np.exp(-t / 0.025)
    vibrato, slow = pipe.wander_cents
    cents += vibrato * np.sqrt(2.0) * np.sin(2 * np.pi * rng.uniform(3.0, 6.0) * t + rng.uniform(0, 6.28))
    if slow:
        knots = rng.normal(size=max(4, int(pipe.length_s / 0.25) + 2)) * slow
        cents += np.interp(t, np.linspace(0, pipe.length_s, len(knots)), knots)
    frequency = pipe.frequency_hz * 2 ** (cents / 1200.0)
    phase = 2 * np.pi * np.cumsum(frequency) / rate_hz
    rise = (1.0 - np.exp(-t / pipe.attack_s)) ** 2
    fall = np.minimum(1.0, np.exp(-(t - (pipe.length_s - 5.0 * pipe.release_s)) / pipe.release_s))
    envelope = rise * fall * 10 ** (0.3 * np.sin(2 * np.pi * 0.8 * t + rng.uniform(0, 6.28)) / 20.0)
    amplitude = 10 ** (np.asarray(pipe.line_db) / 20.0)
    tone = np.zeros(n)
    for number, a in enumerate(amplitude, start=1):
        if number * pipe.frequency_hz < 0.45 * rate_hz:
            late = np.clip((t - 0.03) / 0.02, 0.0, 1.0) if pipe.chirp and number == 1 else 1.0
            tone += a * np.sin(number * phase + rng.uniform(0, 6.28)) * late
    tone *= 10 ** (pipe.tone_dbfs / 20.0) / np.sqrt(np.sum(amplitude**2) / 2.0)
    noise = resonant(rng, n, rate_hz, pipe.frequency_hz, pipe.resonance_db)
    noise *= 10 ** ((pipe.tone_dbfs + pipe.breath_db) / 20.0)
    steady = (t > min(0.15, 0.25 * pipe.length_s)) & (t < pipe.length_s - 0.1)
    mean_hz = float(np.mean(frequency[steady])) if np.any(steady) else pipe.frequency_hz
    return tone * envelope + noise * rise * fall, mean_hz


def random_pipe(rng: Rng, weak: float = 0.15) -> Pipe:
    """A pipe and blow of the trade's range; a share `weak` of them with the fundamental 3 to 18 dB under line 3."""
    line_db = [0.0, rng.uniform(-35, -15), rng.uniform(-22, -4), rng.uniform(-45, -25), rng.uniform(-32, -12)]
    line_db += [rng.uniform(-50, -32), rng.uniform(-40, -20)]
    if rng.random() < 0.9:  # a stopped bore favours odd lines; one in ten does not keep to it
        line_db[1] = min(line_db[1], line_db[2] - 3.0)
    if rng.random() < weak:
        line_db[0], line_db[2] = -rng.uniform(3, 18), 0.0
    return Pipe(
        frequency_hz=float(np.exp(rng.uniform(np.log(380.0), np.log(1250.0)))),
        length_s=float(rng.uniform(0.7, 2.5)),
        line_db=tuple(float(v) for v in line_db),
        tone_dbfs=float(rng.uniform(-32, -10)),
        attack_s=float(rng.uniform(0.006, 0.022)),
        release_s=float(rng.uniform(0.005, 0.02)),
        glide_cents=float(rng.normal() * 15.0),
        chirp=bool(rng.random() < 0.15),
        resonance_db=float(rng.uniform(0, 15)),
    )


def mains(rng: Rng, n: int, rate_hz: int) -> Sound:
    """Hum at 50 or 60 Hz and its multiples, unit power."""
    base = (50.0 if rng.random() < 0.5 else 60.0) * (1.0 + rng.normal() * 2e-4)
    t = np.arange(n) / rate_hz
    sound = np.zeros(n)
    for k in range(1, 25):
        sound += 10 ** (rng.uniform(-25, 0) / 20.0) * np.sin(2 * np.pi * base * k * t + rng.uniform(0, 6.28))
    return np.asarray(sound / np.sqrt(np.mean(np.square(sound))))


def collector(rng: Rng, n: int, rate_hz: int) -> Sound:
    """A dust collector: blade lines at 285 to 690 Hz and rushing air, unit power."""
    t = np.arange(n) / rate_hz
    blade = rng.uniform(285, 690) * (1.0 + 0.0005 * np.sin(2 * np.pi * 0.3 * t))
    phase = 2 * np.pi * np.cumsum(blade) / rate_hz
    lines = np.sin(phase) + 0.4 * np.sin(2 * phase + 1.0) + 0.2 * np.sin(3 * phase + 2.0)
    sound = lines * rng.uniform(0.1, 0.5) + coloured(rng, n, 1.0)
    return np.asarray(sound / np.sqrt(np.mean(sound**2)))


@dataclass(frozen=True)
class Recording:
    """Sound with a known blow in it (or none: `true_hz` None)."""

    kind: str
    samples: NDArray[np.float32]
    rate_hz: int
    start_s: float
    end_s: float  # 20 dB down
    true_hz: float | None
    range_hz: tuple[float, float] | None
    tone_to_noise: float  # power ratio over the whole band, for the bound
    line_db: tuple[float, ...] = ()
    chirps: bool = False


def recording(kind: str, pipe: Pipe, rng: Rng, room_db: float, room: str = "white", fit: bool = True) -> Recording:
    """A blow in a room whose noise lies `room_db` relative to the tone, with about 0.8 s of room on either side."""
    rate_hz = int(rng.choice([44100, 48000, 48000, 16000]))
    sound, true_hz = blow(pipe, rate_hz, rng)
    lead, tail = (round(rng.uniform(0.4, 1.2) * rate_hz) for _ in range(2))
    n = lead + len(sound) + tail
    noise = coloured(rng, n, {"white": 0.0, "pink": 1.0}.get(room, 0.5))
    if room == "hum":
        noise = noise * 0.7 + mains(rng, n, rate_hz) * 0.7
    elif room == "collector":
        noise = collector(rng, n, rate_hz)
    noise *= 10 ** ((pipe.tone_dbfs + room_db) / 20.0)
    noise[lead : lead + len(sound)] += sound
    f = pipe.frequency_hz
    down_s = pipe.length_s - 5.0 * pipe.release_s + 2.3 * pipe.release_s
    ratio = 1.0 / (10 ** (room_db / 10.0) + 10 ** (pipe.breath_db / 10.0))
    return Recording(
        kind=kind,
        samples=noise.astype(np.float32),
        rate_hz=rate_hz,
        start_s=lead / rate_hz,
        end_s=lead / rate_hz + down_s,
        true_hz=true_hz,
        range_hz=(f * 2 ** (-3 / 12), f * 2 ** (3 / 12)) if fit else None,
        tone_to_noise=ratio,
        line_db=pipe.line_db,
        chirps=pipe.chirp,
    )


def changed(pipe: Pipe, **fields: object) -> Pipe:
    """The same pipe with other fields."""
    return replace(pipe, **fields)  # type: ignore[arg-type]
