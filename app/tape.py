"""What one audio stream leaves behind, from the callback's thread to the reader's."""
from __future__ import annotations

import time
from dataclasses import dataclass
from queue import SimpleQueue
from typing import Any

from app.source import Block


@dataclass(frozen=True)
class BrokenOff:
    """Where an earlier tape ended: in the source's time, and on the monotonic clock."""

    end_s: float
    monotonic_s: float


class Tape:
    """A bounded queue of blocks. The callback's thread is the only writer of every count here.

    `blocks` is a SimpleQueue because its `put` never waits for the reader; the bound is kept by the one writer.
    """

    def __init__(self, sample_rate_hz: int, max_blocks: int, after: BrokenOff | None = None) -> None:
        self.blocks: SimpleQueue[Block | None] = SimpleQueue()  # None: the stream has finished
        self._rate_hz = sample_rate_hz
        self._max_blocks = max_blocks
        self._after = after
        self._origin_s = 0.0
        self._position_frames = 0  # since the origin, lost ones included
        self._lost_frames = 0  # not yet told with a block
        self._next_adc_s: float | None = None  # None until the first block

    def take(self, indata: Any, frames: int, at: Any, status: Any) -> None:
        """The callback: copy, count, leave."""
        adc_s = at.inputBufferAdcTime
        if self._next_adc_s is None:
            self._begin(frames)
        elif status and status.input_overflow:
            # The device says that sound was lost, not how much: the jump of its clock tells, one frame at least.
            self._skip(max(1, round((adc_s - self._next_adc_s) * self._rate_hz)))
        self._next_adc_s = adc_s + frames / self._rate_hz
        if self.blocks.qsize() >= self._max_blocks:
            self._skip(frames)
            return
        start_s = self._origin_s + self._position_frames / self._rate_hz
        self.blocks.put(Block(indata[:, 0].copy(), start_s, self._rate_hz, self._lost_frames))
        self._position_frames += frames
        self._lost_frames = 0

    def finished(self) -> None:
        """The stream's last call."""
        self.blocks.put(None)

    def _begin(self, frames: int) -> None:
        """Go on where the last tape broke off, the time without sound counted as lost."""
        if self._after is None:
            return
        away_s = max(0.0, time.monotonic() - self._after.monotonic_s - frames / self._rate_hz)
        self._origin_s = self._after.end_s + away_s
        self._lost_frames = round(away_s * self._rate_hz)

    def _skip(self, frames: int) -> None:
        self._position_frames += frames
        self._lost_frames += frames
