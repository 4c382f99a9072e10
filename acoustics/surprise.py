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
from acoustics.problem import Problem

BELIEVED_WEIGHT = 0.25  # a blow further than about 4 standard deviations off is reported as not believed
_LEAST_SETS = 2
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
    """How the latest set on one closure stands to what was heard before it."""

    since: Shift | None = None  # its own latest blows; None when no earlier set was blown on this closure
    together: Shift | None = None  # of all chambers of that set, when two or more moved the same way
    n_chambers: int = 1  # blown in that set
    n_latest: int = 0  # blows of that set on this closure


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
    """By closure; left out are single wrong notes and blows with a finger over the plug."""
    sets: dict[str, dict[str, list[int]]] = {}  # by set and closure
    latest: dict[str, str] = {}
    order = sorted(range(len(problem.blows)), key=lambda at: (problem.blows[at].at_s, problem.blows[at].set_id))
    for at in order:
        blow = problem.blows[at]
        if not blow.covered:
            sets.setdefault(blow.set_id, {}).setdefault(blow.closure.id, []).append(at)
    sets = {set_id: _agreeing(solution, blown) for set_id, blown in sets.items()}
    for set_id, blown in sets.items():
        latest |= dict.fromkeys(blown, set_id)
    together = {set_id: _together(problem, solution, sets[set_id]) for set_id in dict.fromkeys(latest.values())}
    return {
        closure_id: Shifts(
            _since(problem, solution, sets, set_id, closure_id),
            together[set_id], len({problem.blows[chosen[0]].letter for chosen in sets[set_id].values()}),
            len(sets[set_id][closure_id]),
        )
        for closure_id, set_id in latest.items()
    }


def _agreeing(solution: Solution, blown: dict[str, list[int]]) -> dict[str, list[int]]:
    """The blows on each closure that lie near their median: a whole group may have moved, not one blow of it."""
    near: dict[str, list[int]] = {}
    for closure_id, chosen in blown.items():
        middle_cents = statistics.median(solution.residual_cents[chosen].tolist())
        kept = [at for at in chosen if abs(solution.residual_cents[at] - middle_cents) < _STRAY_CENTS]
        near |= {closure_id: kept} if kept else {}
    return near


def _since(
    problem: Problem, solution: Solution, sets: dict[str, dict[str, list[int]]], set_id: str, closure_id: str
) -> Shift | None:
    """The blows of one set on a face that was blown in another set too."""
    if sum(closure_id in blown for blown in sets.values()) < _LEAST_SETS:
        return None
    chosen = sets[set_id][closure_id]
    apart_cents, sd_cents = taken_out(problem, solution, chosen)
    return Shift(statistics.median(apart_cents.tolist()), sd_cents, len(chosen))


def _together(problem: Problem, solution: Solution, blown: dict[str, list[int]]) -> Shift | None:
    """The mean over the chambers of one set, when each of them moved that way by half as much or more."""
    chosen = [at for places in blown.values() for at in places]
    if len({problem.blows[at].letter for at in chosen}) < _LEAST_CHAMBERS:
        return None
    apart_cents, sd_cents = taken_out(problem, solution, chosen)
    by_chamber: dict[str, list[float]] = {}
    for at, apart in zip(chosen, apart_cents.tolist(), strict=True):
        by_chamber.setdefault(problem.blows[at].letter, []).append(apart)
    middles = [statistics.median(each) for each in by_chamber.values()]
    mean_cents = statistics.mean(middles)
    alike = all(each * mean_cents > 0.0 and abs(each) >= _ALIKE_SHARE * abs(mean_cents) for each in middles)
    return Shift(mean_cents, sd_cents, len(chosen)) if alike else None
