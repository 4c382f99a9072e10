"""What is advised does not hang on the unit of length, on the order of the blows or on what chambers are called."""
import dataclasses
import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from acoustics.tuning import Policy, Priors, advise, fit
from tests.acoustics.test_stories_since import PLUGS, sets_of
from tests.acoustics.tuning_cases import FINGER, blows, plan, plug, slug, true_depth_mm

# A wall's drag has a length of its own (the boundary layer's), so only without it is the physics free of scale.
SMOOTH = dataclasses.replace(Priors(), wall_loss=0.0)


def larger(priors, times):
    return dataclasses.replace(
        priors, bore_length_sd_mm=priors.bore_length_sd_mm * times, seat_sd_mm=priors.seat_sd_mm * times,
        finger_log=priors.finger_log + math.log(times),
    )


def larger_plan(plan, times):
    return dataclasses.replace(plan, chambers=tuple(
        dataclasses.replace(
            c, bore_mm=c.bore_mm * times, bore_length_mm=c.bore_length_mm * times,
            window_width_mm=c.window_width_mm * times, window_height_mm=c.window_height_mm * times,
            target_hz=c.target_hz / times)
        for c in plan.chambers))


def larger_blow(blow, times):
    closure = blow.closure
    deeper = dataclasses.replace(closure, depth_mm=closure.depth_mm * times, depth_sd_mm=closure.depth_sd_mm * times)
    return dataclasses.replace(blow, closure=deeper, frequency_hz=blow.frequency_hz / times)


def heard():
    plugs = blows("A", plug("A", true_depth_mm("A") + 1.0)) + blows("B", plug("B", true_depth_mm("B") + 2.0))
    return blows("A", FINGER["A"]) + blows("B", FINGER["B"]) + blows("A", slug("A", 12.0)) + plugs


@settings(deadline=None, max_examples=20)
@given(st.floats(0.75, 1.5))
def test_same_whistle_in_another_unit_of_length_is_believed_the_same(times):
    """A unit of length so much smaller, and one of time with it: every length grows by it, every cent stays."""
    one = fit(plan(), heard(), SMOOTH)
    other = fit(larger_plan(plan(), times), [larger_blow(b, times) for b in heard()], larger(SMOOTH, times))
    for here, there in zip(one.chambers, other.chambers, strict=True):
        assert there.target_depth_mm == pytest.approx(here.target_depth_mm * times, abs=1e-3)
        assert there.target_depth_sd_mm == pytest.approx(here.target_depth_sd_mm * times, rel=1e-3)
        assert there.window_sd_mm == pytest.approx(here.window_sd_mm * times, rel=1e-3)
    for name, reading in one.readings.items():
        assert other.readings[name].surprise_cents == pytest.approx(reading.surprise_cents, abs=0.02)


def test_unit_would_be_noticed_if_it_mattered():
    grown = fit(larger_plan(plan(), 1.3), [larger_blow(b, 1.3) for b in heard()], SMOOTH)
    one = fit(plan(), heard(), SMOOTH)
    assert grown.chambers[0].target_depth_sd_mm != pytest.approx(1.3 * one.chambers[0].target_depth_sd_mm, rel=1e-3)


@settings(deadline=None, max_examples=15)
@given(st.randoms(use_true_random=False), st.sampled_from([-25.0, 0.0, 25.0]), st.sampled_from(["A", "AB", "ABC"]))
def test_advice_and_story_do_not_hang_on_the_order_of_the_blows(shuffler: random.Random, cents, letters):
    observations = sets_of(dict.fromkeys(letters, cents))
    shuffled = list(observations)
    shuffler.shuffle(shuffled)
    assert advices(observations) == advices(shuffled)


@settings(deadline=None, max_examples=15)
@given(st.permutations("ABC"), st.sampled_from([-25.0, 0.0, 25.0]), st.sampled_from(["A", "AB", "ABC"]))
def test_advice_and_story_do_not_hang_on_what_chambers_are_called(names, cents, letters):
    called = dict(zip("ABC", names, strict=True))
    observations = sets_of(dict.fromkeys(letters, cents))
    renamed = [
        dataclasses.replace(o, letter=called[o.letter], closure=_renamed(o.closure, called)) for o in observations
    ]
    renamed_plan = dataclasses.replace(plan("ABC"), chambers=tuple(
        dataclasses.replace(c, letter=called[c.letter]) for c in plan("ABC").chambers))
    plugs = {called[letter]: _renamed(closure, called) for letter, closure in PLUGS.items()}
    told = advise(fit(renamed_plan, renamed, Priors()), Policy(), plugs)
    assert [_rounded(advice) for advice in told] == advices(observations)


def advices(observations):
    return [_rounded(advice) for advice in advise(fit(plan("ABC"), observations, Priors()), Policy(), PLUGS)]


def _renamed(closure, called):
    return dataclasses.replace(closure, id=f"{called[closure.id[0]]}{closure.id[1:]}")


def _rounded(advice):
    amounts = (advice.amount_mm, advice.deviation_cents, advice.deviation_sd_cents)
    return (advice.action, advice.why, advice.story, advice.more_blows,
            *(None if amount is None else round(amount, 4) for amount in amounts))
