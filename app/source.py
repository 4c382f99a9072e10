"""Where sound comes from: microphone, recording and practice whistle stand behind one protocol."""
from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class Block:
    """A stretch of mono sound, full scale 1.0."""

    samples: NDArray[np.float32]
    start_s: float  # of the first sample, on the source's own clock (sound heard so far, gaps included)
    sample_rate_hz: int
    lost_frames: int = 0  # frames known to be missing just before this block


class Hearing(StrEnum):
    """State of the source. The words for each are made in `app.wording`."""

    OPENING = "opening"
    HEARING = "hearing"
    LOST = "lost"  # was hearing, the device went; it is being looked for
    NO_LIBRARY = "no_library"  # PortAudio is not installed
    NO_DEVICE = "no_device"
    REFUSED = "refused"  # permission
    BUSY = "busy"
    SILENT = "silent"  # opened, but no sound arrives
    ENDED = "ended"  # a recording is over


@dataclass(frozen=True)
class Notice:
    """The source's state changed."""

    hearing: Hearing
    detail: str = ""  # device name, or what the system said
    sample_rate_hz: int | None = None


class SoundSource(Protocol):
    """All calls are made from one thread: the listener's. A source opens what it needs at the first `read`."""

    name: str

    def read(self, timeout_s: float) -> Block | Notice | None:
        """The next block or change of state, in order; None when nothing came within `timeout_s`."""

    def close(self) -> None: ...
