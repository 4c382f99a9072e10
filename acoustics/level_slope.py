"""How much a chamber's pitch follows the breath: cents per decibel over the maker's own blows."""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np

LEAST_BLOWS: Final = 5
LEAST_SPAN_DB: Final = 4.0  # between the softest and the loudest blow of one seating
LOOSEST_CENTS_PER_DB: Final = 2.0  # blows that say less than what is believed beforehand say nothing
PRIOR_CENTS_PER_DB, PRIOR_SD_CENTS_PER_DB = 4.0, 2.0
_SCATTER_CENTS, _SCATTER_WEIGHT = 3.8, 4.0  # of blows beforehand, and how many blows that is worth
_WILD_CENTS = 3.0 * _SCATTER_CENTS  # one wild blow counts as no more than this
_OF_LEAST_SQUARES = 1.1  # standard error of a median of slopes over that of least squares, in groups of a few


@dataclass(frozen=True)
class Group:
    """Blows that differ by breath alone: one face, one set, one place of the microphone."""

    levels_dbfs: tuple[float, ...]
    pitches_cents: tuple[float, ...]  # against any reference


@dataclass(frozen=True)
class LevelSlope:
    """Sensitivity to breath; positive where a louder blow is sharper."""

    heard_cents_per_db: float  # by these blows alone
    standard_error_cents_per_db: float  # of the above
    slope_cents_per_db: float  # drawn towards what is usual
    slope_sd_cents_per_db: float
    span_db: float
    n_blows: int


def level_slope(groups: Sequence[Group]) -> LevelSlope | None:
    """Robust slope of pitch over level.

    Parameters
    ----------
    groups : sequence of Group
        Only differences within a group count.

    Returns
    -------
    LevelSlope or None
        None while the blows are too few, too alike in level, or scatter too much to say more than is believed anyway.

    Notes
    -----
    Median of the slopes between all pairs of blows of a group (Theil 1950; Sen 1968), so that one wild blow does not
    tilt it. Standard error as of least squares, with a scatter about the line from each group's middle, clipped at
    three times 3.8 cents and shrunk towards that, times 1.1 for the median's lesser efficiency (found by playing it
    against chance, as a test does).
    Combined by inverse variance with N(4, 2²) cents a decibel (`docs/acoustics-model.md`, "level").

    References
    ----------
    Theil, H. (1950). A rank-invariant method of linear and polynomial regression analysis. Proc. K. Ned. Akad. Wet. 53.
    Sen, P. K. (1968). J. Am. Stat. Assoc. 63, 1379-1389. Both from memory.
    """
    told = [group for group in groups if len(group.levels_dbfs) >= 2]
    n_blows = sum(len(group.levels_dbfs) for group in told)
    span_db = max((max(g.levels_dbfs) - min(g.levels_dbfs) for g in told), default=0.0)
    if n_blows < LEAST_BLOWS or span_db < LEAST_SPAN_DB:
        return None
    heard = _median_of_slopes(told)
    error = _standard_error(told, heard)
    if error > LOOSEST_CENTS_PER_DB:
        return None
    weight, prior_weight = error**-2, PRIOR_SD_CENTS_PER_DB**-2
    slope = (weight * heard + prior_weight * PRIOR_CENTS_PER_DB) / (weight + prior_weight)
    return LevelSlope(heard, error, slope, (weight + prior_weight) ** -0.5, span_db, n_blows)


def _median_of_slopes(groups: Sequence[Group]) -> float:
    slopes = [
        (there[1] - here[1]) / (there[0] - here[0])
        for group in groups
        for here, there in combinations(zip(group.levels_dbfs, group.pitches_cents, strict=True), 2)
        if there[0] != here[0]
    ]
    return float(np.median(slopes))


def _standard_error(groups: Sequence[Group], slope_cents_per_db: float) -> float:
    levels = [np.asarray(group.levels_dbfs) for group in groups]
    rests = [np.asarray(g.pitches_cents) - slope_cents_per_db * x for g, x in zip(groups, levels, strict=True)]
    away = np.concatenate([np.clip(rest - np.median(rest), -_WILD_CENTS, _WILD_CENTS) for rest in rests])
    n_free = max(len(away) - len(groups) - 1, 0)
    variance = (_SCATTER_WEIGHT * _SCATTER_CENTS**2 + float(away @ away)) / (_SCATTER_WEIGHT + n_free)
    spread = sum(float(np.sum((x - np.mean(x)) ** 2)) for x in levels)
    return _OF_LEAST_SQUARES * math.sqrt(variance / spread)
