"""The joint fit: every blow of a whistle explains all its chambers at once.

Conventions
-----------
Unknowns are kept as departures from their prior means, in units of their prior standard deviations: the prior is then
a unit normal and its precision the identity. Readings are in cents against each chamber's own target.
"""
from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from acoustics.belief import (
    SURPRISE_SD,
    Belief,
    ClosureReading,
    Posterior,
    Vector,
    chamber_belief,
)
from acoustics.breathier import breathier_of
from acoustics.evidence import Observation, Plan, Priors
from acoustics.problem import Problem, foretold, pooled_blow_sd_cents, problem_of, seating_of
from acoustics.surprise import BELIEVED_WEIGHT, Shifts, Solution, shifts_of, surprises_of
from acoustics.units import shift_hz

_STEPS = 12
_LONGEST_STEP_SD = 2.0  # of any unknown in one step, so that absurd blows cannot throw the solution about
_CONVERGED_SD = 0.01  # the error left is the square of this, or a tenth of it while the weights still move


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
    surprises = surprises_of(problem, solution)
    shifts = shifts_of(problem, solution)
    faults = tuple(sorted(key for key, (off, sd) in surprises.items() if abs(off) > SURPRISE_SD * sd))
    if faults:
        problem = problem_of(plan, blows, priors, blow_sd_cents, faults)
        solution = _solve(problem)
    return _belief(problem, solution, surprises, shifts, blow_sd_cents)


def _solve(problem: Problem) -> Solution:
    """Gauss-Newton on the unknowns, with Student's weights renewed at every step."""
    n_main = problem.fixed_rows.shape[1]
    main_sd, seat_sd = problem.prior_sd[:n_main], problem.prior_sd[n_main:]
    mean_sd = np.zeros(len(problem.index))
    dof = problem.priors.blow_t_dof
    variance = problem.noise_cents**2
    seats = problem.seated * seat_sd[:, None]
    start = True
    for _ in range(_STEPS):
        foretold_cents, rows = foretold(problem, mean_sd * problem.prior_sd)
        rows = rows * main_sd
        residual_cents = problem.heard_cents - foretold_cents
        # Before the first step the model itself is as uncertain as its prior: only the absurd is weighed down then.
        doubt = variance + (rows**2).sum(axis=1) + (seats**2).sum(axis=0) if start else variance
        belief_in = np.ones(len(variance)) if math.isinf(dof) else (dof + 1.0) / (dof + residual_cents**2 / doubt)
        weights = belief_in / variance
        reduced = _Reduced(rows, seats, weights)
        step = reduced.step(weights * residual_cents, mean_sd)
        longest = float(np.abs(step).max())
        mean_sd = mean_sd + step * min(1.0, _LONGEST_STEP_SD / max(longest, _CONVERGED_SD))
        start = False
        if longest < _CONVERGED_SD:
            break
    every_row = np.concatenate((rows, seats.T), axis=1)
    # The last step is short enough to be taken along the slopes that were found before it.
    last_cents = every_row @ step if longest < _CONVERGED_SD else np.zeros(len(variance))
    return Solution(mean_sd, reduced.covariance(), every_row, residual_cents - last_cents, weights, belief_in)


class _Reduced:
    """The information matrix with the seatings eliminated: between themselves they form a diagonal."""

    def __init__(self, rows: Vector, seats: Vector, weights: Vector) -> None:
        self._rows, self._seats = rows, seats
        weighted = rows.T * weights
        self._own = 1.0 + (seats**2) @ weights
        self._shared = weighted @ seats.T
        self._per_seat = self._shared / self._own
        self._main = np.eye(rows.shape[1]) + weighted @ rows - self._per_seat @ self._shared.T

    def step(self, pull: Vector, mean_sd: Vector) -> Vector:
        """Solution for the gradient of these pulls, less the prior's own."""
        n_main = self._rows.shape[1]
        on_main, on_seats = pull @ self._rows - mean_sd[:n_main], self._seats @ pull - mean_sd[n_main:]
        main = np.linalg.solve(self._main, on_main - self._per_seat @ on_seats)
        return np.concatenate((main, (on_seats - main @ self._shared) / self._own))

    def covariance(self) -> Vector:
        main = np.linalg.inv(self._main)
        crossed = -main @ self._per_seat
        seats = np.diag(1.0 / self._own) - self._per_seat.T @ crossed
        return np.block([[main, crossed], [crossed.T, seats]])


def _belief(
    problem: Problem, solution: Solution, surprises: dict[str, tuple[float, float]], shifts: dict[str, Shifts],
    blow_sd_cents: float,
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
        closure_id: _reading(problem, solution, closure_id, surprise, shifts.get(closure_id, Shifts()))
        for closure_id, surprise in surprises.items()
    }
    return Belief(tuple(chambers), blow_sd_cents, plan, priors, posterior, readings)


def _reading(
    problem: Problem, solution: Solution, closure_id: str, surprise: tuple[float, float], shifts: Shifts
) -> ClosureReading:
    at = [i for i, blow in enumerate(problem.blows) if blow.closure.id == closure_id]
    at.sort(key=lambda i: (problem.blows[i].at_s, problem.heard_cents[i]))
    blows = [problem.blows[i] for i in at]
    weights = solution.weights[at]
    combined_cents = float(weights @ problem.heard_cents[at] / weights.sum())
    chamber = problem.chamber_of[blows[0].letter]
    return ClosureReading(
        letter=chamber.letter,
        closure_id=closure_id,
        stop=blows[-1].closure.stop,
        depth_mm=blows[-1].closure.depth_mm,
        last_at_s=blows[-1].at_s,
        heard_hz=shift_hz(chamber.target_hz, combined_cents),
        deviations_cents=tuple(float(problem.heard_cents[i]) for i in at),
        seatings=tuple(dict.fromkeys(seating_of(blow) for blow in blows)),
        n_believed=int(np.sum(solution.belief_in[at] > BELIEVED_WEIGHT)),
        n_covered=sum(blow.covered for blow in blows),
        surprise_cents=surprise[0],
        surprise_cents_sd=surprise[1],
        since=shifts.since,
        together=shifts.together,
        n_chambers=shifts.n_chambers,
        n_latest=shifts.n_latest,
        breathier=breathier_of(problem.blows, chamber.letter, closure_id),
    )
