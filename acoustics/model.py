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
    Vector,
    chamber_belief,
)
from acoustics.evidence import Observation, Plan, Priors
from acoustics.problem import Problem, foretold, pooled_blow_sd_cents, problem_of, seating_of
from acoustics.units import shift_hz

_STEPS = 12
_LONGEST_STEP_SD = 2.0  # of any unknown in one step, so that absurd blows cannot throw the solution about
_CONVERGED_SD = 1e-3
_SET_ASIDE_WEIGHT = 0.25  # a blow further than about 4 standard deviations off is reported as not believed


@dataclass(frozen=True)
class _Solution:
    mean_sd: Vector  # in prior standard deviations
    covariance: Vector  # of the unknowns in prior standard deviations
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
        foretold_cents, rows = foretold(problem, mean_sd * problem.prior_sd)
        rows = rows * problem.prior_sd
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
    return _Solution(mean_sd, np.linalg.inv(information), rows, residual_cents, weights, belief_in)


def _surprises(problem: Problem, solution: _Solution) -> dict[str, float]:
    """For every closure: its blows minus what all other blows foretell, in standard deviations of that difference.

    Notes
    -----
    Taking blows out again needs only how far each is drawn by all: with the hat matrix H = J C J' and the blows'
    variances V, the foretold differ from the heard by V (V - H)^-1 r.
    """
    closure_ids = np.array([blow.closure.id for blow in problem.blows])
    hat = solution.rows @ solution.covariance @ solution.rows.T
    linear_cents = solution.residual_cents + solution.rows @ solution.mean_sd
    surprises = {}
    for closure_id in set(closure_ids.tolist()):
        chosen = np.flatnonzero(closure_ids == closure_id)
        own_hat, variance = hat[np.ix_(chosen, chosen)], 1.0 / solution.weights[chosen]
        drawn = own_hat.mean(axis=0)
        freed = np.linalg.solve(np.diag(variance) - own_hat, np.stack((solution.residual_cents[chosen], drawn), axis=1))
        rest_cents = linear_cents[chosen] - variance * freed[:, 0]
        spread = float(own_hat.mean() + drawn @ freed[:, 1] + np.mean(problem.noise_cents[chosen] ** 2) / len(chosen))
        surprises[closure_id] = float(np.median(linear_cents[chosen]) - rest_cents.mean()) / math.sqrt(spread)
    return surprises


def _belief(
    problem: Problem, solution: _Solution, surprises: dict[str, float], blow_sd_cents: float
) -> Belief:
    plan, priors = problem.plan, problem.priors
    covariance = solution.covariance * np.outer(problem.prior_sd, problem.prior_sd)
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
