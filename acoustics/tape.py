"""The sound kept so far: appended at one end, forgotten at the other, addressed by its place in the stream."""
from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from acoustics.heard import Samples


class Tape:
    """A stretch of samples that knows where in the stream it begins. Appending costs the same however long it is."""

    def __init__(self) -> None:
        self._room: Samples = np.empty(1 << 16, dtype=np.float32)
        self._used = 0
        self.start = 0  # place in the stream of the first sample kept

    @property
    def end(self) -> int:
        """Place in the stream after the last sample kept."""
        return self.start + self._used

    def append(self, samples: NDArray[np.floating]) -> None:
        """Add what came next."""
        needed = self._used + len(samples)
        if needed > len(self._room):
            larger = np.empty(max(needed, 2 * len(self._room)), dtype=np.float32)
            larger[: self._used] = self._room[: self._used]
            self._room = larger
        self._room[self._used : needed] = samples
        self._used = needed

    def between(self, start: int, end: int) -> Samples:
        """A view, good until the next append."""
        return self._room[max(0, start - self.start) : max(0, end - self.start)]

    def forget_before(self, place: int) -> None:
        """Drop what lies before `place`, when enough has gathered to be worth moving the rest."""
        spare = place - self.start
        if spare <= 0 or spare < self._used // 2:
            return
        kept = self._used - spare
        self._room[:kept] = self._room[spare : self._used].copy()
        self.start, self._used = place, kept
