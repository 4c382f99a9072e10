"""What the listener says: frozen events, made on its thread and taken on any other. Times are the source's own."""
from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from acoustics.blow import Blow, Samples
from acoustics.chord import ChordReading
from app.events import Expecting
from app.source import Notice


class LevelWord(StrEnum):
    """How loud the blow came in; the words for the maker are made in `app.wording`."""

    TOO_QUIET = "too_quiet"
    RIGHT = "right"
    TOO_LOUD = "too_loud"


@dataclass(frozen=True)
class Breath:
    """One point of the breath line, about 25 a second."""

    at_s: float
    level_dbfs: float
    heard_hz: float | None


@dataclass(frozen=True)
class BlowStarted:
    at_s: float
    expecting: Expecting | None


@dataclass(frozen=True)
class BlowHeard:
    """A whole blow. It bears the `Expecting` that held when it began, whatever was asked for since."""

    blow: Blow  # its times are the source's
    samples: Samples
    sample_rate_hz: int
    expecting: Expecting | None
    at_s: float  # end of the blow
    lost_frames: int  # missing inside it
    chord: ChordReading | None = None  # every chamber, where all were asked for; its stretch counts from the samples'


@dataclass(frozen=True)
class TootsHeard:
    expecting: Expecting | None
    at_s: float


@dataclass(frozen=True)
class SourceNoticed:
    notice: Notice


@dataclass(frozen=True)
class Level:
    """Said at the end of each blow, and within one whenever the word changes."""

    word: LevelWord
    level_dbfs: float
    floor_dbfs: float | None


@dataclass(frozen=True)
class ListenerDied:
    """The listening thread is gone; nothing more will come."""

    text: str  # one plain sentence
    fault_is_ours: bool


ListenerEvent = Breath | BlowStarted | BlowHeard | TootsHeard | SourceNoticed | Level | ListenerDied

# A full-scale sine has its peak at 0 dBFS; one decibel below, the next stronger breath is cut flat by the converter.
TOO_LOUD_PEAK_DBFS = -1.0
# The note must stay readable when the breath sinks: 10 dB for the end of a breath, 5 dB above the room for its noise.
# Common practice, no source.
TOO_QUIET_ABOVE_FLOOR_DB = 15.0
# Below this 16 bits leave less than 38 dB, and a plain microphone's own noise is near. Common practice, no source.
TOO_QUIET_DBFS = -60.0


def level_word(level_dbfs: float, floor_dbfs: float | None, peak_dbfs: float, clipped: bool) -> LevelWord:
    """Whether to move nearer or further away. `peak_dbfs` is of the largest sample, the others are mean levels."""
    if clipped or peak_dbfs >= TOO_LOUD_PEAK_DBFS:
        return LevelWord.TOO_LOUD
    buried = floor_dbfs is not None and level_dbfs - floor_dbfs < TOO_QUIET_ABOVE_FLOOR_DB
    return LevelWord.TOO_QUIET if buried or level_dbfs < TOO_QUIET_DBFS else LevelWord.RIGHT
