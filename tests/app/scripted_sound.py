"""A sound source that plays a script, and a finder whose every answer is known beforehand."""
from __future__ import annotations

import queue
from collections.abc import Callable, Iterable

import numpy as np

from acoustics.blow import Blow, BlowBegan, BlowEnded, Glimpse, TwoToots, Verdict
from app.listener import Listener
from app.source import Block, Hearing, Notice

RATE_HZ = 8000
BLOCK_FRAMES = 80  # 10 ms

HEARING = Notice(Hearing.HEARING, "scripted", RATE_HZ)
ENDED = Notice(Hearing.ENDED, "scripted")


class ScriptedSource:
    """Hands out blocks and notices, raises errors, and calls what is callable, on the listener's thread.

    A script that does not end with `ENDED` gives nothing more, as a device does that is silent.
    """

    name = "scripted"

    def __init__(self, script: Iterable[Block | Notice | Callable[[], object] | Exception]) -> None:
        self._script = iter(script)
        self.closed = False

    def read(self, timeout_s: float) -> Block | Notice | None:
        for item in self._script:
            if isinstance(item, Exception):
                raise item
            if isinstance(item, (Block, Notice)):
                return item
            item()
        return None

    def close(self) -> None:
        self.closed = True


def blocks(start_s: float, end_s: float, value: float = 0.0, lost_frames: int = 0) -> list[Block]:
    """Blocks of one value; `lost_frames` are missing before the first (the caller leaves the hole in time)."""
    n = round((end_s - start_s) * RATE_HZ / BLOCK_FRAMES)
    samples = np.full(BLOCK_FRAMES, value, np.float32)
    return [
        Block(samples, start_s + i * BLOCK_FRAMES / RATE_HZ, RATE_HZ, lost_frames if i == 0 else 0) for i in range(n)
    ]


class ThresholdFinder:
    """A blow is every run of samples above 0.1; a toot pair is a run of the value 0.05. Notes what it was told."""

    made: list[ThresholdFinder] = []

    def __init__(self, sample_rate_hz: int, range_hz: tuple[float, float] | None = None) -> None:
        self.rate_hz = sample_rate_hz
        self.ranges: list[tuple[float, float] | None] = []
        self.heard = np.zeros(0, np.float32)
        self.finished = False
        self._frames = 0
        self._onset_s: float | None = None
        ThresholdFinder.made.append(self)

    def expect(self, range_hz: tuple[float, float] | None) -> None:
        self.ranges.append(range_hz)

    def feed(self, samples: np.ndarray) -> list:
        self.heard = np.concatenate([self.heard, samples])
        at_s = self._frames / self.rate_hz
        self._frames += len(samples)
        loud = len(samples) > 0 and float(samples.max()) > 0.1
        filled = len(samples) > 0 and not samples.any() and self._onset_s is not None and self._bridge(samples)
        if len(samples) and float(samples.max()) == np.float32(0.05):
            return [TwoToots(at_s)]
        if loud and self._onset_s is None:
            self._onset_s = at_s
            return [BlowBegan(at_s)]
        if loud:
            return [Glimpse(at_s, 600.0, 1.0, -20.0)]
        return [] if filled or self._onset_s is None else [self._end(at_s)]

    def finish(self) -> list:
        self.finished = True
        return [] if self._onset_s is None else [self._end(self._frames / self.rate_hz)]

    @property
    def level_dbfs(self) -> float:
        return -20.0

    @property
    def floor_dbfs(self) -> float | None:
        return -70.0

    def _bridge(self, samples: np.ndarray) -> bool:
        """Zeros shorter than a block are the listener's filling, not the end of the blow."""
        return len(samples) != BLOCK_FRAMES

    def _end(self, at_s: float) -> BlowEnded:
        assert self._onset_s is not None
        start_s, self._onset_s = self._onset_s, None
        blow = Blow(start_s, at_s, Verdict.STEADY, True, 600.0, 600.0, 0.1, 1.0, -20.0, -30.0, 40.0)
        first = round(start_s * self.rate_hz)
        return BlowEnded(blow, self.heard[first : round(at_s * self.rate_hz)], start_s)


def listen(script: Iterable, finder_factory: Callable = ThresholdFinder) -> list:
    """Every event of a script that ends, in order."""
    return listen_with(lambda _: script, finder_factory)


def listen_with(make_script: Callable[[Listener], Iterable], finder_factory: Callable = ThresholdFinder) -> list:
    """As `listen`; the script may speak to the listener that is going to read it."""
    heard: queue.SimpleQueue = queue.SimpleQueue()
    source = ScriptedSource(())
    listener = Listener(source, heard.put, finder_factory)
    source._script = iter(make_script(listener))
    listener.start()
    listener._thread.join(20.0)
    assert not listener.alive, "the script did not end"
    assert source.closed
    return [heard.get_nowait() for _ in range(heard.qsize())]
