"""Truth against what was done: one row of figures a method, with intervals bootstrapped by whistle."""
from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.bench.tuning.bench_hand import Fate

RUINED_CENTS = -8.0


@dataclass(frozen=True)
class Outcome:
    """One chamber at the end."""

    whistle: int
    cuts: int
    moves: int
    blows: int
    true_cents: float
    interval_cents: float | None  # against the lowest chamber; None for the lowest itself
    belief_cents: float | None
    belief_sd_cents: float | None
    dead_end: bool
    trims: int = 0
    trims_when_flat: int = 0
    fates: tuple[Fate, ...] = ()


@dataclass(frozen=True)
class Row:
    """Figures of one method; a triple is the value and its 95 % interval."""

    name: str
    cuts: tuple[float, float, float]
    cuts_p95: float
    moves: float
    blows: float
    within_5: tuple[float, float, float]
    within_10: tuple[float, float, float]
    interval_5: tuple[float, float, float]
    ruined: tuple[float, float, float]
    one_sd: float | None  # share of true values within one standard deviation of the belief
    two_sd: float | None
    dead_ends: int


def row_of(name: str, outcomes: list[Outcome], rng: np.random.Generator) -> Row:
    whistles = np.array([o.whistle for o in outcomes])
    true = np.array([o.true_cents for o in outcomes])
    intervals = np.array([np.nan if o.interval_cents is None else o.interval_cents for o in outcomes])
    held = ~np.isnan(intervals)
    believed = [(o.true_cents - o.belief_cents) / o.belief_sd_cents for o in outcomes
                if o.belief_cents is not None and o.belief_sd_cents is not None]
    scores = np.abs(np.array(believed))
    cuts = np.array([o.cuts for o in outcomes], dtype=float)

    def share(values: NDArray[np.float64], of: NDArray[np.int64]) -> tuple[float, float, float]:
        return with_interval(values.astype(float), of, rng)

    return Row(
        name, share(cuts, whistles), float(np.quantile(cuts, 0.95, method="higher")),
        float(np.mean([o.moves for o in outcomes])), float(np.mean([o.blows for o in outcomes])),
        share(np.abs(true) <= 5.0, whistles), share(np.abs(true) <= 10.0, whistles),
        share(np.abs(intervals[held]) <= 5.0, whistles[held]), share(true < RUINED_CENTS, whistles),
        float(np.mean(scores <= 1.0)) if believed else None, float(np.mean(scores <= 2.0)) if believed else None,
        sum(o.dead_end for o in outcomes),
    )


def with_interval(
    values: NDArray[np.float64], whistles: NDArray[np.int64], rng: np.random.Generator, n: int = 1000
) -> tuple[float, float, float]:
    """Mean and 95 % bootstrap interval, whole whistles drawn with replacement."""
    names, where = np.unique(whistles, return_inverse=True)
    sums, counts = np.bincount(where, values), np.bincount(where)
    drawn = rng.integers(0, len(names), (n, len(names)))
    means = sums[drawn].sum(axis=1) / counts[drawn].sum(axis=1)
    low, high = np.quantile(means, (0.025, 0.975))
    return float(values.mean()), float(low), float(high)


HEADING = (
    f"{'method':34s} {'cuts':>17s} {'p95':>4s} {'moves':>5s} {'blows':>5s} {'within 5 c':>18s} {'within 10 c':>19s} "
    f"{'interval 5 c':>18s} {'ruined':>15s} {'1 sd':>5s} {'2 sd':>5s} {'dead':>4s}"
)


def line_of(row: Row) -> str:
    def percent(triple: tuple[float, float, float]) -> str:
        value, low, high = (100.0 * part for part in triple)
        return f"{value:5.1f} ({low:.1f}-{high:.1f})"

    cuts = f"{row.cuts[0]:.2f} ({row.cuts[1]:.2f}-{row.cuts[2]:.2f})"
    one, two = (("-", "-") if row.one_sd is None else (f"{100 * row.one_sd:.0f}", f"{100 * (row.two_sd or 0):.0f}"))
    return (
        f"{row.name:34s} {cuts:>17s} {row.cuts_p95:4.0f} {row.moves:5.1f} {row.blows:5.1f} "
        f"{percent(row.within_5):>18s} {percent(row.within_10):>19s} {percent(row.interval_5):>18s} "
        f"{percent(row.ruined):>15s} {one:>5s} {two:>5s} {row.dead_ends:4d}"
    )
