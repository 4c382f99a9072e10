"""The figures of the bench, on outcomes that can be counted by hand."""
import numpy as np
import pytest

from tests.bench.tuning.calibration import calibration_table
from tests.bench.tuning.floors import seat_share
from tests.bench.tuning.score import Outcome, line_of, row_of, with_interval


def outcome(whistle: int, true_cents: float, cuts: int = 2, belief_cents: float | None = 0.0) -> Outcome:
    sd_cents = None if belief_cents is None else 3.0
    return Outcome(whistle, cuts, 0, 10, true_cents, true_cents, belief_cents, sd_cents, False)


def test_shares_are_those_counted_by_hand():
    outcomes = [outcome(0, 4.9), outcome(0, -5.1), outcome(1, 9.9), outcome(1, -8.1, cuts=4)]
    row = row_of("by hand", outcomes, np.random.default_rng(0))
    assert (row.within_5[0], row.within_10[0], row.ruined[0]) == (0.25, 1.0, 0.25)
    assert (row.cuts[0], row.cuts_p95, row.blows) == (2.5, 4.0, 10.0)
    # Belief 0 with 3 cents: 4.9 and 5.1 lie within two of them, none within one.
    assert (row.one_sd, row.two_sd) == (0.0, 0.5)
    assert "by hand" in line_of(row)


def test_method_without_a_belief_has_no_calibration():
    row = row_of("none", [outcome(0, 1.0, belief_cents=None)], np.random.default_rng(0))
    assert row.one_sd is None


def test_interval_counts_whistles_not_chambers():
    # Four chambers of one whistle always fall together: ten whistles, half of them all right, half all wrong.
    values, whistles = np.repeat([0.0, 1.0] * 5, 4), np.repeat(np.arange(10), 4)
    value, low, high = with_interval(values, whistles, np.random.default_rng(0))
    # Derived by hand: standard deviation of a mean of ten 0-or-1 draws, 0.158; of forty it would be 0.079.
    assert value == 0.5
    assert high - low == pytest.approx(4 * 0.158, rel=0.15)


def test_calibration_counts_what_lay_within_each_stated_deviation():
    # Belief 0 with 3 cents: 1.5 cents are half a deviation, 6 cents are two.
    table = calibration_table([outcome(0, 1.5), outcome(1, 6.0)])
    held = {line.split()[0]: float(line.split()[2]) for line in table.splitlines()[2:]}
    assert (held["0.25"], held["0.50"], held["1.00"], held["2.00"]) == (0.0, 50.0, 50.0, 100.0)


def test_seat_alone_leaves_what_the_normal_table_says():
    # Published: standard normal table, 0.9545 within two deviations. 0.15 mm at 16.667 cents a mm are 2.5 cents.
    assert seat_share(5.0 / 2.0 / 0.15, 1) == pytest.approx(0.9545, abs=1e-4)
