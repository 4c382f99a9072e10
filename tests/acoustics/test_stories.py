"""Surprises: which story is told, and what is asked before anything is cut."""
import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from acoustics.stories import story_chances
from acoustics.tuning import Action, Policy, Priors, Story, Why, advise, fit
from tests.acoustics.tuning_cases import FINGER, blows, plan, plug, shifted, slug, true_depth_mm

STEADY = (-1.0, 1.0, 0.0, 0.5)


def known(letters="AB"):
    """Enough blows that the next plug can be foretold to a few cents."""
    return [
        blow for letter in letters for face in (FINGER[letter], slug(letter, true_depth_mm(letter)),
                                                slug(letter, true_depth_mm(letter) - 1.0))
        for blow in blows(letter, face, STEADY)
    ]


def sounding(observations, cents, at_s=100.0):
    return [dataclasses.replace(o, frequency_hz=shifted(o.frequency_hz, cents), at_s=at_s) for o in observations]


def advice_on(observations, closure, closures=None, letters="AB"):
    belief = fit(plan(letters), observations, Priors())
    return advise(belief, Policy(), closures or {"A": closure})[0]


def on_a(cents, n=6, seatings=3):
    closure = plug("A", true_depth_mm("A") + 0.5)
    return closure, sounding(blows("A", closure, STEADY[:1] * n, seatings=seatings), cents)


def test_plug_that_reads_as_foretold_has_no_story():
    closure, heard = on_a(0.0)
    assert advice_on(known() + heard, closure).story is None


def test_plug_that_reads_sharp_of_all_else_leaks_and_is_sealed_before_any_cut():
    closure, heard = on_a(30.0)
    advice = advice_on(known() + heard, closure)
    assert (advice.action, advice.why, advice.story) == (Action.SEAL_LEAK, Why.SUSPECT, Story.LEAK)


def test_surprise_on_few_blows_is_blown_again_first():
    closure, heard = on_a(30.0, n=2, seatings=1)
    advice = advice_on(known() + heard, closure)
    assert (advice.action, advice.why) == (Action.BLOW_AGAIN, Why.SUSPECT)


def test_sealing_that_did_not_help_is_not_asked_for_again():
    closure, heard = on_a(30.0)
    sealed = dataclasses.replace(closure, id="A-sealed")
    again = [dataclasses.replace(o, closure=sealed, set_id="later", at_s=200.0) for o in heard]
    assert advice_on(known() + heard + again, sealed).action is not Action.SEAL_LEAK


def by_finger():
    """What a finger tells leaves a plug open to some 6 cents: a small leak cannot be seen in the note alone."""
    return [blow for letter in "AB" for blow in blows(letter, FINGER[letter], STEADY[:3])]


def covered(observations):
    return [dataclasses.replace(o, covered=True) for o in observations]


def test_small_surprise_asks_for_a_finger_over_the_plug_and_the_drop_names_the_leak():
    closure, heard = on_a(16.0, n=3)
    asked = advice_on(by_finger() + heard, closure)
    assert (asked.action, asked.why, asked.story) == (Action.BLOW_AGAIN, Why.SUSPECT, Story.LEAK)
    _, shut = on_a(0.0, n=2, seatings=1)
    told = advice_on(by_finger() + heard + covered(shut), closure)
    assert (told.action, told.story) == (Action.SEAL_LEAK, Story.LEAK)


def test_finger_over_the_plug_that_changes_nothing_clears_it():
    closure, heard = on_a(16.0, n=3)
    _, same = on_a(16.0, n=4, seatings=1)
    told = advice_on(by_finger() + heard + covered(same), closure)
    assert told.action is not Action.SEAL_LEAK
    assert told.why is not Why.SUSPECT


def test_check_that_was_begun_is_ended_whatever_else_the_note_may_be():
    before, after = plug("A", true_depth_mm("A") + 4.0, "long"), plug("A", true_depth_mm("A") + 0.5, "trimmed")
    first = sounding(blows("A", before, STEADY), 0.0, at_s=90.0)
    same = [dataclasses.replace(o, closure=after, set_id="later", at_s=100.0) for o in first]
    begun = covered([dataclasses.replace(same[0], at_s=101.0)])
    told = advice_on(known() + first + same + begun, after)
    assert (told.action, told.why, told.story) == (Action.BLOW_AGAIN, Why.SUSPECT, Story.LEAK)


