"""A microphone in a quiet shop, before which a test blows; finder and reader behind it are the program's own."""
from __future__ import annotations

import queue
import time

import numpy as np

from acoustics.blow import Samples
from acoustics.synthesis import BlowRecipe, render_blow, room_noise, two_toots
from app.source import Block, Hearing, Notice

RATE_HZ = 48_000
BLOCK_FRAMES = 960
QUIET_FRAMES = RATE_HZ
ROOM_DBFS = -75.0
PACE_S = 0.002  # ten times as fast as a clock: no core is kept busy by silence


class PlayedMicrophone:
    """Gives what was played into it, between quiet, and quiet for ever after."""

    name = "played"

    def __init__(self, _device_name: str | None = None) -> None:
        self._rng = np.random.default_rng(7)
        self._quiet = room_noise(QUIET_FRAMES, RATE_HZ, ROOM_DBFS, self._rng)
        self._blocks: queue.SimpleQueue[Samples] = queue.SimpleQueue()
        self._frame = 0
        self._told = False
        self.heard_until_s = 0.0  # on its own clock
        self._played_until_s = 0.0

    def blow(self, note_hz: float) -> float:
        """One blow of a second and a little; returns when, on the source's clock, it will have been heard at latest."""
        return self._play(render_blow(BlowRecipe(note_hz), RATE_HZ, self._rng))

    def toot(self, note_hz: float) -> float:
        """Two short toots: "done"."""
        return self._play(two_toots(BlowRecipe(note_hz), RATE_HZ, self._rng))

    def read(self, timeout_s: float) -> Block | Notice | None:
        if not self._told:
            self._told = True
            return Notice(Hearing.HEARING, self.name, RATE_HZ)
        time.sleep(PACE_S)
        try:
            samples = self._blocks.get_nowait()
        except queue.Empty:
            samples = self._quiet[:BLOCK_FRAMES]
        start_s = self._frame / RATE_HZ
        self._frame += len(samples)
        self.heard_until_s = start_s
        return Block(samples, start_s, RATE_HZ)

    def close(self) -> None:
        pass

    def _play(self, sound: Samples) -> float:
        heard = np.concatenate([self._quiet, np.zeros(-(-len(sound) // BLOCK_FRAMES) * BLOCK_FRAMES, np.float32),
                                self._quiet])
        heard[len(self._quiet) : len(self._quiet) + len(sound)] += sound
        for start in range(0, len(heard), BLOCK_FRAMES):
            self._blocks.put(heard[start : start + BLOCK_FRAMES])
        self._played_until_s = max(self.heard_until_s, self._played_until_s) + len(heard) / RATE_HZ
        return self._played_until_s + 1.0
