"""The joint fit: what it must keep whatever the blows are."""
import dataclasses
import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from acoustics.errors import OutOfRangeError
from acoustics.problem import pooled_blow_sd_cents
from acoustics.tuning import Observation, Priors, fit
from acoustics.units import inch_to_mm, mm_to_inch
from tests.acoustics.tuning_cases import BORE_MM, FINGER, TARGETS_HZ, blows, plan, plug, shifted, slug, true_depth_mm

# Scatter held fixed and blows taken as normal, so that more blows cannot look worse than fewer.
FIXED = dataclasses.replace(Priors(), blow_sd_weight=1e12, blow_t_dof=math.inf)
OFFSETS_CENTS = st.lists(st.floats(-6.0, 6.0), min_size=1, max_size=8)


def two_chambers():
    return blows("A", FINGER["A"]) + blows("A", slug("A", 12.0)) + blows("B", FINGER["B"])


def test_without_blows_the_prior_is_returned_with_its_own_spread():
    belief = fit(plan(), [], Priors())
    for chamber in belief.chambers:
        # Derived by hand: 2.3 * 6.35^2 / sqrt(60) = 11.97 mm; 18 %, 8 % and 0.3 mm of 11.97 mm together, 20 %.
        assert chamber.window_mm == pytest.approx(11.97, abs=0.01)
        assert chamber.window_sd_mm == pytest.approx(11.97 * math.hypot(0.18, 0.08, 0.3 / 11.97), rel=0.02)
        assert chamber.n_blows == 0


def test_one_slug_near_its_place_finds_the_plug_within_its_own_error():
    near_mm = true_depth_mm("A") - 0.5
    chamber = fit(plan("A"), blows("A", slug("A", near_mm)), Priors()).chambers[0]
    assert chamber.target_depth_mm == pytest.approx(true_depth_mm("A"), abs=0.3)
    assert chamber.target_depth_sd_mm < 0.3


def test_sharper_reading_asks_for_a_shorter_plug():
    flat, sharp = (
        fit(plan("A"), blows("A", slug("A", 12.0), cents=(off, off)), Priors()).chambers[0].target_depth_mm
        for off in (-10.0, 10.0)
    )
    assert sharp < flat


def test_one_chamber_teaches_the_others_about_window_and_finger():
    before = fit(plan(), blows("B", FINGER["B"]), Priors()).chambers[1]
    after = fit(plan(), blows("B", FINGER["B"]) + blows("A", slug("A", 12.0)) + blows("A", FINGER["A"]), Priors())
    assert after.chambers[1].target_depth_sd_mm < before.target_depth_sd_mm
    assert after.chambers[3].window_sd_mm < fit(plan(), [], Priors()).chambers[3].window_sd_mm


@settings(deadline=None)
@given(st.randoms(use_true_random=False))
def test_order_of_the_blows_does_not_matter(shuffler: random.Random):
    observations = two_chambers()
    shuffled = list(observations)
    shuffler.shuffle(shuffled)
    one, other = fit(plan(), observations, Priors()), fit(plan(), shuffled, Priors())
    for here, there in zip(one.chambers, other.chambers, strict=True):
        assert here.target_depth_mm == pytest.approx(there.target_depth_mm, abs=1e-6)
        assert here.target_depth_sd_mm == pytest.approx(there.target_depth_sd_mm, abs=1e-6)


def test_names_of_chambers_sets_and_closures_do_not_matter():
    one = fit(plan(), two_chambers(), Priors())
    swap = {"A": "C", "B": "D"}
    renamed_plan = plan()
    renamed_plan = dataclasses.replace(renamed_plan, chambers=tuple(
        dataclasses.replace(c, letter=swap.get(c.letter, c.letter + "x")) for c in renamed_plan.chambers))
    renamed = [
        dataclasses.replace(o, letter=swap[o.letter], set_id="new " + o.set_id,
                            closure=dataclasses.replace(o.closure, id="other " + o.closure.id))
        for o in two_chambers()
    ]
    other = fit(renamed_plan, renamed, Priors())
    for here, there in zip(one.chambers, other.chambers, strict=True):
        assert here.target_depth_mm == pytest.approx(there.target_depth_mm, abs=1e-9)


