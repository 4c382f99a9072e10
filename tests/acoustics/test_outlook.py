"""Looking ahead: which losses must be larger than which."""
import dataclasses
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from acoustics.outlook import Stakes, outlook, quantile_sd

FLUSH = Stakes(
    tolerance_cents=5.0, flat_risk=0.05, landing_cents=2.2, depth_error_cents=0.8, round_sd_cents=4.5, sliding=False
)
MEANS_CENTS = st.floats(-15.0, 30.0)
SDS_CENTS = st.floats(0.8, 15.0)


def normal_cdf(z):
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


@settings(deadline=None)
@given(MEANS_CENTS, SDS_CENTS)
def test_leaving_costs_what_the_normal_distribution_says(mean_cents, sd_cents):
    # Derived by hand from the stakes, with the normal distribution of the standard library.
    outside = normal_cdf((-5.0 - mean_cents) / sd_cents) + 1.0 - normal_cdf((5.0 - mean_cents) / sd_cents)
    ruined = normal_cdf((-8.0 - mean_cents) / sd_cents)
    uneven = min((mean_cents**2 + sd_cents**2) / 25.0, 4.0)
    expected = FLUSH.miss_cost * outside + FLUSH.ruin_cost * ruined + FLUSH.unevenness_cost * uneven
    assert outlook(FLUSH).leave_loss(mean_cents, sd_cents) == pytest.approx(expected, rel=1e-6, abs=1e-9)


def test_flat_is_worse_than_as_sharp():
    ahead = outlook(FLUSH)
    assert ahead.leave_loss(-9.0, 2.0) > ahead.leave_loss(9.0, 2.0)
    assert ahead.blow_loss(-9.0, 2.0) > ahead.blow_loss(9.0, 2.0)


def test_near_and_known_is_left_far_is_cut_and_doubtful_is_blown_again():
    ahead = outlook(FLUSH)

    def cut_loss(mean_cents, sd_cents):
        return FLUSH.cut_cost + ahead.best_aim(sd_cents, ahead.lowest_aim_cents(sd_cents), mean_cents)[1]

    assert ahead.leave_loss(0.0, 1.2) < min(ahead.blow_loss(0.0, 1.2), 1.0)
    assert cut_loss(15.0, 1.5) < min(ahead.leave_loss(15.0, 1.5), ahead.blow_loss(15.0, 1.5))
    assert ahead.blow_loss(1.0, 4.0) < min(ahead.leave_loss(1.0, 4.0), cut_loss(1.5, 4.0))


@pytest.mark.parametrize("sd_cents", [1.0, 3.0, 8.0])
def test_less_is_known_the_higher_a_cut_must_aim(sd_cents):
    ahead = outlook(FLUSH)
    lowest_cents = ahead.lowest_aim_cents(sd_cents)
    assert lowest_cents < ahead.lowest_aim_cents(1.5 * sd_cents)
    chance = normal_cdf((-5.0 - lowest_cents) / math.hypot(sd_cents, FLUSH.landing_cents))
    assert chance == pytest.approx(FLUSH.flat_risk)


def test_more_blows_are_worth_less_when_they_cost_more():
    dear = dataclasses.replace(FLUSH, blow_cost=0.5)
    assert outlook(dear).blow_loss(1.0, 3.0) > outlook(FLUSH).blow_loss(1.0, 3.0)


def test_sliding_plug_has_less_to_lose():
    sliding = outlook(dataclasses.replace(FLUSH, sliding=True))
    assert sliding.blow_loss(-6.0, 3.0) < outlook(FLUSH).blow_loss(-6.0, 3.0)


def test_quantile_is_the_tables():
    # Published: standard normal table, 1.645 at 5 %, 2.326 at 1 %.
    assert quantile_sd(0.05) == pytest.approx(1.645, abs=5e-4)
    assert quantile_sd(0.01) == pytest.approx(2.326, abs=5e-4)
