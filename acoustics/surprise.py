"""Blows taken out of the fit again: how far they stand off what all the others foretell.

Conventions
-----------
Cents, heard minus foretold, sharp is positive; every spread is one standard deviation.
"""
from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from acoustics.belief import Shift, Vector
from acoustics.evidence import Observation
from acoustics.problem import Problem

BELIEVED_WEIGHT = 0.25  # a blow further than about 4 standard deviations off is reported as not believed
LATELY_S = 900.0  # blown in one air: a room takes longer to change
_LEAST_CHAMBERS = 2  # one chamber alone may have changed by itself
_STRAY_CENTS = 25.0  # some 6 standard deviations of one blow: another note, not a loose one
_ALIKE_SHARE = 0.5  # of their mean: a room moves all chambers alike


@dataclass(frozen=True)
class Solution:
    """What the fit leaves, for the blows in their order."""

    mean_sd: Vector  # of the unknowns, in prior standard deviations
    covariance: Vector  # of the unknowns in prior standard deviations
    rows: Vector  # slopes per prior standard deviation
    residual_cents: Vector
    weights: Vector  # 1 / variance, outliers weighed down
    belief_in: Vector  # 0 to 1.25: Student's factor in the weights


@dataclass(frozen=True)
class Shifts:
    """How the latest blows on one closure stand to what was heard before them."""

    since: Shift | None = None  # these blows; None when none on this closure came before
    together: Shift | None = None  # all that was blown with them, when two or more chambers moved the same way
    n_chambers: int = 1  # blown with them
    n_latest: int = 0


def surprises_of(problem: Problem, solution: Solution) -> dict[str, tuple[float, float]]:
    """For every closure: its blows minus what all other blows foretell, and the spread of that difference.

    Blows with a finger over the plug are among the others: they tell how it would sound without a leak.
    """
    places: dict[str, list[int]] = {}
    for at, blow in enumerate(problem.blows):
        if not blow.covered:
            places.setdefault(blow.closure.id, []).append(at)
    linear_cents = solution.residual_cents + solution.rows @ solution.mean_sd
    surprises = {}
    for closure_id, chosen in places.items():
        apart_cents, sd_cents = taken_out(problem, solution, chosen)
        heard_cents = linear_cents[chosen]
        rest_cents = float((heard_cents - apart_cents).mean())
        surprises[closure_id] = statistics.median(heard_cents.tolist()) - rest_cents, sd_cents
    return surprises


def taken_out(problem: Problem, solution: Solution, chosen: Sequence[int]) -> tuple[Vector, float]:
    """Each of these blows minus what all others foretell, in cents, and the standard deviation of the mean of it.

    Notes
    -----
    Taking blows out again needs only how far each is drawn by all: with the hat matrix H = J C J' and the blows'
    variances V, the foretold differ from the heard by V (V - H)^-1 r.
    """
    rows, variance = solution.rows[chosen], 1.0 / solution.weights[chosen]
    own_hat = rows @ solution.covariance @ rows.T
    n, drawn = len(chosen), own_hat.sum(axis=0) / len(chosen)
    freed = np.linalg.solve(np.diag(variance) - own_hat, np.stack((solution.residual_cents[chosen], drawn), axis=1))
    noise_variance = problem.noise_cents[chosen] ** 2
    spread = float(drawn.sum() + drawn @ freed[:, 1] * n + noise_variance.sum() / n) / n
    return variance * freed[:, 0], math.sqrt(spread)


def shifts_of(problem: Problem, solution: Solution) -> dict[str, Shifts]:
    """By closure, for the one that was blown last in each chamber; blows with a finger over the plug are left out."""
    uncovered = [at for at, blow in enumerate(problem.blows) if not blow.covered]
    last: dict[str, Observation] = {}  # by letter
    for at in uncovered:
        blow = problem.blows[at]
        if blow.letter not in last or _when(blow) > _when(last[blow.letter]):
            last[blow.letter] = blow
    return {blow.closure.id: _shifts(problem, solution, uncovered, blow) for blow in last.values()}


def _when(blow: Observation) -> tuple[float, str]:
    return blow.at_s, blow.closure.id


def _shifts(problem: Problem, solution: Solution, uncovered: list[int], last: Observation) -> Shifts:
    begins_s = last.at_s - LATELY_S
    before = [problem.blows[at] for at in uncovered if problem.blows[at].at_s <= begins_s]
    if not before:
        return Shifts()
    with_it = [at for at in uncovered if begins_s < problem.blows[at].at_s < last.at_s + LATELY_S]
    blown = _agreeing(problem, solution, with_it)
    own = blown.get(last.closure.id, [])
    was_blown = any(blow.closure.id == last.closure.id for blow in before)
    since = _since(problem, solution, own) if own and was_blown else None
    return Shifts(since, _together(problem, solution, blown), _n_chambers(problem, blown), len(own))


def _n_chambers(problem: Problem, blown: dict[str, list[int]]) -> int:
    return len({problem.blows[chosen[0]].letter for chosen in blown.values()})


def _agreeing(problem: Problem, solution: Solution, lately: list[int]) -> dict[str, list[int]]:
    """By closure, the blows near their median: all of them may have moved, but not one of them alone."""
    blown: dict[str, list[int]] = {}
    for at in lately:
        blown.setdefault(problem.blows[at].closure.id, []).append(at)
    near: dict[str, list[int]] = {}
    for closure_id, chosen in blown.items():
        middle_cents = statistics.median(solution.residual_cents[chosen].tolist())
        kept = [at for at in chosen if abs(solution.residual_cents[at] - middle_cents) < _STRAY_CENTS]
        near |= {closure_id: kept} if kept else {}
    return near


def _since(problem: Problem, solution: Solution, chosen: list[int]) -> Shift:
    apart_cents, sd_cents = taken_out(problem, solution, chosen)
    return Shift(statistics.median(apart_cents.tolist()), sd_cents, len(chosen))


def _together(problem: Problem, solution: Solution, blown: dict[str, list[int]]) -> Shift | None:
    """The mean over the chambers, when each of them moved that way by half as much or more."""
    if _n_chambers(problem, blown) < _LEAST_CHAMBERS:
        return None
    chosen = [at for places in blown.values() for at in places]
    apart_cents, sd_cents = taken_out(problem, solution, chosen)
    by_chamber: dict[str, list[float]] = {}
    for at, apart in zip(chosen, apart_cents.tolist(), strict=True):
        by_chamber.setdefault(problem.blows[at].letter, []).append(apart)
    middles = [statistics.median(each) for each in by_chamber.values()]
    mean_cents = statistics.mean(middles)
    alike = all(each * mean_cents > 0.0 and abs(each) >= _ALIKE_SHARE * abs(mean_cents) for each in middles)
    return Shift(mean_cents, sd_cents, len(chosen)) if alike else None
