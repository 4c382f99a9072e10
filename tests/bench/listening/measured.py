"""A listener whose work, events and source are timed from outside."""
from __future__ import annotations

import queue
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from app.heard import BlowHeard, Breath, SourceNoticed
from app.listener import Listener
from app.microphone import Microphone
from app.source import Block, Hearing, Notice

PATIENCE_S = 60.0


class TimedSource:
    """The microphone, counted on its way: blocks, frames, and how long each kept the listener busy."""

    def __init__(self) -> None:
        self._microphone = Microphone()
        self.name = self._microphone.name
        self.calls = self.frames = 0
        self.slowest_s = self.cpu_s = 0.0
        self._handed_s: float | None = None

    def read(self, timeout_s: float) -> Block | Notice | None:
        if self._handed_s is not None:
            self.slowest_s = max(self.slowest_s, time.monotonic() - self._handed_s)
        item = self._microphone.read(timeout_s)
        if isinstance(item, Block):
            self.calls += 1
            self.frames += len(item.samples)
        self.cpu_s = time.thread_time()
        self._handed_s = time.monotonic() if isinstance(item, Block) else None
        return item

    def close(self) -> None:
        self._microphone.close()


class MeasuredEars:
    """A listener with the time of each event but the breath line's."""

    def __init__(self) -> None:
        self._events: queue.SimpleQueue[tuple[float, object]] = queue.SimpleQueue()
        self._source = TimedSource()
        self._listener = Listener(self._source, self._take)
        self._blows = 0
        self._before = (0, 0, 0, 0)
        self._cpu_before_s = 0.0

    def _take(self, event: object) -> None:
        if isinstance(event, BlowHeard):
            self._blows += event.blow.usable
            event = replace(event, samples=event.samples[:0].copy())  # or the bench would weigh its own collection
        if not isinstance(event, Breath):
            self._events.put((time.monotonic(), event))

    def __enter__(self) -> MeasuredEars:
        self._listener.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._listener.stop()

    def _counts(self) -> tuple[int, int, int, int]:
        return self._source.frames, self._source.calls, self._listener.lost_frames, self._blows

    def begin_count(self) -> None:
        self._before = self._counts()
        self._source.slowest_s = 0.0
        self._cpu_before_s = self._source.cpu_s

    def listener_cpu_s(self) -> float:
        """Processor time of the listening thread since `begin_count`."""
        return self._source.cpu_s - self._cpu_before_s

    def end_count(self) -> tuple[int, int, int, int, float]:
        frames, calls, lost, blows = (now - then for now, then in zip(self._counts(), self._before, strict=True))
        return frames, calls, lost, blows, self._source.slowest_s

    def _wait(self, wanted: Callable[[object], bool]) -> float:
        while True:
            at_s, event = self._events.get(timeout=PATIENCE_S)
            if wanted(event):
                return at_s

    def wait_for_state(self, hearing: Hearing) -> float:
        return self._wait(lambda event: isinstance(event, SourceNoticed) and event.notice.hearing is hearing)

    def wait_for_usable_blow(self, not_before_s: float) -> tuple[float, int]:
        """When a usable blow was told, and how many were told earlier: pieces, where the player had run dry."""
        pieces = 0
        while (at_s := self._wait(lambda event: isinstance(event, BlowHeard) and event.blow.usable)) < not_before_s:
            pieces += 1
        return at_s, pieces

    def listen_a_while(self, n_blocks: int = 50) -> None:
        until = self._source.calls + n_blocks
        while self._source.calls < until:
            time.sleep(0.01)


def resident_mb() -> float:
    """Memory of this process that is in use now."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * 4096 / 1e6
