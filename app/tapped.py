"""A source that can be asked for the sound it gave a moment ago."""
from __future__ import annotations

import threading
from collections import deque

import numpy as np

from acoustics.blow import Samples
from app.source import Block, Notice, SoundSource

REMEMBERED_S = 15.0


class TappedSource:
    """Hands on another source's blocks and remembers the latest. `sound` may be called from any thread."""

    def __init__(self, source: SoundSource, remembered_s: float = REMEMBERED_S) -> None:
        self.name = source.name
        self._source = source
        self._remembered_s = remembered_s
        self._blocks: deque[Block] = deque()
        self._lock = threading.Lock()  # held for an append or a copy of references only

    def read(self, timeout_s: float) -> Block | Notice | None:
        item = self._source.read(timeout_s)
        if isinstance(item, Block):
            with self._lock:
                self._blocks.append(item)
                while self._blocks[0].start_s < item.start_s - self._remembered_s:
                    self._blocks.popleft()
        return item

    def close(self) -> None:
        self._source.close()

    def sound(self, start_s: float, end_s: float) -> tuple[Samples, int] | None:
        """Samples and rate of what is remembered between these times; None when nothing is."""
        with self._lock:
            blocks = tuple(self._blocks)
        inside = [block for block in blocks if block.start_s < end_s and _end_s(block) > start_s]
        if not inside:
            return None
        rate_hz = inside[-1].sample_rate_hz
        samples = np.concatenate([block.samples for block in inside if block.sample_rate_hz == rate_hz])
        return samples, rate_hz


def _end_s(block: Block) -> float:
    return block.start_s + len(block.samples) / block.sample_rate_hz
