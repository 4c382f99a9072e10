"""Blows of the whole whistle put together: intervals to the lowest chamber, their scatter, and beats."""
from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from acoustics.chord import Heard, VoiceReading, beats_of
from acoustics.units import cents_between
from app.records import ChordTaken

CHORD_BLOWS, MOST_CHORD_BLOWS = 2, 3  # a third where the first two differ
# Scatter of an interval from blow to blow, one standard deviation, and how many blows that guess is worth. One breath
# moves all chambers together, so it is less than a single blow's. Judgement, no source.
INTERVAL_SD_CENTS, INTERVAL_SD_WEIGHT = 1.5, 4.0
STILL_CENTS = 3.0  # two notes planned this near a ratio of small numbers should not beat: an even fifth is 2 off
NAMED_BEAT_HZ, FASTEST_BEAT_HZ = 1.0, 20.0  # over the plan's own; a faster one is heard as roughness


@dataclass(frozen=True)
class InChord:
    """One chamber, all counted blows together. What is not known is None.

    interval_cents : off its interval to the lowest chamber; positive is sharp
    too_long_mm : by how much its plug is too long for that; negative is too short
    differs_cents : that interval minus the one of its single blows
    ticks_mm : `too_long_mm` by each blow
    """

    letter: str
    heard: Heard | None
    interval_cents: float | None = None
    sd_cents: float | None = None
    too_long_mm: float | None = None
    sd_mm: float | None = None
    differs_cents: float | None = None
    ticks_mm: tuple[float, ...] = ()


@dataclass(frozen=True)
class Beating:
    """Two chambers near the ratio n to m that beat faster than the plan would have them."""

    lower: str
    upper: str
    n: int
    m: int
    rate_hz: float
    planned_hz: float


def mostly(blows: Sequence[ChordTaken], letter: str) -> Heard | None:
    """What became of a chamber in most blows, in the last one where they are even."""
    said = [voice.heard for blow in reversed(blows) if (voice := blow.voice(letter)) is not None]
    return max(said, key=said.count, default=None)


def _hz(blow: ChordTaken, letter: str) -> float | None:
    voice = blow.voice(letter)
    return None if voice is None else voice.frequency_hz


def intervals_cents(
    blows: Sequence[ChordTaken], letter: str, home: str, targets_hz: Mapping[str, float]
) -> tuple[float, ...]:
    """Of each blow that holds both chambers: how far the interval is off, in cents."""
    pairs = [(_hz(blow, letter), _hz(blow, home)) for blow in blows]
    return tuple(
        cents_between(upper, targets_hz[letter]) - cents_between(lower, targets_hz[home])
        for upper, lower in pairs if upper is not None and lower is not None
    )


def scatter_cents_of(groups: Sequence[Sequence[float]]) -> float:
    """From blow to blow, pooled over the chambers and shrunk towards what is usual."""
    squares, weight = INTERVAL_SD_WEIGHT * INTERVAL_SD_CENTS**2, INTERVAL_SD_WEIGHT
    for cents in groups:
        middle = mean(cents) if cents else 0.0
        squares += sum((each - middle) ** 2 for each in cents)
        weight += max(0, len(cents) - 1)
    return math.sqrt(squares / weight)


def together(
    letter: str, heard: Heard | None, cents: Sequence[float], scatter_cents: float, single_cents: float | None,
    slope: float | None,
) -> InChord:
    if not cents:
        return InChord(letter, heard)
    interval_cents, sd_cents = mean(cents), scatter_cents / math.sqrt(len(cents))
    differs_cents = None if single_cents is None else interval_cents - single_cents
    if slope is None:
        return InChord(letter, heard, interval_cents, sd_cents, differs_cents=differs_cents)
    ticks_mm = tuple(each / slope for each in cents)
    return InChord(
        letter, heard, interval_cents, sd_cents, interval_cents / slope, sd_cents / slope, differs_cents, ticks_mm
    )


def n_wanted_of(
    blows: Sequence[ChordTaken], letters: Sequence[str], apart: Mapping[str, Sequence[float]], tolerance_cents: float
) -> int:
    if len(blows) < CHORD_BLOWS:
        return CHORD_BLOWS - len(blows)
    if len(blows) >= MOST_CHORD_BLOWS:
        return 0
    words = [[voice and voice.heard for voice in map(blow.voice, letters)] for blow in blows]
    differ = any(each != words[0] for each in words)
    return int(differ or any(max(cents) - min(cents) > tolerance_cents for cents in apart.values() if cents))


def pitch_cents_of(blows: Sequence[ChordTaken], home: str, targets_hz: Mapping[str, float]) -> float | None:
    heard_hz = [hz for blow in blows if (hz := _hz(blow, home)) is not None]
    return mean(cents_between(hz, targets_hz[home]) for hz in heard_hz) if heard_hz else None


def beats_of_last(
    blows: Sequence[ChordTaken], letters: Sequence[str], targets_hz: Mapping[str, float]
) -> tuple[Beating, ...]:
    """In the last blow, between chambers that the plan would let all but stand still."""
    if not blows:
        return ()
    planned = beats_of([VoiceReading(letter, targets_hz[letter], 0.0, 0.0, Heard.HEARD) for letter in letters])
    still = {(b.lower, b.upper, b.n, b.m): b.beat_hz for b in planned if abs(b.error_cents) <= STILL_CENTS}
    heard = beats_of([voice for letter in letters if (voice := blows[-1].voice(letter)) is not None])
    found = [
        Beating(b.lower, b.upper, b.n, b.m, b.beat_hz, planned_hz) for b in heard
        if (planned_hz := still.get((b.lower, b.upper, b.n, b.m))) is not None
        and planned_hz + NAMED_BEAT_HZ <= b.beat_hz <= FASTEST_BEAT_HZ
    ]
    return tuple(sorted(found, key=lambda beating: -beating.rate_hz))


def mean(values: Iterable[float]) -> float:
    told = list(values)
    return math.fsum(told) / len(told)