def test_order_of_the_chambers_in_the_plan_does_not_matter():
    turned = dataclasses.replace(plan(), chambers=tuple(reversed(plan().chambers)))
    here, there = fit(plan(), two_chambers(), Priors()), fit(turned, two_chambers(), Priors())
    for one, other in zip(here.chambers, reversed(there.chambers), strict=True):
        assert one.letter == other.letter
        assert one.target_depth_mm == pytest.approx(other.target_depth_mm, abs=1e-6)


def test_lengths_taken_in_inches_say_the_same():
    inch = dataclasses.replace(plan(), chambers=tuple(
        dataclasses.replace(c, bore_length_mm=inch_to_mm(mm_to_inch(c.bore_length_mm)),
                            bore_mm=inch_to_mm(mm_to_inch(c.bore_mm))) for c in plan().chambers))
    one, other = fit(plan(), two_chambers(), Priors()), fit(inch, two_chambers(), Priors())
    assert one.chambers[0].target_depth_mm == pytest.approx(other.chambers[0].target_depth_mm, abs=1e-6)


@settings(deadline=None, max_examples=30)
@given(st.floats(-40.0, 40.0), st.floats(0.5, 20.0), st.sampled_from(["finger", "slug"]))
def test_whatever_was_heard_a_sharper_reading_asks_for_less_plug(off_cents, more_cents, kind):
    closure = FINGER["A"] if kind == "finger" else slug("A", 18.0)
    lower, higher = (
        fit(plan("A"), blows("A", closure, cents=(off, off, off)), FIXED).chambers[0].target_depth_mm
        for off in (off_cents, off_cents + more_cents)
    )
    assert higher < lower


@settings(deadline=None, max_examples=30)
@given(st.floats(5.0, 40.0), st.floats(0.1, 10.0))
def test_deeper_face_is_foretold_sharper(depth_mm, deeper_mm):
    belief = fit(plan("A"), two_chambers()[:8], Priors())
    here, there = (belief.predict(belief.plan.chambers[0], plug("A", mm, f"new-{mm}"))
                   for mm in (depth_mm, depth_mm + deeper_mm))
    assert there.deviation_cents > here.deviation_cents


@settings(deadline=None, max_examples=30)
@given(OFFSETS_CENTS, st.integers(1, 4))
def test_more_blows_never_widen_what_is_foretold_of_a_plug(offsets_cents, n_seatings):
    closure = plug("B", true_depth_mm("B"))
    known = two_chambers() + blows("B", closure, (0.0, 1.0))
    more = known + blows("B", closure, tuple(offsets_cents), set_id="later", seatings=n_seatings)
    before, after = (fit(plan(), blown, FIXED) for blown in (known, more))
    chamber = before.plan.chambers[1]
    assert after.predict(chamber, closure).sd_cents <= before.predict(chamber, closure).sd_cents * 1.01


@settings(deadline=None)
@given(OFFSETS_CENTS)
def test_more_blows_never_widen_the_belief_when_scatter_is_fixed(offsets_cents):
    known = two_chambers()
    more = known + blows("B", slug("B", 30.0), cents=tuple(offsets_cents))
    before, after = fit(plan(), known, FIXED), fit(plan(), more, FIXED)
    for earlier, later in zip(before.chambers, after.chambers, strict=True):
        # 1 %: the slopes are taken where the solution lies, and it moves with the blows.
        assert later.window_sd_mm / later.window_mm <= earlier.window_sd_mm / earlier.window_mm * 1.01


def test_one_wrong_note_among_right_ones_is_not_believed():
    right = two_chambers()
    wrong = dataclasses.replace(right[5], frequency_hz=shifted(right[5].frequency_hz, 1902.0))
    clean, spoiled = fit(plan(), right, Priors()), fit(plan(), [*right, wrong], Priors())
    assert spoiled.chambers[0].target_depth_mm == pytest.approx(clean.chambers[0].target_depth_mm, abs=0.1)
    reading = spoiled.readings[wrong.closure.id]
    assert reading.n_believed == len(reading.deviations_cents) - 1


