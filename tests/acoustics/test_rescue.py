"""Ways out for wood that cannot reach its note: amounts by hand, signs, and what must hold whatever was blown."""
import dataclasses
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from acoustics.errors import OutOfRangeError
from acoustics.rescue import depth_for, flat_plug, lower_chord, lowest_hz, playable_chords, semitones_about
from acoustics.tuning import Priors, fit
from acoustics.units import cents_between, shift_hz
from tests.acoustics.tuning_cases import FINGER, TARGETS_HZ, blows, note_hz, plan, plug, slug, true_depth_mm

STEADY = (-1.0, 1.0, 0.0, 0.5, -0.5, 0.0)


def on_plugs(off_mm, letters="AB"):
    """A belief in chambers whose plugs lie so far off, and those plugs."""
    closures = {letter: plug(letter, true_depth_mm(letter) + off_mm[letter]) for letter in letters}
    known = [blow for letter in letters for blow in blows(letter, slug(letter, true_depth_mm(letter)), STEADY)]
    heard = [blow for letter in letters for blow in blows(letter, closures[letter], STEADY * 2, seatings=6)]
    return fit(plan(letters), known + heard, Priors()), closures


def chamber_of(belief, letter):
    return next(chamber for chamber in belief.plan.chambers if chamber.letter == letter)


def test_flat_plug_comes_in_by_what_the_quarter_wave_says():
    belief, closures = on_plugs({"A": -1.0, "B": 0.0})
    rescue = flat_plug(belief, closures["A"], chamber_of(belief, "A"))
    # Derived by hand: the crude whistle is 1.0 mm too long; a millimetre of 144.7 is 1731 / 144.7 = 12.0 cents.
    assert rescue.deviation_cents == pytest.approx(-12.0, abs=1.5)
    assert rescue.push_in_mm == pytest.approx(1.0, abs=0.12)
    assert rescue.disc_mm == rescue.push_in_mm
    assert rescue.new_plug_mm == pytest.approx(closures["A"].depth_mm + rescue.push_in_mm)
    assert 0.0 < rescue.sd_mm < 0.3


def test_sharp_plug_needs_no_rescue():
    belief, closures = on_plugs({"A": 1.0, "B": 0.0})
    assert flat_plug(belief, closures["A"], chamber_of(belief, "A")) is None


def test_chord_comes_down_by_its_flattest_plug_and_no_further():
    belief, closures = on_plugs({"A": -1.0, "B": 0.5})
    shift = lower_chord(belief, closures)
    a, b = shift.chambers
    assert shift.shift_cents == pytest.approx(-12.0, abs=1.5)
    assert a.take_off_mm == 0.0
    # Derived by hand: B is 1731 / 114.9 = 15.1 cents a mm, so 0.5 mm and 12 cents more: 0.5 + 12.0 / 15.1 = 1.3 mm.
    assert b.take_off_mm == pytest.approx(1.3, abs=0.2)
    assert b.face_depth_mm == pytest.approx(closures["B"].depth_mm - b.take_off_mm)
    assert cents_between(b.target_hz, TARGETS_HZ["B"]) == pytest.approx(shift.shift_cents)


def test_spread_of_what_comes_off_leaves_out_what_both_plugs_have_in_common():
    belief, closures = on_plugs({"A": -1.0, "B": 0.5})
    shift = lower_chord(belief, closures)
    a, b = shift.chambers
    now = {letter: belief.predict(chamber_of(belief, letter), closures[letter]) for letter in "AB"}
    assert (a.take_off_sd_mm, shift.sd_cents) == (0.0, now["A"].sd_cents)
    unrelated_mm = math.hypot(now["A"].sd_cents, now["B"].sd_cents) / now["B"].per_depth_cents_per_mm
    assert 0.0 < b.take_off_sd_mm < unrelated_mm
    # A plug that no blow has told of: its own depth's spread is in it, whatever is common.
    loose = {**closures, "B": dataclasses.replace(closures["B"], id="unread", depth_sd_mm=0.6)}
    assert lower_chord(belief, loose).chambers[1].take_off_sd_mm > 0.6


