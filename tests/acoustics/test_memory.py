"""Memory: what one whistle leaves for the next."""
import pytest

from acoustics.tuning import Priors, fit, remember
from tests.acoustics.tuning_cases import FINGER, blows, plan, slug, true_depth_mm


def after_one_whistle(window_mm=16.0):
    observations = [
        blow for letter in "ABCD" for face in (FINGER[letter], slug(letter, true_depth_mm(letter)))
        for blow in blows(letter, face, window_mm=window_mm)
    ]
    return fit(plan(), observations, Priors())


def test_next_whistle_starts_nearer_and_surer():
    belief = after_one_whistle()
    priors = remember(belief)
    fresh = fit(plan(), [], priors).chambers[0]
    assert fresh.window_mm == pytest.approx(belief.chambers[0].window_mm, rel=0.1)
    assert fresh.window_sd_mm < fit(plan(), [], Priors()).chambers[0].window_sd_mm


def test_blow_by_finger_tells_more_once_the_finger_is_known():
    by_finger = blows("B", FINGER["B"])
    unknown = fit(plan(), by_finger, Priors()).chambers[1].target_depth_sd_mm
    known = fit(plan(), by_finger, remember(after_one_whistle())).chambers[1].target_depth_sd_mm
    assert known < unknown


def test_nothing_heard_teaches_nothing():
    priors = remember(fit(plan(), [], Priors()))
    assert priors.window_log == Priors().window_log
    assert priors.window_log_sd == pytest.approx(Priors().window_log_sd)
    assert priors.finger_log_sd == pytest.approx(Priors().finger_log_sd)
    assert priors.blow_sd_weight == Priors().blow_sd_weight


def test_memory_never_claims_more_than_whistles_of_one_pattern_agree():
    priors = Priors()
    for _ in range(5):
        observations = [blow for letter in "ABCD" for blow in blows(letter, slug(letter, true_depth_mm(letter)))]
        priors = remember(fit(plan(), observations, priors))
    assert priors.window_log_sd >= 0.05
