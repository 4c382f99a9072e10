"""What speaks for a whistle: stillness, rise and breath, on levels whose law is set by hand."""
from __future__ import annotations

import numpy as np
import pytest

from acoustics.attack import rise_s
from acoustics.breath_noise import Breath, breath_odds
from acoustics.stillness import wander_odds

STEP_S = 0.02


def levels(n: int, noise_db: float, wander_db: float, seed: int) -> np.ndarray:
    """A level in noise that wavers at half a cycle a second."""
    rng = np.random.default_rng(seed)
    slow = np.sqrt(2.0) * np.sin(2 * np.pi * 0.8 * STEP_S * np.arange(n) + rng.uniform(0, 6.28))
    return np.asarray(rng.normal(size=n) * noise_db + wander_db * slow)


def test_odds_of_a_still_level_are_no_bolder_than_the_truth() -> None:
    # derived by hand: odds of r against come by chance no more often than in 1 of r, whatever the two laws are
    for n in (20, 50, 100):
        odds = np.array([wander_odds(levels(n, 0.1, 0.0, seed), STEP_S) for seed in range(300)])
        assert np.mean(odds > np.log(20.0)) < 0.05 + 0.02
        assert np.mean(odds) < 0.0


def test_a_wandering_level_is_told_from_a_still_one_the_better_the_longer_and_cleaner_it_is() -> None:
    def usual(n: int, noise_db: float) -> float:
        return float(np.median([wander_odds(levels(n, noise_db, 0.2, seed), STEP_S) for seed in range(60)]))

    assert usual(100, 0.05) > usual(30, 0.05) > 3.0
    assert usual(100, 0.05) > usual(100, 0.3) > 0.0


@pytest.mark.parametrize("n", [0, 1, 5, 7])
def test_too_little_says_nothing_of_stillness(n: int) -> None:
    assert wander_odds(np.zeros(n), STEP_S) == 0.0


def test_breath_that_came_speaks_for_a_whistle_and_its_absence_against_where_it_would_be_heard() -> None:
    came = Breath(-25.0, 12.0, 0.2, -25.0)
    absent_quiet_room = Breath(-60.0, 0.0, 0.1, -45.0)
    absent_loud_room = Breath(-30.0, 0.0, 0.1, -5.0)
    assert breath_odds(came) > 1.0
    assert breath_odds(absent_quiet_room) < -1.5 < breath_odds(absent_loud_room) < 0.0


def test_a_ridden_gain_or_no_floor_says_nothing_of_breath() -> None:
    assert breath_odds(Breath(-25.0, -12.0, 0.2, -25.0)) == 0.0
    assert breath_odds(Breath(-25.0, None, 0.0, -25.0)) == 0.0


@pytest.mark.parametrize("ramp_ms", [2.0, 20.0, 40.0])
def test_a_straight_rise_takes_three_fifths_of_its_ramp(ramp_ms: float) -> None:
    # derived by hand: from a fifth to four fifths of a ramp of T is 0.6 T; the window of 8 ms adds up to 3 ms
    t = np.arange(48000) / 48000
    sound = np.sin(2 * np.pi * 700.0 * t) * np.clip((t - 0.4) / (ramp_ms / 1000.0), 0.0, 1.0)
    rise = rise_s(sound, 48000, 700.0, 0.4)
    assert rise is not None
    assert 0.6 * ramp_ms - 1.5 <= 1000.0 * rise <= 0.6 * ramp_ms + 3.5


def test_a_rise_hidden_in_noise_or_before_the_recording_is_not_told() -> None:
    t = np.arange(48000) / 48000
    sound = np.sin(2 * np.pi * 700.0 * t) * (t > 0.4)
    noisy = sound + np.random.default_rng(1).normal(size=len(t)) * 5.0
    assert rise_s(noisy, 48000, 700.0, 0.4) is None
    assert rise_s(sound[19000:], 48000, 700.0, 0.01) is None
