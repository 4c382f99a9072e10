"""The default output, for signals of a fraction of a second and a chord of a few.

All calls are made by the thread that owns PortAudio.
"""
from __future__ import annotations

import logging
import threading
from typing import Any

import numpy as np
from numpy.typing import NDArray

from app.tones import Sound, samples_of

OUTPUT_LATENCY_S = 0.1  # shorter ones crackle while a window is painted
GLANCE_S = 0.05
DRAIN_S = 0.15  # silence beyond the latency: a stream that stops drops what it has not played (0.12 s measured)

log = logging.getLogger(__name__)


class _Prepared:
    """What the audio callback hands out: it copies from here and counts, nothing else."""

    def __init__(self, samples: NDArray[np.float32], stop: type[Exception]) -> None:
        self.over = threading.Event()
        self._samples, self._stop, self._at = samples, stop, 0
        self.n_frames = len(samples)  # silence after the samples included; set before the stream starts

    def give(self, outdata: Any, frames: int, _at: Any, _status: Any) -> None:
        part = self._samples[self._at : self._at + frames]
        outdata[: len(part), 0] = part
        outdata[len(part) :] = 0.0
        self._at += frames
        if self._at >= self.n_frames:
            raise self._stop


class Loudspeaker:
    """One signal at a time. Without an output, or with a busy one, there is none: said once in the log."""

    def __init__(self) -> None:
        self._stream: Any = None
        self._prepared: _Prepared | None = None
        self._told = False

    @property
    def over(self) -> bool:
        """A signal has ended, and its stream waits to be closed."""
        return self._prepared is not None and self._prepared.over.is_set()

    def play(self, sd: Any, sound: Sound) -> float:
        """Begin; the seconds until it has left the loudspeaker, 0 when it does not sound."""
        self.close()
        try:
            rate_hz = round(sd.query_devices(kind="output")["default_samplerate"])
            samples = samples_of(sound, rate_hz)
            self._prepared = _Prepared(samples, sd.CallbackStop)
            self._stream = sd.OutputStream(
                samplerate=rate_hz, channels=1, dtype="float32", latency=OUTPUT_LATENCY_S,
                callback=self._prepared.give, finished_callback=self._prepared.over.set,
            )
            self._prepared.n_frames += round((self._stream.latency + DRAIN_S) * rate_hz)
            self._stream.start()
        except (sd.PortAudioError, ValueError) as trouble:
            self.close()
            if not self._told:
                log.info("no tones: %s", trouble)
            self._told = True
            return 0.0
        return float(len(samples) / rate_hz + self._stream.latency)

    def wait(self, at_most_s: float, break_off: threading.Event) -> None:
        """Until the signal has ended, or is to be broken off."""
        left_s = at_most_s
        while self._prepared is not None and left_s > 0.0 and not break_off.is_set():
            if self._prepared.over.wait(GLANCE_S):
                return
            left_s -= GLANCE_S

    def close(self) -> None:
        """Let the output go, sounding or not."""
        stream, self._stream, self._prepared = self._stream, None, None
        if stream is not None:
            stream.close(ignore_errors=True)
