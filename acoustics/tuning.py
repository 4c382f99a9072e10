"""What the blows say about the plugs.  (skeleton: types are agreed, bodies to be written)

`fit` is a pure function of plan, observations and priors; `advise` of the belief, the policy and the plugs as they
are now. Nothing is remembered between calls, so undo and any order of events come free.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum


class Stop(StrEnum):
    """What closes the far end."""

    FINGER = "finger"
    FLAT = "flat"  # a flat faced scrap held against the end
    SLUG = "slug"  # a reusable greased plug with a tail, pushed to a marked depth
    PLUG = "plug"
    CAP = "cap"


@dataclass(frozen=True)
class Closure:
    """The face that stops one bore, as it is set now. `id` is new whenever the face has moved or been trimmed."""

    id: str
    stop: Stop
    depth_mm: float  # inner face inside the plug end; 0 for finger, flat and cap
    depth_sd_mm: float  # 0.05 measured, 0.15 assumed, 0.10 a slug's mark


@dataclass(frozen=True)
class ChamberPlan:
    letter: str
    bore_mm: float
    bore_length_mm: float  # fipple's inner face to the plug end of the body
    window_width_mm: float
    window_height_mm: float  # cut-up, along the bore
    target_hz: float


@dataclass(frozen=True)
class Plan:
    chambers: tuple[ChamberPlan, ...]
    temperature_c: float = 20.0  # room
    relative_humidity: float = 0.5
    pressure_pa: float = 101_325.0


@dataclass(frozen=True)
class Observation:
    """One usable blow."""

    letter: str
    closure: Closure
    set_id: str  # blows of one set share one set effect
    seating: int  # goes up when the finger was lifted or the plug reseated within a set
    frequency_hz: float
    standard_error_cents: float
    level_dbfs: float | None = None
    temperature_c: float | None = None  # room, when it differs from the plan
    at_s: float = 0.0  # since the sitting began
    own_breath: bool = True  # False: another blower than the owner


@dataclass(frozen=True)
class Priors:
    """Mean and spread of everything unknown before the first blow; `docs/acoustics.md` gives each one's source."""


@dataclass(frozen=True)
class Policy:
    """What the maker wants: how close, and how bold."""

    tolerance_cents: float = 5.0
    flat_risk: float = 0.02  # bound on the chance that a cut leaves the plug flat by more than the tolerance
    sliding: bool = False  # a tailed plug that can still be moved both ways
    held_back_cents: float = 0.0  # wood kept for the dry chord


class Action(StrEnum):
    CUT = "cut"  # no plug yet: cut one so that its face lies at `stop_at_depth_mm`
    TRIM = "trim"
    PUSH_IN = "push_in"
    DRAW_OUT = "draw_out"  # sliding route only
    ADD_DISC = "add_disc"
    LEAVE = "leave"
    BLOW_AGAIN = "blow_again"
    SEAL_LEAK = "seal_leak"
    BORE_TOO_SHORT = "bore_too_short"


class Why(StrEnum):
    """The reason behind an action; sentences are made in `app.wording` only. Extend as needed."""

    NO_READING = "no_reading"
    FIRST_PLUG_LONG = "first_plug_long"
    HALF_ON_PURPOSE = "half_on_purpose"  # amount is less than the full amount, the rest waits for the next blow
    FULL_AMOUNT = "full_amount"
    ON_ITS_NOTE = "on_its_note"
    BELOW_BREATH = "below_breath"  # what is left could not be told from breath
    TOO_LOOSE = "too_loose"  # scatter too large to cut by
    RESEAT_FIRST = "reseat_first"  # the blows share one seating
    FLAT = "flat"
    SUSPECT = "suspect"  # the reading cannot be believed; see `story`
    TARGET_OUT_OF_REACH = "target_out_of_reach"


@dataclass(frozen=True)
class ChamberBelief:
    letter: str
    window_mm: float  # the window's share of the length, posterior mean
    window_sd_mm: float
    target_depth_mm: float | None  # where the face belongs; None when the bore is too short
    target_depth_sd_mm: float
    n_blows: int
    n_sets: int


@dataclass(frozen=True)
class Belief:
    chambers: tuple[ChamberBelief, ...]
    blow_sd_cents: float  # pooled scatter of this maker, shrunk


@dataclass(frozen=True)
class Advice:
    letter: str
    action: Action
    why: Why
    target_hz: float
    heard_hz: float | None  # the blows on the present closure, combined
    deviation_cents: float | None  # posterior of the present closure, measured minus target
    deviation_sd_cents: float | None
    full_amount_mm: float | None  # >= 0, to reach the target at once
    held_back_mm: float | None
    amount_mm: float | None  # >= 0, what to do now
    uncertainty_mm: float | None  # of full_amount_mm
    depth_mm: float | None  # the present face
    stop_at_depth_mm: float | None  # where the face shall lie afterwards
    target_depth_mm: float | None
    more_blows: int = 0  # asked for (BLOW_AGAIN), or that would let the cut be bolder
    ticks_depth_mm: tuple[float, ...] = ()  # for each blow on this closure: where it says the face belongs
    story: str | None = None  # likeliest story of a surprise


def fit(plan: Plan, observations: Sequence[Observation], priors: Priors) -> Belief:
    raise NotImplementedError


def advise(belief: Belief, policy: Policy, closures: Mapping[str, Closure]) -> tuple[Advice, ...]:
    """Advice for every chamber, in the plan's order. `closures` holds only plugs and slugs that are in a bore now."""
    raise NotImplementedError
