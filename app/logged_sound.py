"""A blow out of the journal's folder, to be heard again: as it was recorded, but softly and from nothing."""
from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from app.errors import WorldError
from app.journal.sounds import sound_path
from app.source import Block

LEVEL_DBFS: Final = -28.0  # root mean square, as of the chord that is let hear: under the bench's own signals
PEAK_DBFS: Final = -12.0  # a recording may have a click that is far louder than its blow
FADE_S: Final = 0.15
MOST_S: Final = 20.0  # nobody blows longer; a file that is longer was not made here


@dataclass(frozen=True, eq=False)
class LoggedSound:
    """Mono samples as they were kept."""

    recorded: NDArray[np.float64]
    recorded_rate_hz: int

    def samples(self, sample_rate_hz: int) -> NDArray[np.float32]:
        """At this rate, full scale 1.0, silent at both ends; the level is the same for every blow."""
        sound = _at_rate(self.recorded, self.recorded_rate_hz, sample_rate_hz)
        rms, peak = float(np.sqrt(np.mean(sound**2))), float(np.max(np.abs(sound)))
        if rms > 0.0:
            sound = sound * min(10.0 ** (LEVEL_DBFS / 20.0) / rms, 10.0 ** (PEAK_DBFS / 20.0) / peak)
        n_fade = min(round(FADE_S * sample_rate_hz), len(sound) // 2)
        fade = np.sin(np.linspace(0.0, np.pi / 2.0, n_fade)) ** 2
        shape = np.ones(len(sound))
        shape[:n_fade], shape[len(shape) - n_fade :] = fade, fade[::-1]
        return np.asarray(sound * shape, np.float32)


def logged_sound(folder: Path, name: str) -> LoggedSound:
    """The sound of that name beside the journal; WorldError when it is gone, or is no sound."""
    from app.recording import Recording

    path = sound_path(folder, name)
    if path is None:
        raise WorldError(f"The journal names “{name[:60]}”, which leads out of its folder: it was not opened.")
    if not path.is_file():
        raise WorldError(f"The sound of this blow is not at {path}: it was deleted, or lies on another laptop.")
    recording = Recording(path)
    parts: list[NDArray[np.float64]] = []
    try:
        while (found := recording.read(0.0)) is not None:
            if isinstance(found, Block):
                parts.append(np.asarray(found.samples, np.float64))
            if sum(map(len, parts)) > MOST_S * recording.sample_rate_hz:
                raise WorldError(f"{path} is longer than {MOST_S:.0f} s, so it is no sound of one blow.")
    finally:
        recording.close()
    if not sum(map(len, parts)):
        raise WorldError(f"{path} holds no sound.")
    return LoggedSound(np.concatenate(parts), recording.sample_rate_hz)


def _at_rate(sound: NDArray[np.float64], from_hz: int, to_hz: int) -> NDArray[np.float64]:
    """Band-limited, by way of the spectrum; the ends are faded afterwards, so that its going round is not heard."""
    if from_hz == to_hz:
        return sound
    n_frames = max(1, round(len(sound) * to_hz / from_hz))
    spectrum = np.fft.rfft(sound)
    wanted = np.zeros(n_frames // 2 + 1, complex)
    n_shared = min(len(spectrum), len(wanted))
    wanted[:n_shared] = spectrum[:n_shared]
    return np.asarray(np.fft.irfft(wanted, n_frames) * (n_frames / len(sound)))
