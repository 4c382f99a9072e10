"""Where a moment and a note lie in the picture of a recording, in pixels."""
from __future__ import annotations

import math
from dataclasses import dataclass

from acoustics.notes import note_hz

LOWEST_HZ, N_OCTAVES = note_hz("C3"), 5  # below the lowest note that is read, above the third line of a high one
BINS_PER_OCTAVE = 48  # four to an equal step
N_BINS = N_OCTAVES * BINS_PER_OCTAVE + 1
BIN_PX = 3
FRAME_S = 0.008
NARROWEST_PX, WIDEST_PX = 1000, 3000  # of the plot: a short recording is stretched, a long one is drawn together


@dataclass(frozen=True)
class Place:
    """The plot: its upper left corner, and its two scales. The middle of a frame is the moment it stands for."""

    left_px: int
    top_px: int
    n_columns: int
    frames_per_column: int

    @property
    def column_px(self) -> int:
        return max(1, -(-NARROWEST_PX // self.n_columns))

    @property
    def width_px(self) -> int:
        return self.n_columns * self.column_px

    @property
    def height_px(self) -> int:
        return N_BINS * BIN_PX

    @property
    def right_px(self) -> int:
        return self.left_px + self.width_px

    @property
    def bottom_px(self) -> int:
        return self.top_px + self.height_px

    def x_px(self, time_s: float) -> float:
        columns = (time_s / FRAME_S + 0.5) / self.frames_per_column
        return self.left_px + self.column_px * min(max(columns, 0.0), float(self.n_columns))

    def y_px(self, frequency_hz: float) -> float:
        bins = BINS_PER_OCTAVE * math.log2(frequency_hz / LOWEST_HZ) + 0.5
        return self.bottom_px - BIN_PX * bins

    def holds(self, frequency_hz: float) -> bool:
        return self.top_px <= self.y_px(frequency_hz) <= self.bottom_px
