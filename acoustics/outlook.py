"""What a chamber's state is worth, looking ahead over all cuts and blows that may still follow.

Conventions
-----------
A state is a normal belief about where the note lies: mean deviation and standard deviation, both in cents, deviation
measured minus aim, positive sharp. Losses are counted in cuts: one cut costs 1. A trim may only flatten, a push may
only sharpen; a sliding plug goes both ways. All functions are pure.

Notes
-----
Blowing again turns the belief (d, s) into (d', s') with d' spread about d by sqrt(s^2 - s'^2); a cut to t gives
(t, s) with the landing added. The least loss over all such plans is found by value iteration on a grid.
"""
from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Vector = NDArray[np.float64]

_MEAN_CENTS: Vector = np.arange(-20.0, 40.5, 1.0)
_SD_CENTS: Vector = np.geomspace(0.7, 24.0, 12)
_SWEEPS = 14
_ROOT_2 = math.sqrt(2.0)
_ERF = np.vectorize(math.erf, otypes=[float])


@dataclass(frozen=True)
class Stakes:
    """What things cost, in cuts, and how exactly they are done, in cents."""

    tolerance_cents: float
    flat_risk: float
    landing_cents: float  # standard deviation of where a cut or push ends
    depth_error_cents: float  # of the new face once it is measured or assumed
    round_sd_cents: float  # of what one more round of blows says
    sliding: bool
    cut_cost: float = 1.0
    push_cost: float = 1.2  # of a flush plug, with what must fill the gap
    slide_cost: float = 0.3
    blow_cost: float = 0.08  # a round is one blow
    miss_cost: float = 30.0  # ending outside the tolerance
    ruin_cost: float = 12.0  # ending flat by more than `ruin_cents`, on top
    ruin_cents: float = 8.0
    unevenness_cost: float = 0.2  # of a squared deviation as large as the tolerance: nearer is better


@dataclass(frozen=True)
class Outlook:
    """Least expected loss of every state on the grid, by what is done first; rows are spreads, columns means."""

    stakes: Stakes
    best: Vector
    after_move: Vector  # of aiming at each mean, by the spread before the cut or push
    after_blows: Vector

    def leave_loss(self, mean_cents: float, sd_cents: float) -> float:
        """Expected loss of leaving the chamber as it is."""
        return float(_leave(self.stakes, np.array([mean_cents]), np.array([sd_cents]))[0, 0])

    def blow_loss(self, mean_cents: float, sd_cents: float) -> float:
        """Expected loss when one more round of blows comes first."""
        return float(np.interp(mean_cents, _MEAN_CENTS, _row(self.after_blows, sd_cents)))

    def best_aim(self, sd_cents: float, low_cents: float, high_cents: float) -> tuple[float, float]:
        """Where to aim a cut or push between two means, and the expected loss without its own cost."""
        inner = (low_cents < _MEAN_CENTS) & (high_cents > _MEAN_CENTS)
        aims_cents = np.concatenate(([low_cents], _MEAN_CENTS[inner], [high_cents]))
        losses = np.interp(aims_cents, _MEAN_CENTS, _row(self.after_move, sd_cents))
        at = int(np.argmin(losses))
        return float(aims_cents[at]), float(losses[at])

    def lowest_aim_cents(self, sd_cents: float) -> float:
        """The flattest aim that the bound on flat endings allows."""
        return _lowest_aim(self.stakes, sd_cents)


@lru_cache(maxsize=512)
def outlook(stakes: Stakes) -> Outlook:
    """Solve for all states under these stakes."""
    leave = _leave(stakes, _MEAN_CENTS, _SD_CENTS)
    after_round_sd = 1.0 / np.sqrt(1.0 / _SD_CENTS**2 + 1.0 / stakes.round_sd_cents**2)
    blown = _Transition(np.sqrt(_SD_CENTS**2 - after_round_sd**2), after_round_sd)
    seen_landing_cents = math.sqrt(max(stakes.landing_cents**2 - stakes.depth_error_cents**2, 0.0))
    moved = _Transition(np.full(len(_SD_CENTS), seen_landing_cents), np.hypot(_SD_CENTS, stakes.depth_error_cents))
    best = leave
    for _ in range(_SWEEPS):
        after_blows = stakes.blow_cost + blown.expect(best)
        after_move = moved.expect(best)
        best = np.minimum(np.minimum(leave, after_blows), _least_move(stakes, after_move))
    return Outlook(stakes, best, after_move, after_blows)


