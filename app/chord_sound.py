"""A chord as its stopped chambers would sound it, for hearing before wood is cut: soft, and only when asked for."""
from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

CHORD_S: Final = 2.4  # of sound; a little silence goes before and after
SWELL_S: Final = 0.5  # from nothing, so that nobody is startled
FADE_S: Final = 0.3
LEVEL_DBFS: Final = -28.0  # root mean square of all notes together: under the bench's own signals


@dataclass(frozen=True)
class ChordSound:
    """All chambers in one breath; each note has the same share of the level."""

    notes_hz: tuple[float, ...]

    def samples(self, sample_rate_hz: int) -> NDArray[np.float32]:
        """Mono, full scale 1.0."""
        from acoustics.synthesis import preview_tone

        level_dbfs = LEVEL_DBFS - 10.0 * np.log10(len(self.notes_hz))
        notes = [preview_tone(note_hz, CHORD_S, sample_rate_hz, level_dbfs) for note_hz in self.notes_hz]
        n_frames = min(len(note) for note in notes)
        together = np.sum([note[:n_frames] for note in notes], axis=0)
        return np.asarray(together * _swell(n_frames, sample_rate_hz), np.float32)


def _swell(n_frames: int, sample_rate_hz: int) -> NDArray[np.float64]:
    """Up slowly, down gently, silent at both ends."""
    at_s = np.arange(n_frames) / sample_rate_hz
    left_s = (n_frames - 1) / sample_rate_hz - at_s
    rise, fall = np.clip(at_s / SWELL_S, 0.0, 1.0), np.clip(left_s / FADE_S, 0.0, 1.0)
    return np.asarray(np.sin(0.5 * np.pi * rise) ** 2 * np.sin(0.5 * np.pi * fall) ** 2)
