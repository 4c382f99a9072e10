"""The three signals as sound: falling says that a blow was read, rising that "done" was understood, falling and rising
again that something else is asked.

The notes lie an octave above a hand whistle's, so that no ear tunes to them, and below the pitches that years of noise
take from a maker's ears first. They follow one another without a gap and a fourth apart, unlike the two toots that say
"done": heard by mistake they are neither a reading nor a gesture.
"""
from __future__ import annotations

from itertools import pairwise
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

LOW_HZ, HIGH_HZ = 2250.0, 3000.0
SHAPES: dict[str, tuple[float, ...]] = {
    "taken": (HIGH_HZ, LOW_HZ),
    "done": (LOW_HZ, HIGH_HZ),
    "ask": (HIGH_HZ, LOW_HZ, HIGH_HZ),
}
NOTE_S = 0.11
TURN_S = 0.03  # from one note into the next
EDGE_S = 0.025  # soft start and end
LEVEL_DBFS = -20.0  # root mean square of the steady part


class Sampled(Protocol):
    """Mono, full scale 1.0: a chord that is laid out, a blow out of the journal."""

    def samples(self, sample_rate_hz: int) -> NDArray[np.float32]: ...


Sound = str | Sampled  # a signal by its name, or what is sampled


def samples_of(sound: Sound, sample_rate_hz: int) -> NDArray[np.float32]:
    """Whatever can be sounded, mono, full scale 1.0."""
    return tone(sound, sample_rate_hz) if isinstance(sound, str) else sound.samples(sample_rate_hz)


def tone(sound: str, sample_rate_hz: int) -> NDArray[np.float32]:
    """The signal of this name, mono, full scale 1.0."""
    frequencies_hz = _frequencies_hz(SHAPES[sound], sample_rate_hz)
    phase = 2.0 * np.pi * np.cumsum(frequencies_hz) / sample_rate_hz
    amplitude = np.sqrt(2.0) * 10.0 ** (LEVEL_DBFS / 20.0)
    return np.asarray(amplitude * _edges(len(phase), sample_rate_hz) * np.sin(phase), np.float32)


def _frequencies_hz(notes_hz: tuple[float, ...], sample_rate_hz: int) -> NDArray[np.float64]:
    """Note by note; one phase runs through all of them, so that nothing clicks."""
    note_frames, turn_frames = round((NOTE_S - TURN_S) * sample_rate_hz), round(TURN_S * sample_rate_hz)
    parts = [np.full(note_frames, notes_hz[0])]
    for before_hz, after_hz in pairwise(notes_hz):
        turn = 0.5 - 0.5 * np.cos(np.linspace(0.0, np.pi, turn_frames))
        parts += [before_hz + (after_hz - before_hz) * turn, np.full(note_frames, after_hz)]
    return np.concatenate(parts)


def _edges(n_frames: int, sample_rate_hz: int) -> NDArray[np.float64]:
    rise = np.sin(np.linspace(0.0, np.pi / 2.0, round(EDGE_S * sample_rate_hz))) ** 2
    loudness = np.ones(n_frames)
    loudness[: len(rise)], loudness[-len(rise) :] = rise, rise[::-1]
    return loudness
