"""The joint fit: every blow of a whistle explains all its chambers at once.

Conventions
-----------
Unknowns are kept as departures from their prior means, in units of their prior standard deviations: the prior is then
a unit normal and its precision the identity. Readings are in cents against each chamber's own target.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from acoustics.belief import (
    SURPRISE_SD,
    Belief,
    ClosureReading,
    Posterior,
    Unknown,
    Vector,
    chamber_belief,
    finger_mm_of,
    slopes_of,
    tone_of,
)
from acoustics.evidence import Observation, Plan, Priors, Stop
from acoustics.problem import Problem, pooled_blow_sd_cents, problem_of, seating_of
from acoustics.units import shift_hz

_STEPS = 12
_LONGEST_STEP_SD = 2.0  # of any unknown in one step, so that absurd blows cannot throw the solution about
_CONVERGED_SD = 1e-3
_SET_ASIDE_WEIGHT = 0.25  # a blow further than about 4 standard deviations off is reported as not believed


@dataclass(frozen=True)
class _Solution:
    mean_sd: Vector  # in prior standard deviations
    information: Vector
    rows: Vector  # slopes per prior standard deviation
    residual_cents: Vector
    weights: Vector  # 1 / variance, outliers weighed down
    belief_in: Vector  # 0 to 1.25: Student's factor in the weights


def fit(plan: Plan, observations: Sequence[Observation], priors: Priors) -> Belief:
    """Solve for everything unknown about a whistle.

    Parameters
    ----------
    plan : Plan
    observations : sequence of Observation
        Usable blows in any order; those of unknown chambers or without a finite, positive frequency are left out.
    priors : Priors

    Returns
    -------
    Belief
        Defined for any observations, none included.

    Raises
    ------
    OutOfRangeError
        If the plan itself lies outside the range of the forward model.

    Notes
    -----
    Maximum a posteriori by Gauss-Newton; Student-t blows by iterated weights; covariance from the last Jacobian. A
    closure whose blows stand more than `SURPRISE_SD` from what all others foretell is then given an unknown fault of
    its own (a leak, a wrong depth), so that it cannot mislead the other chambers, and the fit is made again.
    """
    letters = {chamber.letter for chamber in plan.chambers}
    blows = tuple(o for o in observations if o.letter in letters and 0.0 < o.frequency_hz < math.inf)
    blow_sd_cents = pooled_blow_sd_cents(blows, priors)
    problem = problem_of(plan, blows, priors, blow_sd_cents, faults=())
    solution = _solve(problem)
    surprises = _surprises(problem, solution)
    faults = tuple(sorted(key for key, size_sd in surprises.items() if abs(size_sd) > SURPRISE_SD))
    if faults:
        problem = problem_of(plan, blows, priors, blow_sd_cents, faults)
        solution = _solve(problem)
    return _belief(problem, solution, surprises, blow_sd_cents)


def _solve(problem: Problem) -> _Solution:
    """Gauss-Newton on the unknowns, with Student's weights renewed at every step."""
    n = len(problem.index)
    mean_sd = np.zeros(n)
    dof = problem.priors.blow_t_dof
    variance = problem.noise_cents**2
    start = True
    for _ in range(_STEPS):
        foretold_cents, rows = _forward(problem, mean_sd)
        residual_cents = problem.heard_cents - foretold_cents
        # Before the first step the model itself is as uncertain as its prior: only the absurd is weighed down then.
        doubt = variance + np.sum(rows**2, axis=1) if start else variance
        belief_in = np.ones(len(variance)) if math.isinf(dof) else (dof + 1.0) / (dof + residual_cents**2 / doubt)
        weights = belief_in / variance
        weighted = rows.T * weights
        information = np.eye(n) + weighted @ rows
        step = np.linalg.solve(information, weighted @ residual_cents - mean_sd)
        longest = float(np.max(np.abs(step)))
        if longest < _CONVERGED_SD:
            break
        mean_sd = mean_sd + step * min(1.0, _LONGEST_STEP_SD / longest)
        start = False
    return _Solution(mean_sd, information, rows, residual_cents, weights, belief_in)


