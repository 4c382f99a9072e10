"""A whistle's session as plain data: steps, readings and blows, and how blows of one step are put together. Pure."""
from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import IntEnum

from acoustics.units import cents_between, shift_hz

AFTER_GLUE, NEXT_DAY = 1000, 1001  # rounds, after any number of chords
LEAST_PAIRS = 2  # degrees of freedom that a scatter is taken from
# A reading that scatters by so many times the middle one, and by more than a breath does, holds a blow that was another
# thing (a finger that slipped): it stands for itself alone. Of even scatter 7 readings of 1000 would. Judgement.
WILD, LEAST_WILD_CENTS = 4.0, 10.0


class Phase(IntEnum):
    FIRST = 0  # finger, scrap, slug
    CUT = 1
    MOVE = 2
    CHORD = 3


@dataclass(frozen=True, order=True)
class Step:
    """A column of the session. `round` counts the chords blown before it; `voice` the changes of voice."""

    round: int
    is_chord: bool
    voice: int
    phase: Phase
    number: int


@dataclass(frozen=True)
class Logged:
    """One blow of a chamber, or of the whole whistle, as the journal has it."""

    id: str
    at_utc: str
    verdict: str
    counted: bool
    frequency_hz: float | None
    error_cents: float
    temperature_c: float | None
    sound_file: str | None
    interval_cents: float | None = None  # to the lowest chamber in the same breath
    blower: str = ""
    covered: bool = False  # with a finger over the plug: never counted, since a leak is shut


@dataclass(frozen=True)
class Reading:
    """One chamber at one step, all counted blows together; cents are off the note aimed at, positive is sharp.

    interval_cents : off the interval to the lowest chamber's latest plug, or to it in the same breath
    sd_cents : standard error by the scatter from blow to blow; what a finger always does alike is not in it
    """

    letter: str
    step: Step
    how: str  # of the plug or the stop: "finger", "cut", "trim"…
    blows: tuple[Logged, ...]
    target_hz: float
    depth_mm: float | None
    frequency_hz: float | None = None
    deviation_cents: float | None = None
    sd_cents: float | None = None
    interval_cents: float | None = None
    temperature_c: float | None = None

    @property
    def counted(self) -> tuple[Logged, ...]:
        return tuple(blow for blow in self.blows if blow.counted)


@dataclass(frozen=True)
class Story:
    """The readings of each chamber in order, the lowest chamber first."""

    letters: tuple[str, ...]
    readings: tuple[Reading, ...] = ()
    scatter_cents: float | None = None  # of one blow, standard deviation, all readings pooled
    lowered_cents: float = 0.0  # the notes counted from lie so far off the document's

    def of(self, letter: str) -> tuple[Reading, ...]:
        """Those that have a pitch."""
        return tuple(r for r in self.readings if r.letter == letter and r.deviation_cents is not None)

    @property
    def steps(self) -> tuple[Step, ...]:
        """The columns, in order."""
        return tuple(sorted({reading.step for reading in self.readings if reading.deviation_cents is not None}))


# ---- blows put together --------------------------------------------------------------------------------------------
def _cents(reading: Reading) -> list[float]:
    return [cents_between(blow.frequency_hz, reading.target_hz) for blow in reading.counted if blow.frequency_hz]


def pooled(reading: Reading) -> Reading:
    """Two people's blows are never put together: at each step those of whoever blew it first count."""
    first = next((blow.blower for blow in reading.blows if blow.counted), "")
    reading = replace(reading, blows=tuple(
        replace(blow, counted=blow.counted and blow.blower == first) for blow in reading.blows))
    cents = _cents(reading)
    airs = _known(blow.temperature_c for blow in reading.counted or reading.blows)
    intervals = _known(blow.interval_cents for blow in reading.counted)
    middle = _mean(cents)
    return replace(
        reading, deviation_cents=middle, temperature_c=_mean(airs), interval_cents=_mean(intervals),
        frequency_hz=None if middle is None else shift_hz(reading.target_hz, middle),
    )


def _own_scatter(reading: Reading) -> tuple[float, int]:
    """(sum of squares about its middle, degrees of freedom)."""
    cents = _cents(reading)
    return sum((each - sum(cents) / len(cents)) ** 2 for each in cents), max(0, len(cents) - 1)


def scatter_cents_of(readings: Iterable[Reading]) -> float | None:
    """Of one blow, one standard deviation; None where too little was blown twice."""
    own = sorted((each for each in map(_own_scatter, readings) if each[1]), key=lambda each: each[0] / each[1])
    if sum(pairs for _, pairs in own) < LEAST_PAIRS:
        return None
    middle, pairs = own[(len(own) - 1) // 2]
    calm = [each for each in own if not _is_wild(each, math.sqrt(middle / pairs))]
    return math.sqrt(sum(squares for squares, _ in calm) / sum(pairs for _, pairs in calm))


def _is_wild(own: tuple[float, int], usual_cents: float) -> bool:
    squares, pairs = own
    return pairs > 0 and math.sqrt(squares / pairs) > max(WILD * usual_cents, LEAST_WILD_CENTS)


def sd_cents_of(reading: Reading, scatter_cents: float | None) -> float | None:
    """By the scatter of all, or by its own where that is far wider."""
    n_counted = len(reading.counted)
    if scatter_cents is None or not n_counted:
        return None
    own = _own_scatter(reading)
    variance = own[0] / own[1] if _is_wild(own, scatter_cents) else scatter_cents**2
    errors = sum(blow.error_cents**2 for blow in reading.counted) / n_counted
    return math.sqrt((variance + errors) / n_counted)


def with_intervals(readings: Sequence[Reading], lowest: str) -> list[Reading]:
    """Where both stood on their plugs: against the lowest chamber as it was blown last before, or on the same day."""
    homes: dict[bool, list[Reading]] = defaultdict(list)
    for reading in readings:
        if reading.letter == lowest and reading.deviation_cents is not None and _on_plug(reading):
            homes[reading.step.round >= AFTER_GLUE].append(reading)
    return [_against(reading, homes[reading.step.round >= AFTER_GLUE], lowest) for reading in readings]


def _against(reading: Reading, homes: Sequence[Reading], lowest: str) -> Reading:
    if reading.letter == lowest or reading.deviation_cents is None or not _on_plug(reading):
        return reading
    late = reading.step.round >= AFTER_GLUE
    fit = [home for home in homes if home.step.round == reading.step.round] if late else [
        home for home in homes if home.counted[0].at_utc <= reading.counted[-1].at_utc
    ]
    home = max(fit, key=lambda each: each.counted[-1].at_utc, default=None)
    if home is None or home.deviation_cents is None:
        return reading
    return replace(reading, interval_cents=reading.deviation_cents - home.deviation_cents)


def _on_plug(reading: Reading) -> bool:
    return reading.step.phase in (Phase.CUT, Phase.MOVE)


def _known(values: Iterable[float | None]) -> list[float]:
    return [value for value in values if value is not None]


def _mean(values: Sequence[float]) -> float | None:
    return sum(values) / len(values) if values else None
