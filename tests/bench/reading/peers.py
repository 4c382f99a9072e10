"""General libraries on the same recordings. They are told where the blow is; the reader is not."""
from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from tests.bench.reading.invented import Recording


def _steady(made: Recording) -> NDArray[np.float64]:
    first, last = (round(s * made.rate_hz) for s in (made.start_s + 0.15, made.end_s - 0.1))
    return made.samples[first : max(last, first + made.rate_hz // 5)].astype(np.float64)


def yin(made: Recording) -> float | None:
    """librosa.yin, frames of 2048, median over the steady part."""
    import librosa

    track = librosa.yin(_steady(made), fmin=190.0, fmax=2700.0, sr=made.rate_hz, frame_length=2048)
    return float(np.median(track))


def pyin(made: Recording) -> float | None:
    """librosa.pyin, 0.1 semitone, median of the voiced frames."""
    import librosa

    sound, limits = _steady(made), {"fmin": 190.0, "fmax": 2700.0}
    track, voiced, _ = librosa.pyin(sound, sr=made.rate_hz, frame_length=2048, resolution=0.1, **limits)
    return float(np.median(track[voiced])) if np.any(voiced) else None


def praat(made: Recording) -> float | None:
    """Praat's autocorrelation, floor 150 Hz, ceiling 2700 Hz, median of the voiced frames."""
    import parselmouth

    pitch = parselmouth.Sound(_steady(made), made.rate_hz).to_pitch_ac(pitch_floor=150.0, pitch_ceiling=2700.0)
    track = pitch.selected_array["frequency"]
    return float(np.median(track[track > 0])) if np.any(track > 0) else None


PEERS: dict[str, Callable[[Recording], float | None]] = {
    "praat autocorrelation, floor 150": praat, "librosa.yin 2048": yin, "librosa.pyin 0.1 semitone": pyin,
}
SLOW = ("librosa.pyin 0.1 semitone",)
