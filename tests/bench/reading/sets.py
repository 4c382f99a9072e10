"""The sets: A clean, B hard, C drifting, D overblown, open neighbour, breathy, breath only, E four at once, T toots."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from tests.bench.reading.invented import Pipe, Recording, Rng, blow, changed, coloured, random_pipe, recording, resonant


def set_a(n: int, rng: Rng) -> Iterator[Recording]:
    """Harmonic to noise 15 to 35 dB; half of it breath that rides with the tone, half a steady room."""
    for i in range(n):
        noise_db = -float(rng.uniform(15, 35))
        riding, room = (noise_db, min(noise_db - 10.0, -35.0)) if i % 2 else (noise_db - 10.0, noise_db)
        pipe = changed(random_pipe(rng), breath_db=riding)
        yield recording("A", pipe, rng, room, "white" if i % 4 < 2 else "pink", fit=i % 3 > 0)


def set_b(n: int, rng: Rng) -> Iterator[Recording]:
    """Harmonic to noise 0 to 10 dB: hum, a dust collector, rushing air, or heavy breath."""
    for i in range(n):
        noise_db = -float(rng.uniform(0, 10))
        room = ("hum", "collector", "pink", "white")[i % 4]
        breath = noise_db - 3.0 if i % 8 >= 6 else -20.0
        pipe = changed(random_pipe(rng), breath_db=breath)
        yield recording("B", pipe, rng, noise_db - 3.0 if i % 8 >= 6 else noise_db, room, fit=i % 3 > 0)


def set_c(n: int, rng: Rng) -> Iterator[Recording]:
    """Clean, but the pitch drifts, wavers or both."""
    for _ in range(n):
        wander = (float(rng.uniform(0, 7)), float(rng.uniform(0, 5)))
        pipe = changed(random_pipe(rng), breath_db=-25.0, wander_cents=wander, drift_cents=float(rng.normal() * 10.0))
        yield recording("C", pipe, rng, -35.0)


def set_d(n: int, rng: Rng) -> Iterator[Recording]:
    """D1 overblown (range known), D2 an open neighbour (range known), D3 breathy, D4 breath and no tone."""
    for i in range(n):
        pipe = changed(random_pipe(rng, weak=0.0), breath_db=-float(rng.uniform(10, 30)))
        room_db = -float(rng.uniform(10, 35))
        if i % 4 == 0:
            yield overblown(pipe, rng, room_db)
        elif i % 4 == 1:
            sharp = float(2 ** rng.uniform(0.95, 1.07))
            lines = (0.0, -12.0, -20.0, -25.0, -30.0)
            made = recording("D2", changed(pipe, frequency_hz=pipe.frequency_hz * sharp, line_db=lines), rng, room_db)
            yield replace(made, range_hz=_near(pipe.frequency_hz), true_hz=None)
        elif i % 4 == 2:
            yield recording("D3", changed(pipe, breath_db=float(rng.uniform(0, 6))), rng, -25.0)
        else:
            yield replace(_breath_only(pipe, rng), range_hz=_near(pipe.frequency_hz))


def overblown(pipe: Pipe, rng: Rng, room_db: float) -> Recording:
    """The second resonance sounds: three times the frequency and up to 90 cents more; its lines are its own."""
    f = pipe.frequency_hz
    if f * 3.0 > 2500.0:
        f /= 2.0
    sharp = 2 ** (float(rng.uniform(0, 90)) / 1200.0)
    lines = (0.0, float(rng.uniform(-30, -12)), float(rng.uniform(-30, -12)))
    made = recording("D1", changed(pipe, frequency_hz=3.0 * f * sharp, line_db=lines), rng, room_db)
    return replace(made, range_hz=_near(f), true_hz=None)


def _near(frequency_hz: float) -> tuple[float, float]:
    return frequency_hz * 2 ** (-3 / 12), frequency_hz * 2 ** (3 / 12)


def _breath_only(pipe: Pipe, rng: Rng) -> Recording:
    rate_hz, n = 48000, round(pipe.length_s * 48000)
    t = np.arange(n) / rate_hz
    edge = np.minimum(1.0, np.minimum(t, pipe.length_s - t) / 0.04)
    sound = resonant(rng, n, rate_hz, pipe.frequency_hz, float(rng.uniform(0, 20)), q=float(rng.uniform(15, 45))) * edge
    lead = round(0.8 * rate_hz)
    room = coloured(rng, n + 2 * lead, 0.5) * 0.02
    room[lead : lead + n] += sound
    samples = (room * 10 ** (rng.uniform(-30, -12) / 20.0)).astype(np.float32)
    return Recording("D4", samples, rate_hz, 0.8, 0.8 + pipe.length_s, None, None, 0.0)


def breath_only(n: int, rng: Rng) -> Iterator[Recording]:
    """D4 by itself: breath that finds no note, again and again."""
    for _ in range(n):
        pipe = random_pipe(rng, weak=0.0)
        yield replace(_breath_only(pipe, rng), range_hz=_near(pipe.frequency_hz))


def set_e(n: int, rng: Rng) -> Iterator[Recording]:
    """Four chambers in one breath: major sixth, minor seventh, diminished and dominant chords."""
    chords = ((0, 4, 7, 9), (0, 3, 7, 10), (0, 3, 6, 9), (0, 4, 7, 10))
    for i in range(n):
        pipe = changed(random_pipe(rng, weak=0.0), breath_db=-20.0, frequency_hz=float(rng.uniform(420, 640)))
        made = recording("E", pipe, rng, -30.0)
        samples = made.samples.copy()
        at = round(made.start_s * made.rate_hz)
        for step in chords[i % 4][1:]:
            level = pipe.tone_dbfs + float(rng.normal() * 3.0)
            cents = 100.0 * step + float(rng.normal() * 15.0)
            other = changed(pipe, frequency_hz=pipe.frequency_hz * 2 ** (cents / 1200.0), tone_dbfs=level)
            sound, _ = blow(other, made.rate_hz, rng)
            samples[at : at + len(sound)] += sound.astype(np.float32)
        yield replace(made, samples=samples, true_hz=None)


def toots(n: int, rng: Rng) -> Iterator[tuple[str, Recording]]:
    """Two toots; one; three; and two blows half a second long."""
    for i in range(n):
        kind = ("two", "two", "one", "three", "blows")[i % 5]
        pipe = changed(random_pipe(rng, weak=0.0), breath_db=-25.0)
        rate_hz = 48000
        count = {"one": 1, "three": 3}.get(kind, 2)
        pieces = [np.zeros(round(0.9 * rate_hz))]
        for _ in range(count):
            length = float(rng.uniform(0.5, 0.8)) if kind == "blows" else float(rng.uniform(0.08, 0.25))
            sound, _f = blow(changed(pipe, length_s=length + 0.03, attack_s=0.008, release_s=0.006), rate_hz, rng)
            pieces += [sound, np.zeros(round(float(rng.uniform(0.08, 0.28 if kind == "three" else 0.4)) * rate_hz))]
        pieces.append(np.zeros(rate_hz))
        whole = np.concatenate(pieces)
        whole += coloured(rng, len(whole), 0.5) * 10 ** ((pipe.tone_dbfs - rng.uniform(12, 40)) / 20.0)
        yield kind, Recording("T", whole.astype(np.float32), rate_hz, 0.9, len(whole) / rate_hz, None, None, 0.0)
