"""Advice: one action for every chamber, on the right side of the note, with an end in sight."""
import dataclasses
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from acoustics.tuning import Action, Closure, Observation, Policy, Priors, Stop, Why, advise, fit
from tests.acoustics.tuning_cases import FINGER, TARGETS_HZ, blows, plan, plug, slug, true_depth_mm

SLIDING = Policy(sliding=True)
MOVES_FACE = {Action.CUT, Action.TRIM, Action.PUSH_IN, Action.DRAW_OUT, Action.ADD_DISC}
STEADY = (-1.0, 1.0, 0.0, 0.5, -0.5, 0.0)


def told(observations, closure=None, policy=None, letters="A", letter="A"):
    belief = fit(plan(letters), observations, Priors())
    closures = {} if closure is None else {letter: closure}
    return advise(belief, policy or Policy(), closures)[letters.index(letter)]


def on_plug(off_mm, cents=STEADY * 2, policy=None, seatings=6, known=True):
    """Advice for chamber A, blown as often as may be asked, with a face `off_mm` deeper than it belongs."""
    closure = plug("A", true_depth_mm("A") + off_mm)
    before = blows("A", slug("A", true_depth_mm("A"))) if known else []
    return told(before + blows("A", closure, cents, seatings=seatings), closure, policy)


def test_unblown_chamber_is_asked_for_blows():
    advice = told([])
    assert (advice.action, advice.why) == (Action.BLOW_AGAIN, Why.NO_READING)
    assert advice.more_blows >= 2


def test_plug_without_a_blow_on_it_is_asked_for_blows_however_much_is_known():
    advice = told(blows("A", FINGER["A"]) + blows("A", slug("A", 12.0)), plug("A", 15.0))
    assert (advice.action, advice.why) == (Action.BLOW_AGAIN, Why.NO_READING)


def test_one_blow_decides_nothing():
    closure = plug("A", true_depth_mm("A") + 3.0)
    assert told(blows("A", closure, (0.0,)), closure).action is Action.BLOW_AGAIN


def test_first_plug_is_cut_long():
    advice = told(blows("A", FINGER["A"]))
    assert (advice.action, advice.why) == (Action.CUT, Why.FIRST_PLUG_LONG)
    assert advice.stop_at_depth_mm > advice.target_depth_mm
    assert advice.amount_mm == advice.stop_at_depth_mm


def test_less_is_known_the_longer_the_first_plug():
    by_finger, by_slug = (told(blows("A", c)) for c in (FINGER["A"], slug("A", true_depth_mm("A"))))
    assert by_finger.uncertainty_mm > by_slug.uncertainty_mm
    assert by_finger.held_back_mm > by_slug.held_back_mm


def test_second_blow_on_a_flush_plug_is_on_a_new_seating():
    closure = plug("A", true_depth_mm("A") + 0.2)
    advice = told(blows("A", slug("A", true_depth_mm("A"))) + blows("A", closure, (0.0,), seatings=1), closure)
    assert (advice.action, advice.why) == (Action.BLOW_AGAIN, Why.RESEAT_FIRST)


def test_first_slide_starts_short_of_the_note():
    advice = told(blows("A", FINGER["A"]), policy=SLIDING)
    assert advice.action is Action.CUT
    assert advice.stop_at_depth_mm < advice.target_depth_mm


def test_sharp_plug_is_trimmed_and_wood_is_held_back():
    advice = on_plug(2.0)
    assert advice.action is Action.TRIM
    assert 0.0 < advice.amount_mm <= advice.full_amount_mm
    assert advice.held_back_mm == pytest.approx(advice.full_amount_mm - advice.amount_mm)
    assert advice.stop_at_depth_mm == pytest.approx(advice.depth_mm - advice.amount_mm)
    assert advice.deviation_cents > 0.0


@pytest.mark.parametrize("off_mm", [1.0, 2.0, 4.0])
@pytest.mark.parametrize("flat_risk", [0.002, 0.02, 0.1])
def test_trim_never_breaks_the_bound_on_flat_endings(off_mm, flat_risk):
    policy = Policy(flat_risk=flat_risk)
    closure = plug("A", true_depth_mm("A") + off_mm)
    belief = fit(plan("A"), blows("A", closure), Priors())
    advice, = advise(belief, policy, {"A": closure})
    if advice.action is not Action.TRIM:
        return
    now = belief.predict(belief.plan.chambers[0], closure)
    after_cents = now.deviation_cents - advice.amount_mm * now.per_depth_cents_per_mm
    spread_cents = math.hypot(now.sd_cents, policy.cut_sd_mm * now.per_depth_cents_per_mm)
    chance = 0.5 * math.erfc((after_cents + policy.tolerance_cents) / spread_cents / math.sqrt(2.0))
    assert chance <= flat_risk * 1.3  # spreads are rounded by up to 6 % to share one table


def test_flat_plug_is_never_trimmed():
    for off_mm in (-0.5, -1.0, -2.0):
        advice = on_plug(off_mm)
        assert advice.action is Action.PUSH_IN
        assert advice.stop_at_depth_mm > advice.depth_mm
    assert on_plug(-6.0).action is Action.ADD_DISC


def test_plug_on_its_note_is_left():
    advice = on_plug(0.0)
    assert advice.action is Action.LEAVE
    assert advice.amount_mm is None