def test_chord_without_a_flat_plug_stays_where_it_is():
    belief, closures = on_plugs({"A": 0.5, "B": 1.0})
    shift = lower_chord(belief, closures)
    assert shift.shift_cents == 0.0
    assert [chamber.take_off_mm == pytest.approx(off, abs=0.12)
            for chamber, off in zip(shift.chambers, (0.5, 1.0), strict=True)] == [True, True]


def test_margin_brings_the_chord_further_down():
    belief, closures = on_plugs({"A": -1.0, "B": 0.5})
    assert lower_chord(belief, closures, 2.0).shift_cents < lower_chord(belief, closures).shift_cents


def test_chord_that_would_leave_a_bore_without_a_plug_is_not_lowered():
    belief, closures = on_plugs({"A": -1.0, "B": 0.5})
    # The bare bore of the crude whistle speaks 538 Hz: nearly two semitones below the lowest target, and no more.
    low = dataclasses.replace(belief.plan.chambers[0], target_hz=note_hz(0.0) * 1.002)
    belief = dataclasses.replace(belief, plan=dataclasses.replace(belief.plan, chambers=(low, belief.plan.chambers[1])))
    flat = {"B": dataclasses.replace(closures["B"], depth_mm=closures["B"].depth_mm - 5.0)}
    assert lower_chord(belief, flat) is None


@settings(max_examples=15, deadline=None)
@given(st.floats(-4.0, 4.0), st.floats(-4.0, 4.0))
def test_lowered_chord_is_reached_by_trimming_alone(off_a_mm, off_b_mm):
    belief, closures = on_plugs({"A": off_a_mm, "B": off_b_mm})
    shift = lower_chord(belief, closures)
    assert shift.shift_cents <= 0.0
    for lowered in shift.chambers:
        assert lowered.take_off_mm >= 0.0
        aimed = dataclasses.replace(chamber_of(belief, lowered.letter), target_hz=lowered.target_hz)
        trimmed = dataclasses.replace(closures[lowered.letter], depth_mm=lowered.face_depth_mm)
        # The trimmed face bears the same id, so that what its blows taught of its depth goes with it.
        assert belief.predict(aimed, trimmed).deviation_cents == pytest.approx(0.0, abs=0.3)


def four_bores():
    return fit(plan(), [blow for letter in "ABCD" for blow in blows(letter, FINGER[letter])], Priors())


def test_lowest_note_of_a_bore_is_a_little_above_the_bare_one():
    belief = four_bores()
    chamber = belief.plan.chambers[0]
    bare_hz = note_hz(0.6)  # as it was blown, by finger
    assert 0.0 < cents_between(lowest_hz(belief, chamber, 0.0), bare_hz) + 15.0 < 30.0
    assert lowest_hz(belief, chamber, 2.0) > lowest_hz(belief, chamber, 0.0)


def test_roots_below_the_bare_bore_cannot_be_played_and_higher_ones_can():
    belief = four_bores()
    roots_hz = semitones_about(TARGETS_HZ["A"])
    found = playable_chords(belief, roots_hz)
    assert found
    assert min(playable.root_hz for playable in found) > note_hz(0.0)
    assert {len(playable.target_hz) for playable in found} == {4}
    assert all(playable.margin_sd >= 2.0 and playable.margin_mm > 0.0 for playable in found)
    assert [p.margin_sd for p in found] == sorted((p.margin_sd for p in found), reverse=True)


def test_higher_root_has_more_wood_to_spare():
    belief = four_bores()
    (low_mm, _), (high_mm, _) = (depth_for(belief, belief.plan.chambers[0], hz) for hz in (590.0, 650.0))
    assert high_mm > low_mm


def test_just_chords_are_those_with_whole_numbers():
    found = playable_chords(four_bores(), [shift_hz(TARGETS_HZ["A"], 200.0)], just=True)
    assert found
    assert all(playable.chord.just_ratio for playable in found)


def test_margin_beyond_sense_is_refused():
    with pytest.raises(OutOfRangeError, match="margin"):
        playable_chords(four_bores(), [600.0], margin_sd=-1.0)