def test_scatter_is_pooled_from_within_the_seatings_only_and_shrunk():
    # Derived by hand: deviations from the median -3, 0, 0, 3; squares 18; (8 * 3.8^2 + 18) / (8 + 3) = 12.138.
    same = [Observation("A", plug("A", 20.0), "s", 0, shifted(600.0, off), 0.2) for off in (-3.0, 0.0, 0.0, 3.0)]
    apart = [dataclasses.replace(same[0], seating=1, frequency_hz=700.0)]
    assert pooled_blow_sd_cents(same + apart, Priors()) == pytest.approx(math.sqrt(133.52 / 11.0))


def test_steady_maker_is_believed_more_than_an_unsteady_one():
    def sd_mm(size_cents):
        offsets = tuple(size_cents * x for x in (-1.0, 1.0, -0.5, 0.5, 0.0, 1.0, -1.0))
        return fit(plan("A"), blows("A", slug("A", 12.0), cents=offsets), Priors()).chambers[0].target_depth_sd_mm

    assert sd_mm(1.0) < sd_mm(8.0)


def test_harder_blows_are_brought_back_to_the_usual_level():
    # 4 c/dB expected of breath: blows that are 2 dB louder and 8 c sharper say the same as the quieter ones.
    closure = slug("A", 12.0)
    quiet = [dataclasses.replace(o, level_dbfs=-22.0) for o in blows("A", closure, (0.0, 0.0), seatings=1)]
    loud = [dataclasses.replace(o, level_dbfs=-20.0) for o in blows("A", closure, (8.0, 8.0), seatings=1)]
    deaf = [dataclasses.replace(o, level_dbfs=None) for o in quiet + loud]
    with_level, without = (fit(plan("A"), o, FIXED).posterior for o in (quiet + loud, deaf))
    assert with_level.value(("level", "")) == pytest.approx(0.0, abs=0.1)
    assert without.value(("level", "")) == 0.0


@pytest.mark.parametrize("absurd_hz", [1e-3, 1.0, 1e5, math.inf, math.nan, -5.0, 0.0])
def test_absurd_readings_still_give_a_finite_belief(absurd_hz):
    blow = Observation("A", plug("A", 500.0), "s", 0, absurd_hz, math.nan)
    belief = fit(plan(), [blow, blow, *two_chambers()], Priors())
    for chamber in belief.chambers:
        assert math.isfinite(chamber.window_mm)
        assert math.isfinite(chamber.target_depth_sd_mm)
    assert np.all(np.isfinite(belief.posterior.covariance))


def test_blows_of_a_chamber_that_is_not_in_the_plan_are_left_out():
    belief = fit(plan("A"), two_chambers(), Priors())
    assert [chamber.letter for chamber in belief.chambers] == ["A"]
    assert belief.chambers[0].n_blows == 8


def test_another_blowers_breath_teaches_less_than_the_owners():
    own = blows("A", slug("A", 12.0))
    other = [dataclasses.replace(o, own_breath=False) for o in own]
    assert (fit(plan("A"), own, Priors()).chambers[0].target_depth_sd_mm
            < fit(plan("A"), other, Priors()).chambers[0].target_depth_sd_mm)


def test_warmer_room_explains_a_sharper_reading():
    cold, warm = (
        fit(plan("A"), [dataclasses.replace(o, temperature_c=t) for o in blows("A", slug("A", 12.0))], Priors())
        for t in (20.0, 25.0)
    )
    assert warm.chambers[0].target_depth_mm > cold.chambers[0].target_depth_mm


def test_plan_in_inches_is_refused():
    crooked = dataclasses.replace(plan("A").chambers[0], bore_mm=BORE_MM / 25.4)
    with pytest.raises(OutOfRangeError, match="inches"):
        fit(dataclasses.replace(plan(), chambers=(crooked,)), [], Priors())


def test_target_below_the_bare_bore_has_no_depth():
    deep = dataclasses.replace(plan("A").chambers[0], target_hz=400.0)
    belief = fit(dataclasses.replace(plan(), chambers=(deep,)), blows("A", FINGER["A"]), Priors())
    assert belief.chambers[0].target_depth_mm is None
    assert TARGETS_HZ["A"] > 400.0