def test_agreement_is_not_claimed_on_one_seating():
    advice = on_plug(0.0, STEADY, seatings=1)
    assert (advice.action, advice.why) == (Action.BLOW_AGAIN, Why.RESEAT_FIRST)


def test_more_blows_are_said_to_be_needed_by_a_looser_breath():
    def more(size_cents):
        return on_plug(1.2, tuple(size_cents * x for x in (-1.0, 1.0, -1.0, 1.0)), seatings=2, known=False)

    steady, loose = more(1.0), more(8.0)
    assert loose.action is Action.BLOW_AGAIN
    assert 1 <= steady.more_blows < loose.more_blows


def test_never_more_blows_are_said_to_be_needed_than_are_asked_for():
    for n in range(2, 12):
        advice = on_plug(0.4, (8.0, -8.0, 6.0, -6.0, 8.0, -8.0, 6.0, -6.0, 8.0, -8.0, 6.0)[:n], seatings=2, known=False)
        assert advice.more_blows <= 12 - n or advice.action is not Action.BLOW_AGAIN


def test_sliding_plug_goes_either_way():
    assert on_plug(1.5, policy=SLIDING).action is Action.DRAW_OUT
    assert on_plug(-1.5, policy=SLIDING).action is Action.PUSH_IN


def test_note_below_the_bare_bore_is_out_of_reach():
    deep = dataclasses.replace(plan("A").chambers[0], target_hz=450.0)
    whole = dataclasses.replace(plan("A"), chambers=(deep,))
    advice, = advise(fit(whole, blows("A", FINGER["A"]), Priors()), Policy(), {})
    assert (advice.action, advice.why) == (Action.BORE_TOO_SHORT, Why.TARGET_OUT_OF_REACH)


def kept_back(letter, off_mm, held_back_cents):
    """Advice for one of two chambers, blown often, with so much of its note kept for the chord."""
    closure = plug(letter, true_depth_mm(letter) + off_mm)
    known = blows("A", slug("A", true_depth_mm("A"))) + blows("B", slug("B", true_depth_mm("B")))
    return told(known + blows(letter, closure, STEADY * 2, seatings=6), closure,
                Policy(held_back_cents=held_back_cents), "AB", letter)


def test_wood_is_kept_for_the_chord_on_all_plugs_but_the_lowest():
    plain, kept = (kept_back("B", 3.0, cents) for cents in (0.0, 4.0))
    # By hand: B is 15.1 cents a millimetre, so 4 cents are 0.26 mm.
    assert plain.amount_mm - kept.amount_mm == pytest.approx(0.26, abs=0.02)
    plain, kept = (kept_back("A", 3.0, cents) for cents in (0.0, 4.0))
    assert plain.amount_mm == kept.amount_mm


def test_a_plug_that_came_out_right_is_not_pushed_in_to_keep_wood():
    assert kept_back("B", 0.0, 4.0).action is Action.LEAVE
    assert kept_back("B", -0.1, 4.0).action is kept_back("B", -0.1, 0.0).action


def test_every_blow_has_a_tick_where_it_says_the_face_belongs():
    advice = on_plug(2.0)
    assert len(advice.ticks_depth_mm) == 12
    for tick_mm in advice.ticks_depth_mm:
        assert tick_mm == pytest.approx(true_depth_mm("A"), abs=0.5)


@pytest.mark.parametrize("policy", [Policy(), SLIDING])
def test_blowing_the_same_again_is_not_asked_for_ever(policy):
    for off_mm in (-8.0, -0.4, 0.0, 0.3, 0.5, 9.0):
        closure = plug("A", true_depth_mm("A") + off_mm)
        endless = blows("A", closure, (4.0, -4.0, 2.0) * 8, seatings=1)
        assert told(endless, closure, policy).action is not Action.BLOW_AGAIN


NOTES_HZ = st.one_of(st.floats(20.0, 5000.0), st.sampled_from([math.nan, math.inf, 0.0, -1.0, 1e-9, 1e12]))
CLOSURES = st.builds(
    Closure, st.sampled_from("pqrs"), st.sampled_from(list(Stop)), st.floats(-5.0, 300.0), st.floats(0.0, 2.0)
)
OBSERVATIONS = st.lists(st.builds(
    Observation, st.sampled_from("ABCDZ"), CLOSURES, st.sampled_from("12"), st.integers(0, 2), NOTES_HZ,
    st.floats(0.0, 50.0), st.one_of(st.none(), st.floats(-90.0, 0.0)),
), max_size=12)


@settings(max_examples=60, deadline=None)
@given(OBSERVATIONS, CLOSURES, st.booleans())
def test_whatever_was_heard_every_chamber_gets_one_action(observations, closure, sliding):
    advices = advise(fit(plan(), observations, Priors()), Policy(sliding=sliding), {"A": closure, "C": closure})
    assert [advice.letter for advice in advices] == list(TARGETS_HZ)
    for advice in advices:
        if advice.amount_mm is not None:
            assert advice.amount_mm >= 0.0
        assert (advice.stop_at_depth_mm is not None) == (advice.action in MOVES_FACE)
        if advice.action is Action.BLOW_AGAIN:
            assert advice.more_blows > 0
