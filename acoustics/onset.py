"""The ear of the stream: one hop at a time, what stands above the noise learned so far.

Everything depends on whole hops alone, so the answer cannot depend on how the sound was cut into blocks.
"""
from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from acoustics.early import EarlyTone
from acoustics.segment import LOUDEST_LINE_HZ
from acoustics.spectrum import FRAME_HOPS, Array, frame_power, hop_length

TONE_OVER_FLOOR = 19.0  # standard deviations of that bin's floor, which for noise equal its mean: 13 dB,
LINE_OVER_FLOOR = 9.0  # and 10 dB for a line to be looked at at all;
LEAST_OVER_FLOOR = 2.0  # over a steady hum's own line, which hardly flickers, 5 dB are enough
STILL = 0.4  # of its mean: a bin that flickers less holds a line
SETTLED_HOPS = 30  # learned before that can be told
TONE_OVER_BESIDE = 20.0  # over the median of its neighbourhood, so that a clap is no tone
BESIDE_HZ = 350.0
LISTEN_FROM_HZ = 190.0
FLOOR_RATE = 0.02  # of a hop: half a second to learn a floor
BREATH_BAND_HZ = (500.0, 6000.0)
BREATH_OVER_FLOOR = 4.0


@dataclass(frozen=True)
class Hop:
    """What one hop held: its strongest line over the floor, and whether that is a tone or breath."""

    line_power: float  # its peak, per hertz; 0 when none rises out of the floor
    tonal: bool
    breathy: bool


class Ear:
    """Learns the floor, and tells what rises out of it."""

    def __init__(self, sample_rate_hz: int) -> None:
        self._rate_hz = sample_rate_hz
        self.bin_hz = sample_rate_hz / (FRAME_HOPS * hop_length(sample_rate_hz))
        self._low = int(LISTEN_FROM_HZ / self.bin_hz)
        n_bins = FRAME_HOPS * hop_length(sample_rate_hz) // 2 + 1
        self._high = min(n_bins - 1, int(LOUDEST_LINE_HZ / self.bin_hz))
        self._breath = slice(*(min(n_bins, int(edge_hz / self.bin_hz)) for edge_hz in BREATH_BAND_HZ))
        self._beside = int(BESIDE_HZ / self.bin_hz)
        self._floor: Array | None = None
        self._variance = np.zeros(n_bins)
        self._learned_hops = 0

    @property
    def floor(self) -> Array | None:
        """Power spectrum of the room, as learned so far."""
        return self._floor

    @property
    def learned_s(self) -> float:
        """How much quiet the floor was learned from."""
        return self._learned_hops * hop_length(self._rate_hz) / self._rate_hz

    @property
    def settled(self) -> bool:
        """Whether the floor is known well enough to tell what is strange to it."""
        return self._learned_hops >= SETTLED_HOPS

    def early_tone(self, longest_hops: int) -> EarlyTone:
        """Watch for what sounds from the very first frame."""
        return EarlyTone(self._low, self._high, self._beside, longest_hops)

    def power(self, frame: NDArray[np.floating]) -> Array:
        """Power spectrum of one frame."""
        return frame_power(frame, self._rate_hz)

    def hear(self, power: Array) -> Hop:
        """Judge one frame against the floor as it stands; nothing is learned."""
        if self._floor is None:
            return Hop(0.0, False, False)
        part = slice(self._low, self._high)
        band, floor = power[part], self._floor[part]
        flicker = self._flicker(part)
        over = np.where(band > floor + LINE_OVER_FLOOR * flicker, band, 0.0)
        k = int(np.argmax(over))
        breathy = float(np.sum(power[self._breath])) > BREATH_OVER_FLOOR * float(np.sum(self._floor[self._breath]))
        tonal = bool(over[k] > floor[k] + TONE_OVER_FLOOR * flicker[k]) and self._stands_out(power, self._low + k)
        return Hop(float(over[k]), tonal, breathy)

    def _flicker(self, part: slice) -> Array:
        """Standard deviation of the floor; of noise it is the mean, of a steady hum's line far less."""
        floor = self._floor if self._floor is not None else self._variance
        if not self.settled:
            return floor[part]
        flicker = np.sqrt(self._variance[part])
        least = LEAST_OVER_FLOOR / LINE_OVER_FLOOR * floor[part]
        return np.where(flicker < STILL * floor[part], np.maximum(flicker, least), floor[part])

    def _stands_out(self, power: Array, k: int) -> bool:
        beside = power[max(0, k - self._beside) : k + self._beside + 1]
        return bool(power[k] > TONE_OVER_BESIDE * np.median(beside))

    def learn(self, power: Array) -> None:
        """Take a quiet frame into the floor."""
        self._learned_hops += 1
        if self._floor is None:
            self.take_as_floor(power)
        else:
            rate = max(FLOOR_RATE, 1.0 / (1.0 + self._learned_hops))
            away = power - self._floor
            self._floor += rate * away
            self._variance += rate * (away * away - self._variance)

    def take_as_floor(self, power: Array) -> None:
        """What sounds now is the room from here on: a fan was switched on, or off."""
        self._floor, self._variance = power.copy(), power * power