class _Transition:
    """Expected value after the mean has been spread and the standard deviation has changed."""

    def __init__(self, spread_cents: Vector, new_sd_cents: Vector) -> None:
        self._low, self._share = _between(new_sd_cents)
        steps = _MEAN_CENTS[None, :] - _MEAN_CENTS[:, None]
        kernels = np.exp(-0.5 * (steps / np.maximum(spread_cents, 0.2)[:, None, None]) ** 2)
        self._kernels = kernels / kernels.sum(axis=2, keepdims=True)

    def expect(self, worth: Vector) -> Vector:
        share = self._share[:, None]
        there = (1.0 - share) * worth[self._low] + share * worth[self._low + 1]
        expected: Vector = (self._kernels @ there[:, :, None])[:, :, 0]
        return expected


def _leave(stakes: Stakes, mean_cents: Vector, sd_cents: Vector) -> Vector:
    """Expected loss of ending here: outside the tolerance, ruined, or merely off."""
    mean, sd = mean_cents[None, :], sd_cents[:, None]
    tolerance = stakes.tolerance_cents
    within = _cdf((tolerance - mean) / sd) - _cdf((-tolerance - mean) / sd)
    ruined = _cdf((-stakes.ruin_cents - mean) / sd)
    uneven = np.minimum((mean**2 + sd**2) / tolerance**2, 4.0)
    loss: Vector = stakes.miss_cost * (1.0 - within) + stakes.ruin_cost * ruined + stakes.unevenness_cost * uneven
    return loss


def _least_move(stakes: Stakes, after_move: Vector) -> Vector:
    """Least loss over all cuts and pushes from each state."""
    if stakes.sliding:
        return stakes.slide_cost + np.broadcast_to(after_move.min(axis=1, keepdims=True), after_move.shape)
    lowest = np.array([_lowest_aim(stakes, float(sd)) for sd in _SD_CENTS])
    allowed = np.where(_MEAN_CENTS[None, :] >= lowest[:, None], after_move, np.inf)
    trim = stakes.cut_cost + np.minimum.accumulate(allowed, axis=1)
    push = stakes.push_cost + np.minimum.accumulate(after_move[:, ::-1], axis=1)[:, ::-1]
    return np.minimum(trim, push)


def _lowest_aim(stakes: Stakes, sd_cents: float) -> float:
    spread_cents = math.hypot(sd_cents, stakes.landing_cents)
    return quantile_sd(stakes.flat_risk) * spread_cents - stakes.tolerance_cents


def quantile_sd(risk: float) -> float:
    """How many standard deviations above the limit keep the chance of passing it at `risk`."""
    return -NormalDist().inv_cdf(min(max(risk, 1e-6), 0.5))


def _cdf(z: Vector) -> Vector:
    chance: Vector = 0.5 * (1.0 + _ERF(z / _ROOT_2))
    return chance


def _between(sd_cents: Vector) -> tuple[NDArray[np.int64], Vector]:
    """Grid row below each spread, and how far towards the next."""
    place = np.interp(np.log(sd_cents), np.log(_SD_CENTS), np.arange(len(_SD_CENTS)))
    low = np.minimum(place.astype(np.int64), len(_SD_CENTS) - 2)
    return low, place - low


def _row(table: Vector, sd_cents: float) -> Vector:
    """The table's row for one spread, between the two nearest."""
    low, share = _between(np.array([sd_cents]))
    row: Vector = (1.0 - share[0]) * table[low[0]] + share[0] * table[low[0] + 1]
    return row
