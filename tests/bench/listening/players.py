"""Plays invented blows into the virtual microphone in real time, and knows when each ended."""
from __future__ import annotations

import queue
import threading
import time
from collections.abc import Iterator

import numpy as np

from acoustics.synthesis import BlowRecipe, render_blow, room_noise
from tests.microphone.virtual_sound import RATE_HZ, VirtualSound

CHUNK_FRAMES = RATE_HZ // 100
PERIOD_S = 3.0


def blow_and_end(seed: int) -> tuple[bytes, float]:
    """Three seconds with one blow in it, as 16-bit samples, and the second at which it is 20 dB down for good."""
    rng = np.random.default_rng(seed)
    recipe = BlowRecipe(float(rng.uniform(500.0, 1400.0)), duration_s=float(rng.uniform(0.8, 1.6)))
    blow = render_blow(recipe, RATE_HZ, rng)
    start = RATE_HZ // 2
    sound = np.zeros(round(PERIOD_S * RATE_HZ), np.float32)
    sound[start : start + len(blow)] = blow
    sound += room_noise(len(sound), RATE_HZ, -62.0, rng)
    n = CHUNK_FRAMES // 2
    level_db = 10.0 * np.log10(np.mean(np.square(sound[: len(sound) // n * n]).reshape(-1, n), axis=1) + 1e-12)
    down = int(np.flatnonzero(level_db > np.median(np.sort(level_db)[-100:]) - 20.0)[-1]) + 1
    return (np.clip(sound, -1.0, 1.0) * 32767.0).astype("<i2").tobytes(), down * n / RATE_HZ


class BlowPlayer:
    """Writes chunks of 10 ms at their time; without a number of blows, until it is left."""

    _cpu_s = 0.0  # of the playing thread, which is the only writer

    def __init__(self, server: VirtualSound, n_blows: int | None = None) -> None:
        self._server = server
        self._n_blows = n_blows
        self._ends: queue.SimpleQueue[float] = queue.SimpleQueue()
        self._leaving = threading.Event()
        self._sounds = [blow_and_end(seed) for seed in range(10)]
        self._thread = threading.Thread(target=self._play, daemon=True)

    def __enter__(self) -> BlowPlayer:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._leaving.set()
        self._thread.join()

    @classmethod
    def cpu_s(cls) -> float:
        return cls._cpu_s

    def ends(self) -> Iterator[float]:
        """The moment, by the monotonic clock, at which each blow's end was handed to the server."""
        for _ in range(self._n_blows or 0):
            yield self._ends.get(timeout=60.0)

    def _play(self) -> None:
        player = self._server.pipe()
        assert player.stdin is not None
        due_s, number, since_cpu_s = time.monotonic(), 0, time.thread_time()
        while not self._leaving.is_set() and (self._n_blows is None or number < self._n_blows):
            sound, end_s = self._sounds[number % len(self._sounds)]
            for place in range(0, len(sound), 2 * CHUNK_FRAMES):
                self._leaving.wait(max(0.0, due_s - time.monotonic()))
                player.stdin.write(sound[place : place + 2 * CHUNK_FRAMES])
                player.stdin.flush()
                chunk_s = place / (2 * RATE_HZ)
                if chunk_s < end_s <= chunk_s + 0.01:
                    self._ends.put(time.monotonic() + end_s - chunk_s - 0.01)
                due_s += 0.01
            number += 1
            BlowPlayer._cpu_s += time.thread_time() - since_cpu_s
            since_cpu_s = time.thread_time()
        player.stdin.close()
        self._server.silence(player)
