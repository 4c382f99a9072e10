"""General ways to find the lines of a chord. They are told where the steady part is; the reader is not."""
from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from tests.bench.chord.invented import Case

WITHIN = 2.0 ** (1.0 / 12.0)  # a semitone about each guess, as the reader has it


def _steady(case: Case) -> NDArray[np.float64]:
    first, last = (round(s * case.rate_hz) for s in case.steady_s)
    return case.samples[first:last].astype(np.float64)


def fft_peaks(case: Case, guesses_hz: Sequence[float]) -> list[float]:
    """One windowed transform of the whole steady part, the highest peak near each guess, a parabola through its log."""
    part = _steady(case)
    size = 4 << (len(part) - 1).bit_length()
    level = np.log(np.abs(np.fft.rfft(part * np.hanning(len(part)), size)) + 1e-12)
    found = []
    for guess_hz in guesses_hz:
        low, high = (round(f * size / case.rate_hz) for f in (guess_hz / WITHIN, guess_hz * WITHIN))
        k = low + int(np.argmax(level[low:high]))
        before, here, after = level[k - 1:k + 2]
        found.append((k + 0.5 * (before - after) / (before - 2.0 * here + after)) * case.rate_hz / size)
    return found


def piptrack(case: Case, guesses_hz: Sequence[float]) -> list[float]:
    """librosa.piptrack, frames of 8192: the strongest pitch near each guess, median over the frames."""
    import librosa

    pitches, sizes = librosa.piptrack(y=_steady(case), sr=case.rate_hz, n_fft=8192, hop_length=1024, threshold=0.001)
    found = []
    for guess_hz in guesses_hz:
        near = (pitches > guess_hz / WITHIN) & (pitches < guess_hz * WITHIN)
        best = np.argmax(np.where(near, sizes, 0.0), axis=0)
        track = pitches[best, np.arange(pitches.shape[1])]
        track = track[near[best, np.arange(pitches.shape[1])]]
        found.append(float(np.median(track)) if len(track) else float("nan"))
    return found


PEERS: dict[str, Callable[[Case, Sequence[float]], list[float]]] = {
    "FFT peak, parabola": fft_peaks, "librosa.piptrack 8192": piptrack,
}
