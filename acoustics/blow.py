"""From sound to one reading a blow.  (skeleton: types are agreed, bodies to be written)"""
from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float32]


class Verdict(StrEnum):
    """What was heard. Only `STEADY` (and, when flagged usable, `BREATHY`) may feed the tuning model."""

    STEADY = "steady"
    OVERBLOWN = "overblown"
    BREATHY = "breathy"
    UNSTEADY = "unsteady"
    TOO_SHORT = "too_short"
    CLIPPED = "clipped"
    SEVERAL = "several"
    OPEN_NEIGHBOUR = "open_neighbour"
    HUM = "hum"
    NOT_A_WHISTLE = "not_a_whistle"


class Finding(StrEnum):
    """How it spoke, beside the verdict; a blow may carry several."""

    SLOW_TO_SPEAK = "slow_to_speak"
    CHIRPS_FIRST = "chirps_first"
    HISSY = "hissy"
    WAVERS = "wavers"
    DRIFTS = "drifts"
    FAINT = "faint"
    NEAR_CLIPPING = "near_clipping"
    HUM_BEFORE = "hum_before"
    OUTSIDE_RANGE = "outside_range"  # reported, never forced into the range
    WEAK_FUNDAMENTAL = "weak_fundamental"


@dataclass(frozen=True)
class Context:
    """What is known before the blow: evidence, never a muzzle.

    range_hz : (low, high) where this chamber's fundamental is expected, or None
    noise_power : one-sided power spectrum learned from the sound before the blow, or None
    """

    sample_rate_hz: int
    range_hz: tuple[float, float] | None = None
    noise_power: NDArray[np.float64] | None = None


@dataclass(frozen=True)
class Blow:
    """One blow, read. Times in seconds from the start of the sound it was found in."""

    start_s: float
    end_s: float
    verdict: Verdict
    usable: bool
    frequency_hz: float | None  # the chamber's fundamental; None unless usable
    heard_hz: float | None  # what sounded, usable or not
    standard_error_cents: float | None  # of frequency_hz, from the fit over the steady part
    spread_cents: float | None  # standard deviation of the pitch within the steady part
    level_dbfs: float | None  # of the steady part
    breath_db: float | None  # broadband noise relative to the tone; more negative is cleaner
    attack_ms: float | None  # onset to steady speech
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True)
class BlowBegan:
    at_s: float


@dataclass(frozen=True)
class Glimpse:
    """The growing blow as read so far: shown, never stored."""

    at_s: float
    heard_hz: float | None
    standard_error_cents: float | None
    level_dbfs: float


@dataclass(frozen=True)
class BlowEnded:
    blow: Blow
    samples: Samples  # from a little before the onset to a little after the end, at the source's rate
    samples_start_s: float


@dataclass(frozen=True)
class TwoToots:
    """Two short toots: the maker says "done"."""

    at_s: float


Found = BlowBegan | Glimpse | BlowEnded | TwoToots


class BlowFinder:
    """Finds blows in a stream of any block size: the same blows for any block size, live or from a file.

    Pure: it has no clock and no device. `range_hz` may be changed between blows with `expect`; a blow is read with
    the range that held at its onset.
    """

    def __init__(self, sample_rate_hz: int, range_hz: tuple[float, float] | None = None) -> None: ...

    def expect(self, range_hz: tuple[float, float] | None) -> None: ...

    def feed(self, samples: Samples) -> list[Found]:
        """Take the next mono samples, full scale 1.0; return what they completed, in order of time."""
        raise NotImplementedError

    def finish(self) -> list[Found]:
        """The sound has ended: close a blow that is still open."""
        raise NotImplementedError

    @property
    def level_dbfs(self) -> float:
        """Level of the latest hop, for the level words on the screen."""
        raise NotImplementedError

    @property
    def floor_dbfs(self) -> float | None:
        """Level of the learned noise floor; None until about 0.5 s has been heard."""
        raise NotImplementedError


def read(samples: Samples, context: Context) -> Blow:
    """Read one whole blow (or a growing one). The same function serves live, file and practice."""
    raise NotImplementedError
