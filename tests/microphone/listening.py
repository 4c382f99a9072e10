"""Waiting for what a listener says, and measuring a tone without the program's own reader."""
from __future__ import annotations

import queue
from collections.abc import Callable

import numpy as np

from app.heard import SourceNoticed
from app.listener import Listener
from app.source import Hearing, SoundSource

PATIENCE_S = 30.0  # an upper bound for a machine that is busy; nothing is judged by it


class Ears:
    """A listener and the queue of what it says."""

    def __init__(self, source: SoundSource) -> None:
        self._events: queue.SimpleQueue = queue.SimpleQueue()
        self.listener = Listener(source, self._events.put)

    def __enter__(self) -> Ears:
        self.listener.start()
        return self

    def __exit__(self, *_: object) -> None:
        assert self.listener.stop(), "the listener did not end"

    def wait_for(self, wanted: Callable[[object], bool]) -> object:
        """The next event that is wanted; those before it are passed over."""
        while True:
            event = self._events.get(timeout=PATIENCE_S)
            if wanted(event):
                return event

    def wait_for_state(self, *states: Hearing) -> Hearing:
        event = self.wait_for(lambda event: isinstance(event, SourceNoticed) and event.notice.hearing in states)
        return event.notice.hearing


def tone_hz(sound: np.ndarray, sample_rate_hz: int) -> float:
    """Frequency of a steady tone: the strongest bin, then the turn of its phase between the two halves."""
    n = len(sound) // 2
    near_hz = np.abs(np.fft.rfft(sound[: 2 * n] * np.hanning(2 * n))).argmax() * sample_rate_hz / (2 * n)
    weight = np.hanning(n) * np.exp(-2j * np.pi * near_hz * np.arange(n) / sample_rate_hz)
    first, second = (np.sum(weight * part) for part in (sound[:n], sound[n : 2 * n]))
    turn = np.angle(second / first * np.exp(-2j * np.pi * near_hz * n / sample_rate_hz))
    return near_hz + turn * sample_rate_hz / (2.0 * np.pi * n)
