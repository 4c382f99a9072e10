"""What can be heard of a blow: verdicts, findings, the reading itself, and what a stream of sound reports.

Plain frozen data, passed between threads. `acoustics.blow` makes them and gives out all these names.
"""
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
    noise_power : one-sided power spectrum learned from the sound before the blow, or None: full scale squared per
        hertz, at equal steps from 0 Hz to half the sample rate
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
    """A blow has begun; its end, or two toots, will be told too."""

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
    """A blow is over and read."""

    blow: Blow
    samples: Samples  # from a little before the onset to a little after the end, at the source's rate
    samples_start_s: float


@dataclass(frozen=True)
class TwoToots:
    """Two short toots: the maker says "done"."""

    at_s: float


Found = BlowBegan | Glimpse | BlowEnded | TwoToots
