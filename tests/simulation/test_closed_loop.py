"""The program's advice, followed to the letter in a world with physics of its own.

Wood does not grow back, so what is asked of every single whistle is that no plug is ruined and that there is an end.
How many land how near is measured on the bench (`python -m tests.bench.tuning`); the limits here are far wider than
its figures, and the seeds are none of those that anything was tuned on.
"""
import dataclasses

import numpy as np
import pytest

from acoustics.tuning import Action, Policy, Priors, advise, fit
from tests.bench.tuning.__main__ import scored
from tests.bench.tuning.bench_hand import hand_for
from tests.bench.tuning.routes import tune
from tests.simulation.world import Customs, Maker, Pattern, Whistle

SEEDS = (90_001, 90_002, 90_003, 90_004, 90_005, 90_006)
HARD = Customs(leaking_share=0.05, overblown_share=0.05, wrong_bore_per_whistle=0.5)


def tuned(seed: int, by: str, customs: Customs):
    rng = np.random.default_rng(seed)
    hand = hand_for(Whistle.draw(rng, Pattern.draw(rng), Maker.draw(rng), customs))
    ended, belief = tune(hand, Priors(), Policy(sliding=by == "slide"), by)
    return hand, scored(seed, hand, ended), belief


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("by", ["finger", "slug", "slide"])
def test_every_whistle_is_finished_and_no_plug_is_ruined(by, seed):
    _, outcomes, _ = tuned(seed, by, Customs())
    for outcome in outcomes:
        assert not outcome.dead_end
        assert -8.0 < outcome.true_cents < 12.0
        assert outcome.cuts <= 6


def test_most_chambers_end_within_the_tolerance():
    outcomes = [outcome for seed in SEEDS for outcome in tuned(seed, "finger", Customs())[1]]
    within = sum(abs(outcome.true_cents) <= 5.0 for outcome in outcomes)
    # 24 chambers; at the bench's 97 % five or more misses happen about once in 1,700 such runs.
    assert within >= 20


@pytest.mark.parametrize("seed", SEEDS[:3])
def test_leaks_wrong_bores_and_overblown_notes_do_not_stop_the_walk(seed):
    _, outcomes, _ = tuned(seed, "finger", HARD)
    for outcome in outcomes:
        assert not outcome.dead_end
        assert abs(outcome.true_cents) < 30.0


@pytest.mark.parametrize("seed", SEEDS[:3])
def test_truth_lies_where_the_belief_says(seed):
    hand, outcomes, _ = tuned(seed, "slug", Customs())
    scores = [(o.true_cents - o.belief_cents) / o.belief_sd_cents for o in outcomes]
    assert max(abs(score) for score in scores) < 4.0


@pytest.mark.parametrize("seed", SEEDS[:3])
def test_advice_points_to_the_true_side_of_the_note(seed):
    hand, _, belief = tuned(seed, "slug", Customs())
    for at, letter in enumerate(hand.closures):
        seat = hand.seats[letter]
        for shift_mm in (-2.0, 2.0):
            moved = dataclasses.replace(seat, depth_mm=seat.depth_mm + shift_mm, seated=False)
            hand.put(letter, moved, hand.closures[letter].depth_mm, 2.5)
            hand.begin_set()
            for _ in range(6):
                hand.blow(letter, 2, reseat=True)
            told = advise(fit(hand.plan, hand.observations, Priors()), Policy(), hand.closures)[at]
            wanted = {Action.TRIM} if shift_mm > 0.0 else {Action.PUSH_IN, Action.ADD_DISC}
            assert told.action in wanted
