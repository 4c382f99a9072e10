"""The counting of what was said against what was true, on fates that can be counted by hand."""
import numpy as np
import pytest

from tests.bench.tuning.bench_hand import Fate
from tests.bench.tuning.score import Outcome
from tests.bench.tuning.surprises import surprises_line, upper


def outcome(whistle, *fates, trims=2, flat=0):
    return Outcome(whistle, 2, 0, 10, 0.0, None, 0.0, 2.0, False, trims, flat, fates)


def test_shares_are_those_counted_by_hand():
    line = surprises_line([
        outcome(0, Fate(leaks=True, checked=True, accused=True, trims=1), Fate(leaks=False, checked=True)),
        outcome(1, Fate(leaks=True, checked=True, accused=True, trims=2), Fate(leaks=False), flat=1),
        outcome(2, Fate(leaks=False, wrong_blows=True, apart_sd=9.0, named_wrong=True)),
        outcome(3, Fate(leaks=False, wrong_blows=True, apart_sd=2.0)),
    ], np.random.default_rng(0))
    assert "check asked 50.0 %" in line
    assert "named before a second trim 50.0 %" in line
    assert "more than 4 sd: named 100.0 %" in line
    assert "already flat: 1 of 8" in line


def test_method_without_advice_has_no_such_line():
    assert surprises_line([outcome(0, trims=0)], np.random.default_rng(0)) == ""


def test_upper_bound_is_the_rule_of_three():
    # Derived by hand: 1 - 0.05^(1/100) = 2.95 %, the rule of three.
    assert upper(0, 100) == pytest.approx(1.0 - 0.05**0.01)
    assert upper(5, 5) == 1.0
