"""What is believed about a whistle after its blows: a mean and a covariance, and what they say of any closure."""
from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from acoustics.air import Air
from acoustics.bore import length_for_hz, resonance_hz, slopes_cents_per_mm
from acoustics.breathier import Breathier
from acoustics.errors import NoSolutionError
from acoustics.evidence import ChamberPlan, Closure, Plan, Priors, Stop
from acoustics.units import cents_between, shift_hz
from acoustics.window import window_prior_mm

Vector = NDArray[np.float64]
SURPRISE_SD = 3.0  # a closure further than this from what all other blows foretell is looked into
Unknown = tuple[str, str]  # kind and whose: ("own", "B"), ("depth", closure id), ("air", "")

# Absurd evidence must not drive the forward model out of its range; an honest chamber never comes near these.
LOW_LENGTH_MM, HIGH_LENGTH_MM = 6.0, 900.0
LOW_WINDOW_MM, HIGH_WINDOW_MM = 0.1, 150.0


@dataclass(frozen=True)
class Tone:
    """What the forward model says of one closed chamber, in cents against its target, and how that changes."""

    deviation_cents: float
    per_depth_cents_per_mm: float  # positive: deeper is sharper
    per_window_log_cents: float  # per unit of the logarithm of the window's share; negative


@dataclass(frozen=True)
class Posterior:
    """Normal distribution of all unknowns, in their own units."""

    index: dict[Unknown, int]
    mean: Vector
    covariance: Vector

    def value(self, unknown: Unknown) -> float:
        """Mean of one unknown; its prior mean is 0 for every unknown that no blow touched."""
        at = self.index.get(unknown)
        return 0.0 if at is None else float(self.mean[at])

    def sd(self, slopes: dict[Unknown, float]) -> float:
        """Standard deviation of a weighted sum of unknowns."""
        weights = np.zeros(len(self.mean))
        for unknown, slope in slopes.items():
            if unknown in self.index:
                weights[self.index[unknown]] += slope
        return math.sqrt(max(float(weights @ self.covariance @ weights), 0.0))


@dataclass(frozen=True)
class Shift:
    """By how much some blows stand off what all others foretell."""

    cents: float  # sharp is positive
    cents_sd: float
    n_blows: int


@dataclass(frozen=True)
class ClosureReading:
    """The blows on one closure, as the fit left them."""

    letter: str
    closure_id: str
    stop: Stop
    depth_mm: float
    last_at_s: float
    heard_hz: float  # blows combined, outliers weighed down
    deviations_cents: tuple[float, ...]  # of each blow, in order of time
    seatings: tuple[Unknown, ...]  # in order of time
    n_believed: int  # blows that the model did not set aside
    n_covered: int  # blown with a finger over the plug
    surprise_cents: float  # the uncovered blows minus what all other blows foretell
    surprise_cents_sd: float  # standard deviation of that difference
    since: Shift | None = None  # its latest blows, to a quarter of an hour, against its earlier ones and all else
    together: Shift | None = None  # all blown with them, when two chambers or more moved the same way
    n_chambers: int = 1  # blown with them
    n_latest: int = 0  # of these blows on this closure
    breathier: Breathier | None = None  # than its chamber otherwise stopped; None when nobody knows

    @property
    def n_seatings(self) -> int:
        """How often the face was put there."""
        return len(set(self.seatings))

    @property
    def surprise_sd(self) -> float:
        """The surprise in standard deviations."""
        return self.surprise_cents / self.surprise_cents_sd


@dataclass(frozen=True)
class ChamberBelief:
    """What is known of one chamber."""

    letter: str
    window_mm: float  # the window's share of the length, posterior mean
    window_sd_mm: float
    target_depth_mm: float | None  # where the face belongs; None when the bore is too short
    target_depth_sd_mm: float
    n_blows: int
    n_sets: int


@dataclass(frozen=True)
class Prediction:
    """Where one closure puts its chamber's note, measured minus target."""

    deviation_cents: float
    sd_cents: float
    per_depth_cents_per_mm: float


