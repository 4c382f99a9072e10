"""More of set F: machines and other things that sound steadily, some with a stopped pipe's own odd lines.

Invented, in ranges that are common practice or judgement (no source): what a workshop, its yard and its kitchen hold.
"""
from __future__ import annotations

import numpy as np

from tests.bench.reading.invented import Rng, Sound, coloured, mains, smoothed

RATE_HZ = 48000


def _time(seconds: float) -> Sound:
    return np.arange(round(seconds * RATE_HZ)) / RATE_HZ


def _db(level_db: float) -> float:
    return float(10 ** (level_db / 20.0))


def _room(rng: Rng, n: int, low_db: float = -75.0, high_db: float = -50.0) -> Sound:
    return coloured(rng, n, float(rng.uniform(0.0, 1.0))) * _db(rng.uniform(low_db, high_db))


def _gate(rng: Rng, t: Sound, on_s: float, off_s: float, ramp_s: float) -> Sound:
    """Switched on and off in turn, with straight edges."""
    runs = (t + rng.uniform(0.0, on_s + off_s)) % (on_s + off_s) < on_s
    return smoothed(runs, round(ramp_s * RATE_HZ))


def _struck(when: Sound, answer: Sound) -> Sound:
    """`answer` heard each time something happens."""
    from scipy.signal import fftconvolve

    return np.asarray(fftconvolve(when, answer)[: len(when)])


def _lagging(wanted: Sound, lag_s: float) -> Sound:
    """What a heavy wheel makes of being switched on and off: it follows with a time constant."""
    from scipy.signal import lfilter

    keep = float(np.exp(-1.0 / (lag_s * RATE_HZ)))
    return np.asarray(lfilter([1.0 - keep], [1.0, -keep], wanted))


def _turning(rng: Rng, t: Sound, frequency_hz: Sound | float, wander: float) -> Sound:
    """Phase of a machine's line whose speed wanders slowly by the share `wander` (standard deviation)."""
    knots = rng.normal(size=max(4, int(t[-1] / 0.7) + 2)) * wander
    speed = 1.0 + np.interp(t, np.linspace(0.0, t[-1], len(knots)), knots)
    return np.asarray(2 * np.pi * np.cumsum(frequency_hz * speed) / RATE_HZ)


