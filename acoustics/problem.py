"""The blows of a whistle as arrays: which unknowns there are, how wide each is at first, and which blow each touches.

Conventions
-----------
Readings are in cents against each chamber's own target. An unknown is named by its kind and whose it is.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from acoustics.belief import Unknown, Vector, tone_of
from acoustics.evidence import ChamberPlan, Closure, Observation, Plan, Priors, Stop
from acoustics.units import cents_between

_FAULT_SD_CENTS = 30.0
_SEATED = (Stop.SLUG, Stop.PLUG, Stop.CAP)
_EXACT_DEPTH_MM = 1e-6
_UNSTOPPED_BY_WOOD = Closure("", Stop.FLAT, 0.0, 0.0)


@dataclass(frozen=True)
class Problem:
    """The blows as arrays, and which unknowns touch each."""

    plan: Plan
    priors: Priors
    blows: tuple[Observation, ...]
    chamber_of: dict[str, ChamberPlan]
    index: dict[Unknown, int]
    prior_sd: Vector
    heard_cents: Vector
    noise_cents: Vector  # standard deviation of each blow about its seating
    fixed_rows: Vector  # slopes that do not depend on the unknowns: air, set, seating, level, faults


def pooled_blow_sd_cents(blows: Sequence[Observation], priors: Priors) -> float:
    """Scatter of this maker's blows about their seating, shrunk towards the prior.

    Notes
    -----
    ``(nu0 s0^2 + sum d^2) / (nu0 + sum (n - 1))``, d from the seating's median and clipped at 3 s0, so that one wrong
    note does not pass for a clumsy maker.
    """
    groups: dict[Unknown, list[float]] = {}
    for blow in blows:
        groups.setdefault(seating_of(blow), []).append(cents_between(blow.frequency_hz, 440.0))
    limit = 3.0 * priors.blow_sd_cents
    squares = priors.blow_sd_weight * priors.blow_sd_cents**2
    weight = priors.blow_sd_weight
    for cents in groups.values():
        squares += float(np.sum(np.clip(np.asarray(cents) - np.median(cents), -limit, limit) ** 2))
        weight += len(cents) - 1
    return math.sqrt(squares / weight)


def seating_of(blow: Observation) -> Unknown:
    """Which seating a blow belongs to: a plug stays put between sets, what is held by hand is put down anew."""
    held = "" if blow.closure.stop in _SEATED else blow.set_id
    return "seating", f"{blow.letter}/{blow.closure.id}/{blow.seating}/{held}"


def problem_of(
    plan: Plan, blows: tuple[Observation, ...], priors: Priors, blow_sd_cents: float, faults: tuple[str, ...]
) -> Problem:
    """Arrange the blows; closures named in `faults` get an offset of their own."""
    chamber_of = {chamber.letter: chamber for chamber in plan.chambers}
    sds = _prior_sds(plan, blows, priors, chamber_of, faults)
    index = {unknown: at for at, unknown in enumerate(sds)}
    heard_cents = np.array([cents_between(o.frequency_hz, chamber_of[o.letter].target_hz) for o in blows])
    errors_cents = np.array([_bounded(o.standard_error_cents, 0.0, 20.0, 20.0) for o in blows])
    prior_sd = np.array(list(sds.values()))
    rows = _fixed_rows(blows, index, faults)
    return Problem(plan, priors, blows, chamber_of, index, prior_sd, heard_cents,
                    np.hypot(blow_sd_cents, errors_cents), rows)


def _prior_sds(
    plan: Plan, blows: tuple[Observation, ...], priors: Priors, chamber_of: dict[str, ChamberPlan],
    faults: tuple[str, ...],
) -> dict[Unknown, float]:
    """Prior standard deviation of every unknown that some chamber or blow brings in."""
    sds: dict[Unknown, float] = {
        ("window", ""): priors.window_log_sd,
        ("finger", ""): priors.finger_log_sd,
        ("air", ""): priors.air_sd_cents,
        ("level", ""): priors.level_slope_sd_cents_per_db,
        ("breath", ""): priors.other_breath_sd_cents,
    }
    for chamber in plan.chambers:
        at_start = tone_of(chamber, _UNSTOPPED_BY_WOOD, priors, plan.air(), _at_prior)
        length_share = priors.bore_length_sd_mm * at_start.per_depth_cents_per_mm / at_start.per_window_log_cents
        sds["own", chamber.letter] = math.hypot(priors.window_own_sd, length_share)
    for blow in blows:
        tone = tone_of(chamber_of[blow.letter], blow.closure, priors, plan.air(), _at_prior)
        if blow.closure.stop is not Stop.FINGER:
            sds["depth", blow.closure.id] = max(_bounded(blow.closure.depth_sd_mm, 0.0, 50.0, 1.0), _EXACT_DEPTH_MM)
        seat_cents = priors.seat_sd_mm * tone.per_depth_cents_per_mm if blow.closure.stop in _SEATED else 0.0
        press_cents = priors.press_sd_cents if blow.closure.stop is Stop.FINGER else 0.0
        sds["set", blow.set_id] = priors.set_sd_cents
        sds[seating_of(blow)] = math.hypot(math.hypot(seat_cents, press_cents), priors.seating_sd_cents)
    return sds | {("fault", closure_id): _FAULT_SD_CENTS for closure_id in faults}


def _fixed_rows(blows: tuple[Observation, ...], index: dict[Unknown, int], faults: tuple[str, ...]) -> Vector:
    """Slopes that stay as they are while the solution moves, in cents per unit of each unknown."""
    rows = np.zeros((len(blows), len(index)))
    levels: dict[Unknown, list[float]] = {}
    for blow in blows:
        if blow.level_dbfs is not None:
            levels.setdefault(seating_of(blow), []).append(blow.level_dbfs)
    for row, blow in zip(rows, blows, strict=True):
        row[index["air", ""]] = 1.0
        row[index["set", blow.set_id]] = 1.0
        row[index[seating_of(blow)]] = 1.0
        row[index["breath", ""]] = 0.0 if blow.own_breath else 1.0
        if blow.closure.id in faults:
            row[index["fault", blow.closure.id]] = 1.0
        if blow.level_dbfs is not None:
            row[index["level", ""]] = blow.level_dbfs - float(np.mean(levels[seating_of(blow)]))
    return rows


def _at_prior(unknown: Unknown) -> float:
    return 0.0


def _bounded(value: float, low: float, high: float, otherwise: float) -> float:
    """`value` within its limits; `otherwise` when it is not a number."""
    return otherwise if math.isnan(value) else min(max(value, low), high)
