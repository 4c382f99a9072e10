"""A recording as a picture: its spectrum over time, with every blow marked. The one file that uses librosa.

The spectrum is taken in pieces, so that an hour of sound needs no more memory than a minute.
"""
from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from acoustics.blow import Blow, Samples
from app.errors import WorldError
from app.picture_page import Sheet, draw_page
from app.picture_place import BINS_PER_OCTAVE, FRAME_S, LOWEST_HZ, N_BINS, WIDEST_PX
from app.recording import Recording
from app.source import Block

RATE_HZ = 16_000  # carries the highest note drawn; every recording is brought to it
HOP = 128  # FRAME_S at that rate
PIECE_S, MARGIN_S = 20, 1  # the margin is heard twice, so that no piece has an edge of its own
FILTER_SCALE = 0.5  # half of librosa's length: a blow begins more sharply, and neighbouring notes still part
SHORTEST_S = 0.2
SILENT_DBFS = -90.0  # the last step of 16 bits
FAINTEST_DBFS = -200.0  # in place of minus infinity

Levels = NDArray[np.float32]


@dataclass(frozen=True)
class Sound:
    """What is known of a recording once it was heard through."""

    sample_rate_hz: int
    n_samples: int

    @property
    def duration_s(self) -> float:
        return self.n_samples / self.sample_rate_hz


def picture_png(path: Path, blows: Sequence[Blow], progress: Callable[[float], None] | None = None) -> bytes:
    """The picture as a PNG file; WorldError when there is nothing to be drawn. `progress` is told the share done."""
    return draw_page(sheet_of(path, progress), blows)


def sheet_of(path: Path, progress: Callable[[float], None] | None = None) -> Sheet:
    """What is to be drawn of the recording itself."""
    sound = _heard_through(path)
    frames_per_column = max(1, -(-_n_frames(sound) // WIDEST_PX))
    levels = np.concatenate(list(_columns(path, sound, frames_per_column, progress)), axis=1)
    if progress is not None:
        progress(1.0)
    return Sheet(path.name, sound.sample_rate_hz, sound.duration_s, levels, frames_per_column)


def _n_frames(sound: Sound) -> int:
    return int(sound.duration_s / FRAME_S) + 1


def _blocks(path: Path) -> Iterator[Block]:
    with closing(Recording(path)) as recording:
        while (item := recording.read(0.0)) is not None:
            if isinstance(item, Block):
                yield item


def _heard_through(path: Path) -> Sound:
    """Length and loudness first: a file tells its own length only roughly, or not at all."""
    rate_hz, n_samples, peak = 0, 0, 0.0
    for block in _blocks(path):
        rate_hz = block.sample_rate_hz
        n_samples += len(block.samples)
        peak = max(peak, float(np.abs(block.samples).max(initial=0.0)))
    sound = Sound(rate_hz, n_samples)
    if sound.duration_s < SHORTEST_S:
        raise WorldError(
            f"{path.name} lasts {sound.duration_s:.3f} s and a picture needs {SHORTEST_S} s at least: was it cut?"
        )
    if peak < 10.0 ** (SILENT_DBFS / 20.0):
        raise WorldError(f"{path.name} is silent, no sample lies above {SILENT_DBFS:.0f} dBFS: was it muted?")
    return sound


def _columns(
    path: Path, sound: Sound, frames_per_column: int, progress: Callable[[float], None] | None
) -> Iterator[Levels]:
    """The loudest of so many frames for each column, lowest note first, piece by piece."""
    left = np.empty((N_BINS, 0), np.float32)
    n_to_come = _n_frames(sound)
    for piece in _pieces(path, sound.sample_rate_hz):
        frames = _levels_dbfs(piece, sound.sample_rate_hz)[:, :n_to_come]
        n_to_come -= frames.shape[1]
        frames = np.concatenate((left, frames), axis=1)
        n_whole = frames.shape[1] // frames_per_column if n_to_come else -(-frames.shape[1] // frames_per_column)
        starts = np.arange(n_whole) * frames_per_column
        taken = min(n_whole * frames_per_column, frames.shape[1])
        if n_whole:
            yield np.maximum.reduceat(frames[:, :taken], starts, axis=1)
        left = frames[:, taken:]
        if progress is not None:
            progress(1.0 - n_to_come / _n_frames(sound))


def _pieces(path: Path, rate_hz: int) -> Iterator[Samples]:
    """Pieces of equal length with a margin before and after, silence beyond the ends."""
    step, margin = PIECE_S * rate_hz, MARGIN_S * rate_hz
    whole = step + 2 * margin
    waiting, n_waiting = [np.zeros(margin, np.float32)], margin
    for block in _blocks(path):
        waiting.append(block.samples)
        n_waiting += len(block.samples)
        if n_waiting >= whole:
            joined = np.concatenate(waiting)
            yield joined[:whole]
            waiting, n_waiting = [joined[step:]], n_waiting - step
    joined = np.concatenate((*waiting, np.zeros(2 * whole, np.float32)))
    for start in range(0, n_waiting - margin + 1, step):
        yield joined[start:start + whole]


def _levels_dbfs(piece: Samples, rate_hz: int) -> Levels:
    """Level of each bin in each frame, margins left off; a steady line has the `level_dbfs` that a blow of it has."""
    import librosa

    sound = librosa.resample(piece, orig_sr=rate_hz, target_sr=RATE_HZ)
    shape = {"n_bins": N_BINS, "bins_per_octave": BINS_PER_OCTAVE, "fmin": LOWEST_HZ}
    lines = librosa.cqt(sound, sr=RATE_HZ, hop_length=HOP, filter_scale=FILTER_SCALE, tuning=0.0, scale=False, **shape)
    bins_hz = librosa.cqt_frequencies(n_bins=N_BINS, fmin=LOWEST_HZ, bins_per_octave=BINS_PER_OCTAVE)
    lengths, _ = librosa.filters.wavelet_lengths(freqs=bins_hz, sr=RATE_HZ, filter_scale=FILTER_SCALE)
    amplitude = 2.0 * np.abs(lines) / lengths[:, np.newaxis]  # a filter answers a sine with half its length
    levels = 20.0 * np.log10(np.maximum(amplitude / np.sqrt(2.0), 10.0 ** (FAINTEST_DBFS / 20.0)))
    margin = MARGIN_S * RATE_HZ // HOP
    kept: Levels = levels[:, margin:margin + PIECE_S * RATE_HZ // HOP].astype(np.float32)
    return kept