@dataclass(frozen=True)
class Belief:
    """What is known of a whistle: the answer of `acoustics.model.fit`."""

    chambers: tuple[ChamberBelief, ...]
    blow_sd_cents: float  # pooled scatter of this maker, shrunk
    plan: Plan
    priors: Priors
    posterior: Posterior = field(repr=False, compare=False)
    readings: dict[str, ClosureReading] = field(repr=False)  # by closure id

    def predict(self, chamber: ChamberPlan, closure: Closure, as_it_sits: bool = False) -> Prediction:
        """Note of a chamber behind `closure`, blown in the routine way.

        Parameters
        ----------
        chamber : ChamberPlan
        closure : Closure
        as_it_sits : bool
            With the face where its last seating left it, as when a slid plug is marked there; else where it lies on
            average over seatings.
        """
        depth_known = ("depth", closure.id) in self.posterior.index
        tone = tone_of(chamber, closure, self.priors, self.plan.air(), self.posterior.value)
        slopes = slopes_of(chamber, closure, tone)
        if as_it_sits and closure.id in self.readings:
            slopes[self.readings[closure.id].seatings[-1]] = 1.0
        offsets = [unknown for unknown in slopes if unknown[0] in ("air", "fault", "seating")]
        deviation_cents = tone.deviation_cents + sum(self.posterior.value(unknown) for unknown in offsets)
        unknown_depth_cents = 0.0 if depth_known else tone.per_depth_cents_per_mm * closure.depth_sd_mm
        sd_cents = math.hypot(self.posterior.sd(slopes), unknown_depth_cents)
        return Prediction(deviation_cents, sd_cents, tone.per_depth_cents_per_mm)


def slopes_of(chamber: ChamberPlan, closure: Closure, tone: Tone) -> dict[Unknown, float]:
    """Cents by which the note of a closure moves per unit of each unknown."""
    return {
        ("window", ""): tone.per_window_log_cents,
        ("own", chamber.letter): tone.per_window_log_cents,
        ("air", ""): 1.0,
        ("depth", closure.id): tone.per_depth_cents_per_mm,
        ("fault", closure.id): 1.0,
    }


def window_mm_of(chamber: ChamberPlan, priors: Priors, common_log: float, own_log: float) -> float:
    """The window's share of the length under these unknowns, kept within what the forward model can take."""
    prior_mm = window_prior_mm(chamber.bore_mm, chamber.window_width_mm, chamber.window_height_mm)
    log_ratio = min(max(priors.window_log + common_log + own_log, -6.0), 6.0)
    return min(max(prior_mm * math.exp(log_ratio), LOW_WINDOW_MM), HIGH_WINDOW_MM)


def finger_mm_of(priors: Priors, finger_log: float) -> float:
    """Length of air that the finger's bulge takes away."""
    return math.exp(min(max(priors.finger_log + finger_log, -6.0), 3.0))


def tone_of(
    chamber: ChamberPlan, closure: Closure, priors: Priors, air: Air, value: Callable[[Unknown], float]
) -> Tone:
    """Forward model of one closure; `value` gives the mean of an unknown. Its offsets in cents are not added."""
    window_mm = window_mm_of(chamber, priors, value(("window", "")), value(("own", chamber.letter)))
    depth_mm = closure.depth_mm + value(("depth", closure.id))
    if closure.stop is Stop.FINGER:
        depth_mm += finger_mm_of(priors, value(("finger", "")))
    length_mm = min(max(chamber.bore_length_mm - depth_mm, LOW_LENGTH_MM), HIGH_LENGTH_MM)
    note_hz = resonance_hz(length_mm, window_mm, chamber.bore_mm, air, priors.wall_loss)
    per_length, per_window = slopes_cents_per_mm(note_hz, length_mm, window_mm, chamber.bore_mm, air, priors.wall_loss)
    deviation_cents = cents_between(note_hz, chamber.target_hz) + priors.air_cents
    return Tone(deviation_cents, -per_length, per_window * window_mm)


def chamber_belief(
    chamber: ChamberPlan, plan: Plan, priors: Priors, posterior: Posterior, n_blows: int, n_sets: int
) -> ChamberBelief:
    """The window's share and the depth where the face belongs, with the spread of each."""
    own = ("own", chamber.letter)
    window_mm = window_mm_of(chamber, priors, posterior.value(("window", "")), posterior.value(own))
    window_sd_mm = window_mm * posterior.sd({("window", ""): 1.0, own: 1.0})
    aim_hz = shift_hz(chamber.target_hz, -priors.air_cents - posterior.value(("air", "")))
    try:
        length_mm = length_for_hz(aim_hz, window_mm, chamber.bore_mm, plan.air(), priors.wall_loss)
    except NoSolutionError:
        return ChamberBelief(chamber.letter, window_mm, window_sd_mm, None, window_sd_mm, n_blows, n_sets)
    depth_mm = chamber.bore_length_mm - length_mm
    at_target = Closure("", Stop.PLUG, depth_mm, 0.0)
    tone = tone_of(chamber, at_target, priors, plan.air(), posterior.value)
    sd_mm = posterior.sd(slopes_of(chamber, at_target, tone)) / tone.per_depth_cents_per_mm
    reachable_mm = depth_mm if depth_mm > 0.0 else None
    return ChamberBelief(chamber.letter, window_mm, window_sd_mm, reachable_mm, sd_mm, n_blows, n_sets)
