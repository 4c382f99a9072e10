"""What advice is made of: the actions, their reasons, and what the maker wants."""
from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Action(StrEnum):
    """What to do to one chamber next."""

    CUT = "cut"  # no plug yet: cut one so that its face lies at `stop_at_depth_mm`; sliding: push the tailed plug there
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
class Policy:
    """What the maker wants: how close, and how bold."""

    tolerance_cents: float = 5.0
    flat_risk: float = 0.12  # bound on the chance that a cut leaves the plug flat by more than the tolerance
    sliding: bool = False  # a tailed plug that can still be moved both ways
    held_back_cents: float = 0.0  # wood kept for the dry chord on all plugs but the lowest, whose note becomes home
    cut_sd_mm: float = 0.15  # how exactly a cut or a push lands


@dataclass(frozen=True)
class Advice:
    """The next thing to do to one chamber, in numbers; sentences are made in `app.wording`."""

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