def compressor(rng: Rng, seconds: float) -> Sound:
    """A piston compressor: mains hum beaten by the strokes, a sigh of air when it stops."""
    t = _time(seconds)
    strokes = _turning(rng, t, rng.uniform(8.0, 25.0), 0.002)
    beaten = 1.0 + rng.uniform(0.0, 0.7) * np.cos(strokes)
    thump = sum(_db(rng.uniform(-20, 0)) * np.sin(k * strokes + k) for k in range(1, 12))
    runs = _gate(rng, t, rng.uniform(2.0, 9.0), rng.uniform(1.0, 5.0), rng.uniform(0.05, 0.4))
    falls = np.maximum(0.0, -np.diff(runs, prepend=runs[0]))
    sigh = _struck(falls, np.exp(-np.arange(RATE_HZ // 2) / (0.1 * RATE_HZ)))
    motor = (mains(rng, len(t), RATE_HZ) * beaten + thump * rng.uniform(0.2, 1.0)) * runs
    sound = motor + coloured(rng, len(t), 0.3) * (0.05 * runs + 0.5 * sigh)
    return sound * _db(rng.uniform(-40, -18)) + _room(rng, len(t))


def fans(rng: Rng, seconds: float) -> Sound:
    """An extractor with two fans that beat against one another: they run up and coast down again and again."""
    t = _time(seconds)
    on_s, off_s, lag_s = rng.uniform(2.0, 9.0), rng.uniform(2.0, 6.0), rng.uniform(0.15, 0.8)
    runs = (t + rng.uniform(0.0, on_s)) % (on_s + off_s) < on_s
    speed = _lagging(runs.astype(float), lag_s)
    blade_hz = rng.uniform(250.0, 900.0)
    second_hz = blade_hz * (1.0 + rng.uniform(0.001, 0.01))
    phases = [_turning(rng, t, f * speed, rng.uniform(0.0, 0.0004)) for f in (blade_hz, second_hz)]
    share = _db(rng.uniform(-30.0, -2.0))
    lines = np.sin(phases[0]) + share * np.sin(phases[1])
    for k in (2, 3, 4, 5):
        if rng.random() < 0.5:
            lines += _db(rng.uniform(-45, -15)) * (np.sin(k * phases[0]) + share * np.sin(k * phases[1] + k))
    sound = (lines + coloured(rng, len(t), 1.0) * _db(rng.uniform(-50, -5))) * speed**2
    return sound * _db(rng.uniform(-40, -15)) + _room(rng, len(t))


def phone(rng: Rng, seconds: float) -> Sound:
    """A telephone or door bell made of tones: one or two, warbling or held, rung in turns."""
    t = _time(seconds)
    low_hz = rng.uniform(400.0, 1300.0)
    high_hz = low_hz * float(rng.choice([1.0, 1.0, 1.09, 1.25, 4.0 / 3.0]))
    warble = np.sin(2 * np.pi * rng.choice([1.0, 2.0, 12.0, 20.0]) * t) > 0.0
    phase = 2 * np.pi * np.cumsum(np.where(warble, low_hz, high_hz)) / RATE_HZ
    tone = np.sin(phase) + _db(rng.uniform(-60, -8)) * np.sin(3 * phase) + _db(rng.uniform(-60, -8)) * np.sin(2 * phase)
    rings = _gate(rng, t, rng.uniform(0.4, 2.0), rng.uniform(0.4, 3.0), rng.uniform(0.002, 0.02))
    return tone * rings * _db(rng.uniform(-45, -12)) + _room(rng, len(t))


def beeper(rng: Rng, seconds: float) -> Sound:
    """A reversing beeper: a bare tone or a square wave, whose lines are odd as a stopped pipe's are."""
    t = _time(seconds)
    phase = 2 * np.pi * rng.uniform(500.0, 1600.0) * t
    tone = np.sin(phase)
    if rng.random() < 0.6:
        fall = rng.uniform(1.0, 2.0)
        tone = tone + sum(np.sin(k * phase) / k**fall for k in (3, 5, 7, 9))
    beeps = _gate(rng, t, rng.uniform(0.3, 1.2), rng.uniform(0.3, 1.2), rng.uniform(0.001, 0.02))
    return tone * beeps * _db(rng.uniform(-45, -12)) + _room(rng, len(t))


def organ(rng: Rng, seconds: float) -> Sound:
    """An electric organ on the wireless: single notes and chords, odd or full lines, with or without a tremulant."""
    t = _time(seconds)
    whole, at, beat_s = _room(rng, len(t), -65.0, -45.0), 0.6, float(rng.uniform(0.4, 1.2))
    odd, tremulant, level = rng.random() < 0.4, rng.random() < 0.4, _db(rng.uniform(-40, -18))
    drawn = [1.0, 0.0 if odd else rng.uniform(0, 1), rng.uniform(0, 0.5), 0.0 if odd else rng.uniform(0, 0.5), 0.1]
    while at < seconds - 3.0:
        length_s = beat_s * float(rng.choice([1, 1, 2]))
        place = np.arange(round(length_s * RATE_HZ)) / RATE_HZ
        edge = np.minimum(1.0, np.minimum(place, length_s - place) / 0.008)
        swing = np.sin(2 * np.pi * 6.2 * (at + place)) * tremulant
        for step in (0,) if rng.random() < 0.5 else (0, 4, 7):
            frequency_hz = 261.63 * 2 ** ((int(rng.integers(0, 20)) + step) / 12)
            phase = 2 * np.pi * np.cumsum(frequency_hz * (1.0 + 0.003 * swing)) / RATE_HZ
            note = sum(a * np.sin(k * phase) for k, a in enumerate(drawn, start=1)) * (1.0 + 0.1 * swing)
            i = round(at * RATE_HZ)
            whole[i : i + len(place)] += note * edge * level
        at += length_s + (0.0 if rng.random() < 0.7 else float(rng.uniform(0.2, 1.0)))
    return whole


def kettle(rng: Rng, seconds: float) -> Sound:
    """A kettle coming to the boil: rushing water with swelling resonances of its own, no whistle on it."""
    t = _time(seconds)
    spectrum = np.fft.rfft(rng.normal(size=len(t)))
    f = np.maximum(np.fft.rfftfreq(len(t), 1.0 / RATE_HZ), 1.0)
    gain = 1.0 / np.sqrt(1.0 + (f / rng.uniform(500, 2500)) ** 2)
    for _ in range(3):
        centre_hz, q = rng.uniform(300, 3000), rng.uniform(10, 60)
        gain += rng.uniform(0.5, 6.0) / np.sqrt(1.0 + (q * (f / centre_hz - centre_hz / f)) ** 2)
    water = np.fft.irfft(spectrum * gain, len(t))
    swell = np.interp(t, [0.0, 0.2 * seconds, 0.7 * seconds, seconds], [0.0, 0.05, 1.0, rng.uniform(0, 1)])
    bubbles = 1.0 + 0.5 * np.sin(2 * np.pi * rng.uniform(2, 8) * t) * (rng.random() < 0.5)
    return water / np.std(water) * swell * bubbles * _db(rng.uniform(-35, -15)) + _room(rng, len(t))


def squeak(rng: Rng, seconds: float) -> Sound:
    """A dry bearing or a door hinge: stick and slip, once a turn, its pitch bent by the load."""
    t = _time(seconds)
    turn = rng.uniform(0.3, 2.5)
    load = np.maximum(0.0, np.sin(2 * np.pi * turn * t + rng.uniform(0, 6.28)) - rng.uniform(-0.5, 0.6)) ** 0.5
    bend = 1.0 + rng.uniform(0.0, 0.05) * load + 0.002 * np.interp(t, t[::4800], rng.normal(size=len(t[::4800])))
    turns = np.cumsum(rng.uniform(350.0, 2400.0) * bend) / RATE_HZ
    sharp = rng.uniform(0.8, 2.0)
    tone = sum(np.sin(2 * np.pi * k * turns + k) / k**sharp for k in range(1, 8))
    rumble = coloured(rng, len(t), 1.0) * _db(rng.uniform(-45, -15))
    return (tone * load + rumble) * _db(rng.uniform(-40, -18)) + _room(rng, len(t))


def relay(rng: Rng, seconds: float) -> Sound:
    """Mains buzz that a relay switches, with a click at either edge: even multiples of the mains, or one of them."""
    t = _time(seconds)
    base_hz = float(rng.choice([100.0, 120.0])) * (1.0 + rng.normal() * 2e-4)
    numbers = range(1, 16) if rng.random() < 0.5 else (int(rng.integers(2, 12)),)
    numbers = (*numbers, *(3 * k for k in numbers)) if len(numbers) == 1 else numbers
    tone = sum(_db(rng.uniform(-25, 0)) * np.sin(2 * np.pi * base_hz * k * t + k * k) for k in numbers)
    runs = _gate(rng, t, rng.uniform(0.5, 4.0), rng.uniform(0.5, 4.0), rng.uniform(0.001, 0.03))
    edges = np.abs(np.diff(np.round(runs), prepend=0.0))
    click = _struck(edges, rng.normal(size=960) * np.exp(-np.arange(960) / 150.0))
    return (tone * runs + click * rng.uniform(0.0, 3.0)) * _db(rng.uniform(-45, -18)) + _room(rng, len(t))