def test_plug_that_sounds_as_a_slug_did_is_not_called_uncut():
    closure, heard = on_a(1.5 * 12.0)  # as a slug 2 mm deep would: 12.0 cents a millimetre by hand
    deep = slug("A", true_depth_mm("A") + 2.0)
    before = sounding(blows("A", deep, STEADY), 0.0, at_s=50.0)
    told = advice_on(known() + before + heard, closure)
    assert (told.action, told.story) == (Action.SEAL_LEAK, Story.LEAK)


def test_note_with_the_leak_shut_is_what_is_believed():
    closure, heard = on_a(40.0, n=3)
    _, shut = on_a(0.0, n=3, seatings=1)
    belief = fit(plan("AB"), known() + heard + covered(shut), Priors())
    believed = belief.predict(belief.plan.chambers[0], closure)
    without = believed.deviation_cents - belief.posterior.value(("fault", closure.id))
    assert without == pytest.approx(0.5 * 12.0, abs=3.0)  # half a millimetre deep, 12.0 cents a millimetre by hand


@settings(max_examples=25, deadline=None)
@given(st.floats(-60.0, -1.0))
def test_flat_reading_is_never_called_a_leak(cents):
    closure, heard = on_a(cents)
    assert advice_on(known() + heard, closure).story != Story.LEAK


@settings(max_examples=25, deadline=None)
@given(st.floats(-1500.0, 2200.0))
def test_chances_of_all_stories_together_are_one(cents):
    closure, heard = on_a(cents)
    belief = fit(plan("AB"), known() + heard, Priors())
    chances = story_chances(belief, belief.plan.chambers[0], closure, {"A": closure})
    assert sum(chances.values()) == pytest.approx(1.0)
    assert min(chances.values()) >= 0.0


def test_two_plugs_of_nearly_one_note_cannot_be_told_apart():
    a, b = plan("AB").chambers
    near = dataclasses.replace(plan("AB"), chambers=(a, dataclasses.replace(b, target_hz=a.target_hz * 1.003)))
    here, there = plug("A", true_depth_mm("A"), "here"), plug("B", true_depth_mm("A") + 0.4, "there")
    heard = blows("A", here, STEADY) + blows("B", there, STEADY)
    swapped = [dataclasses.replace(o, frequency_hz=heard[-1].frequency_hz, set_id="later")
               for o in blows("A", here, STEADY)]
    belief = fit(near, heard + swapped, Priors())
    told = advise(belief, Policy(), {"A": here, "B": there})[0]
    assert told.story != Story.WRONG_BORE


def test_twelfth_above_is_called_overblown():
    closure, heard = on_a(1920.0)
    advice = advice_on(known() + heard, closure)
    assert (advice.action, advice.story) == (Action.BLOW_AGAIN, Story.OVERBLOWN)


def test_about_an_octave_above_is_an_open_neighbour():
    closure, heard = on_a(1200.0)
    assert advice_on(known() + heard, closure).story == Story.OPEN_NEIGHBOUR


def test_note_of_the_other_plug_is_the_wrong_bore():
    here, there = plug("A", true_depth_mm("A") + 0.5), plug("B", true_depth_mm("B") + 0.5)
    other = sounding(blows("B", there, STEADY), 0.0, at_s=90.0)
    wrong = [dataclasses.replace(o, frequency_hz=other[0].frequency_hz, at_s=100.0) for o in blows("A", here, STEADY)]
    advice = advice_on(known() + other + wrong, here, {"A": here, "B": there})
    assert advice.story == Story.WRONG_BORE


def test_plug_that_sounds_as_before_the_cut_was_not_cut():
    before, after = plug("A", true_depth_mm("A") + 4.0, "long"), plug("A", true_depth_mm("A") + 0.5, "trimmed")
    first = sounding(blows("A", before, STEADY), 0.0, at_s=90.0)
    same = [dataclasses.replace(o, closure=after, set_id="later", at_s=100.0) for o in first]
    assert advice_on(known() + first + same, after).story == Story.NOT_CUT


def test_one_leaking_plug_does_not_move_the_other_chambers():
    closure, heard = on_a(40.0)
    clean, spoiled = fit(plan("AB"), known(), Priors()), fit(plan("AB"), known() + heard, Priors())
    moved_mm = spoiled.chambers[1].target_depth_mm - clean.chambers[1].target_depth_mm
    assert abs(moved_mm) < 0.1
