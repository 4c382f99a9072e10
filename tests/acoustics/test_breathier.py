"""Breath beside the note: how much breathier a plug blows, and that it moves a leak's chance and never names one."""
import dataclasses
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from acoustics.breathier import MOST_TIMES, Breathier, breathier_of, leak_times
from acoustics.stories import story_chances
from acoustics.tuning import Action, Policy, Priors, Story, Why, advise, fit
from tests.acoustics.tuning_cases import FINGER, blows, plan, plug, shifted, true_depth_mm

OFF_CENTS = (-1.0, 1.0, 0.0)
PLUG = plug("A", true_depth_mm("A") + 0.5)


def breathing(observations, breath_db):
    return [dataclasses.replace(o, breath_db=breath_db) for o in observations]


def by_finger(breath_db):
    return [blow for letter in "AB" for blow in breathing(blows(letter, FINGER[letter], OFF_CENTS), breath_db)]


def on_plug(cents, breath_db, n=3, **facts):
    heard = blows("A", PLUG, (-1.0,) * n, seatings=n)
    return [
        dataclasses.replace(o, frequency_hz=shifted(o.frequency_hz, cents), at_s=100.0, breath_db=breath_db, **facts)
        for o in heard
    ]


def leak_chance(observations):
    belief = fit(plan("AB"), observations, Priors())
    return story_chances(belief, belief.plan.chambers[0], PLUG, {"A": PLUG})["leak"]


def advice_on(observations):
    return advise(fit(plan("AB"), observations, Priors()), Policy(), {"A": PLUG})[0]


def test_difference_is_that_of_the_medians_against_other_stops_and_covered_blows():
    odd = breathing(blows("A", FINGER["A"], (0.0,)), 3.0)
    heard = by_finger(-26.0) + odd + on_plug(10.0, -18.0) + on_plug(0.0, -25.0, covered=True)
    # By hand: three of -26, one of 3 and three of -25 with the finger over the plug: the middle one is -25.
    assert breathier_of(heard, "A", PLUG.id) == Breathier(7.0, 3, 7)


def test_an_earlier_face_of_the_plug_is_no_measure_since_it_leaked_as_well():
    longer = breathing(blows("A", plug("A", true_depth_mm("A") + 2.0, "long"), OFF_CENTS), -16.0)
    assert breathier_of(by_finger(-26.0) + longer + on_plug(10.0, -18.0), "A", PLUG.id).breathier_db == 8.0


def test_nothing_is_said_without_breath_or_without_anything_to_hold_it_against():
    assert breathier_of(by_finger(None) + on_plug(0.0, -18.0), "A", PLUG.id) is None
    assert breathier_of(by_finger(-26.0) + on_plug(0.0, None), "A", PLUG.id) is None
    assert leak_times(None) == 1.0


@pytest.mark.parametrize("breathier_db", [-6.0, 0.0, 3.0, 8.0])
def test_weight_is_the_ratio_of_two_student_densities(breathier_db):
    # Outside: scipy's own Student law. Four blows a side: sqrt(4^2 + 2^2 (1/4 + 1/4)) = 4.243, with 4 more 5.831.
    sound, leak = stats.t(4, 0.0, 4.2426), stats.t(4, 5.0, 5.8310)
    expected = leak.pdf(breathier_db) / sound.pdf(breathier_db)
    assert leak_times(Breathier(breathier_db, 4, 4)) == pytest.approx(expected, rel=1e-4)


@settings(max_examples=200, deadline=None)
@given(st.floats(-80.0, 80.0), st.integers(1, 12), st.integers(2, 12))
def test_weight_stays_within_its_bounds(breathier_db, n_blows, n_otherwise):
    assert 1.0 / MOST_TIMES <= leak_times(Breathier(breathier_db, n_blows, n_otherwise)) <= MOST_TIMES


def test_breath_without_a_sharp_note_never_has_a_plug_sealed():
    heard = by_finger(-26.0) + on_plug(0.0, -6.0, n=4)
    assert advice_on(heard).action is not Action.SEAL_LEAK
    covered = on_plug(0.0, -26.0, n=2, covered=True)
    assert advice_on(heard + covered).action is not Action.SEAL_LEAK


def test_breath_has_a_small_leak_checked_that_the_note_alone_lets_pass():
    assert advice_on(by_finger(None) + on_plug(8.0, None)).why is not Why.SUSPECT
    told = advice_on(by_finger(-26.0) + on_plug(8.0, -16.0))
    assert (told.action, told.why, told.story) == (Action.BLOW_AGAIN, Why.SUSPECT, Story.LEAK)


def test_clean_breath_makes_a_leak_less_likely_and_no_breath_changes_nothing():
    unknown = leak_chance(by_finger(None) + on_plug(14.0, None))
    assert leak_chance(by_finger(-26.0) + on_plug(14.0, None)) == unknown
    assert leak_chance(by_finger(-26.0) + on_plug(14.0, -26.0)) < unknown
    assert leak_chance(by_finger(-26.0) + on_plug(14.0, -18.0)) > unknown


def test_order_of_the_blows_changes_nothing():
    heard = [
        dataclasses.replace(o, breath_db=o.breath_db + 0.7 * i, at_s=float(i))
        for i, o in enumerate(by_finger(-26.0) + on_plug(14.0, -20.0))
    ]
    shuffled = heard.copy()
    random.Random(3).shuffle(shuffled)
    assert leak_chance(shuffled) == pytest.approx(leak_chance(heard), rel=1e-6)


def test_louder_microphone_changes_nothing():
    heard = by_finger(-26.0) + on_plug(14.0, -20.0)
    louder = [dataclasses.replace(o, level_dbfs=-12.0) for o in heard]
    assert leak_chance(louder) == pytest.approx(leak_chance(heard))
