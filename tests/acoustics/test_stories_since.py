"""What was touched or moved since: told by faces that were read before, or said to be beyond telling."""
import dataclasses
import math

import pytest

from acoustics.stories import SINCE, change_of, suspicion_of
from acoustics.tuning import Action, Policy, Priors, Story, Why, advise, fit
from tests.acoustics.test_stories import STEADY, advice_on, known, on_a, sounding
from tests.acoustics.tuning_cases import FINGER, blows, plan, plug, true_depth_mm

PLUGS = {letter: plug(letter, true_depth_mm(letter) + 0.5) for letter in "ABC"}


def sets_of(moved_cents, n=2):
    """Every plug blown in one set, and again in a later one, moved by so much; letters that are left out are not."""
    first = [blow for letter in PLUGS for blow in blows(letter, PLUGS[letter], STEADY, "morning")]
    again = [
        dataclasses.replace(blow, at_s=1e4)
        for letter, cents in moved_cents.items()
        for blow in sounding(blows(letter, PLUGS[letter], STEADY[:n], "evening", seatings=1), cents, at_s=1e4)
    ]
    return first + again


def told(observations, letter="A", sliding=False):
    belief = fit(plan("ABC"), observations, Priors())
    return advise(belief, Policy(sliding=sliding), PLUGS)["ABC".index(letter)]


@pytest.mark.parametrize(("moved_cents", "story"), [
    ({"A": 25.0, "B": 25.0, "C": 25.0}, Story.AIR),
    ({"A": -25.0, "B": -22.0, "C": -28.0}, Story.AIR),
    ({"A": 25.0, "B": 25.0}, Story.AIR),
    ({"A": -25.0, "B": 0.0, "C": 0.0}, Story.VOICE),
    ({"A": 25.0, "B": 0.0, "C": 0.0}, Story.VOICE),
    ({"A": -25.0}, Story.CHANGED),  # nothing else was blown: cannot tell
    ({"A": 25.0}, Story.CHANGED),
    ({"A": 0.0, "B": 0.0, "C": 0.0}, None),
    ({"A": 2.0, "B": 2.0, "C": 2.0}, None),  # 0.7 degrees: a set's own warmth
    ({"A": 4.0, "B": -4.0, "C": 4.0}, None),
    ({"A": 0.0, "B": 25.0, "C": 0.0}, None),  # another chamber's trouble
])
def test_what_moved_since_the_morning(moved_cents, story):
    advice = told(known("ABC") + sets_of(moved_cents))
    assert advice.story == story
    if story:
        assert (advice.action, advice.why) == (Action.BLOW_AGAIN, Why.SUSPECT)


def test_air_that_is_told_is_no_story():
    # 8 degrees warmer, by hand: 865.6 * 8 / 293.15 = 23.6 cents, from c going as the root of the absolute temperature
    moved = sets_of({"A": 23.6, "B": 23.6, "C": 23.6})
    with_air = [dataclasses.replace(o, temperature_c=28.0 if o.set_id == "evening" else 20.0) for o in moved]
    assert told(known("ABC") + with_air).story is None


def test_one_stray_note_of_a_later_set_changes_nothing():
    moved = sets_of({"A": 0.0, "B": 0.0}, n=4)
    stray = dataclasses.replace(moved[-5], frequency_hz=2.9 * moved[-5].frequency_hz)
    assert stray.letter == "A"
    assert told(known("ABC") + [*moved[:-5], stray, *moved[-4:]]).story is None


def test_change_that_nobody_explains_is_not_asked_about_for_ever():
    assert told(known("ABC") + sets_of({"A": -25.0}, n=4)).why is not Why.SUSPECT


@pytest.mark.parametrize(("off_mm", "story"), [
    (-3.0, Story.LENGTH_OR_VOICE), (-2.0, Story.LENGTH_OR_VOICE), (-10.0, Story.LENGTH), (-6.5, Story.ODD),
])
def test_plug_that_is_not_as_long_as_was_said(off_mm, story):
    # A plug booked too long sounds flat of what its length foretells: 12.0 cents a millimetre here, by hand.
    closure, heard = on_a(off_mm * 12.0)
    belief = fit(plan("AB"), known() + heard, Priors())
    doubt = suspicion_of(belief, belief.plan.chambers[0], closure, {"A": closure})
    assert doubt is not None
    assert doubt.story == story


def test_chamber_that_was_never_read_before_can_only_be_measured_again():
    closure, heard = on_a(-60.0 + 1.0)
    others = [blow for blow in known("ABCD") if blow.letter != "A"]
    belief = fit(plan(), others + heard, Priors())
    doubt = suspicion_of(belief, belief.plan.chambers[0], closure, {"A": closure})
    assert doubt is None or doubt.story == Story.LENGTH


def test_sharp_by_a_plug_booked_too_short_is_checked_for_a_leak_first():
    closure, heard = on_a(24.0)
    assert advice_on(known() + heard, closure).story == Story.LEAK


def test_first_set_of_a_whistle_never_moved():
    belief = fit(plan("ABC"), known("ABC"), Priors())
    assert all(change_of(reading) is None for reading in belief.readings.values() if reading.n_latest)
    assert {Story.AIR, Story.VOICE, Story.CHANGED} == SINCE


FIRST = (-1.0, 1.0, 0.5)


def first_blows(off_mm, letters="ABCD", n=3):
    """Fingers on all bores; what A is booked as is so much longer than it is."""
    heard = [blow for letter in letters for blow in blows(letter, FINGER[letter], (FIRST * 3)[:n])]
    cents = 1200.0 * math.log2((145.0 + 13.0) / (145.0 + 13.0 - off_mm))  # by hand, a quarter wave that much shorter
    return [*sounding([b for b in heard if b.letter == "A"], cents), *(b for b in heard if b.letter != "A")]


@pytest.mark.parametrize(("off_mm", "story"), [(10.0, Story.BORE), (-10.0, Story.BORE), (0.0, None), (0.5, None)])
def test_bore_measured_wrong_is_asked_about_before_a_plug_is_cut(off_mm, story):
    advice = advise(fit(plan(), first_blows(off_mm), Priors()), Policy(), {})[0]
    assert advice.story == story
    assert advice.action is (Action.BLOW_AGAIN if story else Action.CUT)


def test_bore_that_was_measured_again_and_blown_again_is_cut_for():
    advice = advise(fit(plan(), first_blows(10.0, n=6), Priors()), Policy(), {})[0]
    assert advice.action is Action.CUT


def test_first_blow_that_jumped_is_blown_again_softer():
    heard = [b for b in first_blows(0.0) if b.letter != "A"]
    jumped = sounding(blows("A", FINGER["A"], FIRST), 1930.0)
    advice = advise(fit(plan(), heard + jumped, Priors()), Policy(), {})[0]
    assert (advice.action, advice.story) == (Action.BLOW_AGAIN, Story.OVERBLOWN)