def _forward(problem: Problem, mean_sd: Vector) -> tuple[Vector, Vector]:
    """What every blow should have read, and its slopes per prior standard deviation of each unknown."""
    mean = mean_sd * problem.prior_sd
    index = problem.index
    rows = problem.fixed_rows.copy()
    foretold_cents = problem.fixed_rows @ mean
    level = index["level", ""]
    foretold_cents += rows[:, level] * problem.priors.level_slope_cents_per_db
    tones: dict[tuple[str, object, float | None], tuple[float, dict[Unknown, float]]] = {}
    for at, blow in enumerate(problem.blows):
        key = (blow.letter, blow.closure, blow.temperature_c)
        if key not in tones:
            tones[key] = _tone_and_slopes(problem, blow, mean)
        deviation_cents, slopes = tones[key]
        foretold_cents[at] += deviation_cents
        for unknown, slope in slopes.items():
            rows[at, index[unknown]] = slope
    return foretold_cents, rows * problem.prior_sd


def _tone_and_slopes(problem: Problem, blow: Observation, mean: Vector) -> tuple[float, dict[Unknown, float]]:
    def value(unknown: Unknown) -> float:
        return float(mean[problem.index[unknown]]) if unknown in problem.index else 0.0

    chamber, priors = problem.chamber_of[blow.letter], problem.priors
    air = problem.plan.air(blow.temperature_c)
    tone = tone_of(chamber, blow.closure, priors, air, value)
    slopes = slopes_of(chamber, blow.closure, tone)
    if blow.closure.stop is Stop.FINGER:
        slopes["finger", ""] = tone.per_depth_cents_per_mm * finger_mm_of(priors, value(("finger", "")))
    moving = {unknown: slope for unknown, slope in slopes.items()
              if unknown in problem.index and unknown[0] not in ("air", "fault")}
    return tone.deviation_cents, moving


def _surprises(problem: Problem, solution: _Solution) -> dict[str, float]:
    """For every closure: its blows minus what all other blows foretell, in standard deviations of that difference."""
    surprises = {}
    information_mean = solution.information @ solution.mean_sd
    for closure_id in {blow.closure.id for blow in problem.blows}:
        chosen = np.array([blow.closure.id == closure_id for blow in problem.blows])
        rows, weights = solution.rows[chosen], solution.weights[chosen]
        linear_cents = solution.residual_cents[chosen] + rows @ solution.mean_sd
        rest_information = solution.information - (rows.T * weights) @ rows
        rest_mean = np.linalg.solve(rest_information, information_mean - (rows.T * weights) @ linear_cents)
        row = rows.mean(axis=0)
        variance = row @ np.linalg.solve(rest_information, row)
        variance += float(np.mean(problem.noise_cents[chosen] ** 2)) / len(rows)
        surprises[closure_id] = float((np.median(linear_cents) - row @ rest_mean) / math.sqrt(variance))
    return surprises


def _belief(
    problem: Problem, solution: _Solution, surprises: dict[str, float], blow_sd_cents: float
) -> Belief:
    plan, priors = problem.plan, problem.priors
    covariance = np.linalg.inv(solution.information) * np.outer(problem.prior_sd, problem.prior_sd)
    posterior = Posterior(problem.index, solution.mean_sd * problem.prior_sd, covariance)
    chambers = []
    for chamber in plan.chambers:
        own = [blow for blow in problem.blows if blow.letter == chamber.letter]
        n_sets = len({blow.set_id for blow in own})
        chambers.append(chamber_belief(chamber, plan, priors, posterior, len(own), n_sets))
    readings = {
        closure_id: _reading(problem, solution, closure_id, surprise_sd)
        for closure_id, surprise_sd in surprises.items()
    }
    return Belief(tuple(chambers), blow_sd_cents, plan, priors, posterior, readings)


def _reading(problem: Problem, solution: _Solution, closure_id: str, surprise_sd: float) -> ClosureReading:
    at = [i for i, blow in enumerate(problem.blows) if blow.closure.id == closure_id]
    at.sort(key=lambda i: (problem.blows[i].at_s, problem.heard_cents[i]))
    blows = [problem.blows[i] for i in at]
    weights = solution.weights[at]
    combined_cents = float(np.average(problem.heard_cents[at], weights=weights))
    chamber = problem.chamber_of[blows[0].letter]
    return ClosureReading(
        letter=chamber.letter,
        closure_id=closure_id,
        depth_mm=blows[-1].closure.depth_mm,
        last_at_s=blows[-1].at_s,
        heard_hz=shift_hz(chamber.target_hz, combined_cents),
        deviations_cents=tuple(float(problem.heard_cents[i]) for i in at),
        seatings=tuple(dict.fromkeys(seating_of(blow) for blow in blows)),
        n_believed=int(np.sum(solution.belief_in[at] > _SET_ASIDE_WEIGHT)),
        surprise_sd=surprise_sd,
    )
