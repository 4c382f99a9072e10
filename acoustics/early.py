"""A tone that was there from the very first sample: a machine, or a blow whose recording was trimmed too close.

The floor takes it for the room, so that a blow over a machine is heard. Should it stop within a blow's length, it is
worth a second look.
"""
from __future__ import annotations

import numpy as np

from acoustics.segment import END_BELOW
from acoustics.spectrum import Array

FIRST_HOPS = 5
STANDS_OUT = 40.0  # over the median beside it, a power ratio
GONE_HOPS = 12  # down on end; enough of the room is then heard to compare with


class EarlyTone:
    """Follows the strongest line of the first frames until it stops, or has gone on too long for a blow."""

    def __init__(self, low_bin: int, high_bin: int, beside_bins: int, longest_hops: int) -> None:
        self._bins = (low_bin, high_bin, beside_bins)
        self._longest_hops = longest_hops
        self._sum: Array | float = 0.0
        self._hops = 0
        self._band: slice | None = None
        self._reference = 0.0
        self._down_hops = 0

    @property
    def sounds(self) -> bool:
        """Whether there was such a tone, and it goes on."""
        return self._band is not None and self._hops < self._longest_hops

    @property
    def dismissed(self) -> bool:
        """Whether nothing is left to wait for."""
        return self._hops >= FIRST_HOPS and not self.sounds

    def follow(self, power: Array) -> bool:
        """Take one more frame; whether the tone has just stopped."""
        self._hops += 1
        if self._hops <= FIRST_HOPS:
            self._sum = self._sum + power
            if self._hops == FIRST_HOPS:
                self._seek(np.asarray(self._sum))
            return False
        if self._band is None:
            return False
        level = float(np.sum(power[self._band]))
        self._reference = max(self._reference, level)
        self._down_hops = self._down_hops + 1 if level < END_BELOW * self._reference else 0
        return self._down_hops >= GONE_HOPS

    def _seek(self, power: Array) -> None:
        low, high, beside = self._bins
        k = low + int(np.argmax(power[low:high]))
        if power[k] > STANDS_OUT * np.median(power[max(0, k - beside) : k + beside + 1]):
            self._band = slice(k - 1, k + 2)
