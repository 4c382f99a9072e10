"""How a chamber speaks, from invented blows with known traits.

The bounds themselves are common practice without a source; what is held here are the rules about them. Expected numbers
are derived by hand, but for the slope, which scipy's own Theil-Sen estimator works out beside ours.
"""
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from acoustics.heard import Finding, Verdict
from acoustics.level_slope import Group, level_slope
from acoustics.remedies import REMEDIES, WOOD_AFTER_BLOWS, Remedy, Symptom, remedies_for
from acoustics.speech import Expected, VoiceBlow
from acoustics.voicing import HISSY_DB, voice_of

GOOD = VoiceBlow("C", "C:finger:0", "s/1", "s/0", Verdict.STEADY, (), True, 700.0, -20.0, -30.0, 45.0)
OVERBLOWN = replace(GOOD, verdict=Verdict.OVERBLOWN, usable=False, frequency_hz=None, level_dbfs=-16.0)
SLOW = replace(GOOD, findings=(Finding.SLOW_TO_SPEAK,), attack_ms=210.0)
HISSY = replace(GOOD, breath_db=-10.0)
UNKNOWN = Expected()
PLUG = replace(GOOD, face_id="plug")


def voice(*blows, others=(), expected=UNKNOWN):
    return voice_of("C", blows[-1].face_id if blows else "", (*others, *blows), expected)


def symptoms(*blows, others=(), expected=UNKNOWN):
    return [found.symptom for found in voice(*blows, others=others, expected=expected).findings]


def chambers(**traits):
    """Three good blows of each of the other chambers."""
    return tuple(replace(GOOD, letter=letter, face_id=letter, **traits) for letter in "ABD" for _ in range(3))


def test_nothing_is_said_of_a_chamber_that_was_not_blown():
    said = voice()
    assert (said.n_blows, said.findings, said.speaks_well) == (0, (), False)


@pytest.mark.parametrize("bad", [OVERBLOWN, SLOW, HISSY], ids=["overblown", "slow", "hissy"])
def test_one_bad_blow_shows_nothing_and_two_do(bad):
    assert symptoms(bad) == []
    assert len(symptoms(bad, bad)) == 1


def test_three_good_blows_speak_well_and_two_do_not_yet():
    assert voice(GOOD, GOOD, GOOD).speaks_well
    assert not voice(GOOD, GOOD).speaks_well


def test_a_bad_blow_among_good_ones_holds_nothing_up():
    assert voice(OVERBLOWN, GOOD, GOOD, GOOD).speaks_well


def test_only_the_last_eight_blows_say_how_it_speaks_now():
    assert symptoms(*[SLOW] * 5, *[GOOD] * 4) == []
    assert symptoms(*[GOOD] * 4, *[SLOW] * 5) == [Symptom.SLOW]


def test_a_finding_bears_its_evidence():
    (found,) = voice(GOOD, SLOW, SLOW).findings
    assert (found.shown.n_showing, found.shown.n_blows, found.shown.attack_ms) == (2, 3, 210.0)


def test_blows_with_breath_and_no_note_are_no_sound():
    silent = replace(GOOD, verdict=Verdict.BREATHY, usable=False, frequency_hz=None, breath_db=None)
    assert symptoms(silent, silent)[0] is Symptom.SILENT


# ---- remedies ------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("symptom", list(Symptom))
@pytest.mark.parametrize("n_showing", range(1, 9))
def test_what_takes_wood_comes_after_all_else_and_never_stands_alone(symptom, n_showing):
    takes_wood = [remedy.takes_wood for remedy in remedies_for(symptom, n_showing)]
    assert takes_wood == sorted(takes_wood)
    assert takes_wood[0] is False


@pytest.mark.parametrize("symptom", list(Symptom))
def test_wood_is_not_named_before_three_blows_show_it(symptom):
    for n_showing in range(WOOD_AFTER_BLOWS):
        assert not any(remedy.takes_wood for remedy in remedies_for(symptom, n_showing))


def test_every_remedy_is_somebodys_and_every_symptom_has_some():
    assert set(REMEDIES) == set(Symptom)
    assert {remedy for remedies in REMEDIES.values() for remedy in remedies} == set(Remedy)


traits = st.builds(
    VoiceBlow, st.just("C"), st.sampled_from(["C:finger:0", "plug"]), st.sampled_from(["s/1", "s/2"]), st.just("s/0"),
    st.sampled_from(list(Verdict)), st.lists(st.sampled_from(list(Finding)), max_size=2, unique=True).map(tuple),
    st.booleans(), st.just(700.0) | st.none(), st.floats(-60.0, 0.0) | st.none(), st.floats(-60.0, 10.0) | st.none(),
    st.floats(0.0, 400.0) | st.none(), st.booleans(), st.booleans(),
)


@given(st.lists(traits, min_size=1, max_size=12), st.floats(-5.0, 9.0))
def test_whatever_was_blown_wood_is_last_and_evidence_counts(blows, surprise_sd):
    for found in voice(*blows, expected=Expected(surprise_sd)).findings:
        takes_wood = [remedy.takes_wood for remedy in found.remedies]
        assert takes_wood == sorted(takes_wood)
        assert not takes_wood[0]
        assert 2 <= found.shown.n_showing <= found.shown.n_blows


# ---- hiss ----------------------------------------------------------------------------------------------------------
@given(st.lists(st.tuples(st.floats(-40.0, 5.0), st.floats(0.0, 20.0)), min_size=2, max_size=8))
def test_more_hiss_never_removes_the_hissy_finding(breaths):
    before = [replace(GOOD, breath_db=breath_db) for breath_db, _ in breaths]
    after = [replace(GOOD, breath_db=breath_db + more_db) for breath_db, more_db in breaths]
    if Symptom.HISSY in symptoms(*before):
        assert Symptom.HISSY in symptoms(*after)


def test_hiss_is_told_from_its_bound_upwards():
    assert symptoms(*[replace(GOOD, breath_db=HISSY_DB - 0.1)] * 3) == []
    assert symptoms(*[replace(GOOD, breath_db=HISSY_DB + 0.1)] * 3) == [Symptom.HISSY]


def test_hiss_with_an_open_neighbour_is_nobodys():
    assert symptoms(*[replace(HISSY, neighbours_shut=False)] * 4) == []
    assert symptoms(*[replace(HISSY, verdict=Verdict.OPEN_NEIGHBOUR, usable=False)] * 4) == []


# ---- leaks ---------------------------------------------------------------------------------------------------------
LEAKING = replace(PLUG, breath_db=-20.0, level_dbfs=-27.0)  # 10 dB breathier and 7 dB weaker than by finger


def test_a_plug_that_made_it_sharp_weak_and_breathy_is_suspected():
    (found,) = voice(GOOD, GOOD, *[LEAKING] * 3, expected=Expected(3.5)).findings
    assert found.symptom is Symptom.LEAKS
    assert (found.shown.breath_apart_db, found.shown.level_apart_db, found.shown.surprise_sd) == (10.0, -7.0, 3.5)


@pytest.mark.parametrize("changed", [{"neighbours_shut": False}, {"mouthpiece_on": False}])
@given(surprise_sd=st.floats(0.0, 50.0))
def test_no_leak_is_suspected_with_a_neighbour_open_or_the_mouthpiece_off(changed, surprise_sd):
    blows = (GOOD, GOOD, *[replace(LEAKING, **changed)] * 5)
    assert Symptom.LEAKS not in symptoms(*blows, expected=Expected(surprise_sd))


def test_one_sign_alone_is_no_leak():
    assert symptoms(GOOD, GOOD, *[PLUG] * 3, expected=Expected(6.0)) == []
    assert symptoms(GOOD, GOOD, *[replace(PLUG, breath_db=-20.0)] * 3) == []


def test_a_leak_never_leads_to_wood():
    assert not any(remedy.takes_wood for remedy in REMEDIES[Symptom.LEAKS])


# ---- against the others --------------------------------------------------------------------------------------------
def test_one_chamber_much_weaker_than_the_others_is_told():
    (found,) = voice(*[GOOD] * 3, others=chambers(level_dbfs=-10.0)).findings
    assert (found.symptom, found.shown.level_apart_db) == (Symptom.WEAKER, -10.0)


def test_one_chamber_much_breathier_than_the_others_is_told():
    (found,) = voice(*[GOOD] * 3, others=chambers(breath_db=-41.0)).findings
    assert (found.symptom, found.shown.breath_apart_db) == (Symptom.BREATHIER, 11.0)


def test_levels_from_another_place_of_the_microphone_are_not_compared():
    assert symptoms(*[GOOD] * 3, others=chambers(level_dbfs=-5.0, place_id="s/1")) == []


def test_what_only_the_others_show_does_not_hold_the_walk_up():
    assert voice(*[GOOD] * 3, others=chambers(level_dbfs=-5.0)).speaks_well


# ---- breath: jump and slope ----------------------------------------------------------------------------------------
def test_margin_to_the_jump_is_softest_overblown_over_loudest_good_blow():
    louder = replace(GOOD, level_dbfs=-18.0)
    jump = voice(GOOD, GOOD, louder, OVERBLOWN, replace(OVERBLOWN, level_dbfs=-13.0)).jump
    assert (jump.n_overblown, jump.margin_db, jump.tried_db) == (2, 2.0, 2.0)


def test_without_a_jump_it_is_told_how_loud_was_tried():
    jump = voice(GOOD, GOOD, replace(GOOD, level_dbfs=-15.5)).jump
    assert (jump.n_overblown, jump.margin_db, jump.tried_db) == (0, None, 4.5)


def test_slope_alone_is_that_of_an_outside_estimator():
    rng = np.random.default_rng(4)
    levels = rng.uniform(-28.0, -18.0, 12)
    cents = 5.0 * levels + rng.normal(0.0, 2.0, 12)
    found = level_slope([Group(tuple(levels), tuple(cents))])
    assert found.heard_cents_per_db == pytest.approx(theilslopes(cents, levels).slope)


def test_slope_is_drawn_towards_what_is_usual_by_inverse_variance():
    found = level_slope([Group(tuple(range(-30, -20)), tuple(8.0 * x for x in range(10)))])
    weight, prior = found.standard_error_cents_per_db**-2, 2.0**-2
    assert found.slope_cents_per_db == pytest.approx((8.0 * weight + 4.0 * prior) / (weight + prior))
    assert 4.0 < found.slope_cents_per_db < found.heard_cents_per_db


@pytest.mark.parametrize("levels", [(-20.0, -19.0, -18.5, -20.0, -19.5), (-28.0, -18.0, -22.0)], ids=["alike", "few"])
def test_no_slope_is_said_of_blows_too_alike_or_too_few(levels):
    assert level_slope([Group(levels, tuple(5.0 * x for x in levels))]) is None


def test_one_wild_blow_does_not_tilt_the_slope():
    levels = tuple(np.linspace(-28.0, -18.0, 9))
    straight = [4.0 * x for x in levels]
    wild = [*straight[:-1], straight[-1] + 60.0]
    assert level_slope([Group(levels, tuple(wild))]).heard_cents_per_db == pytest.approx(4.0, abs=0.5)


def test_standard_error_holds_about_as_often_as_it_says():
    rng = np.random.default_rng(7)
    hits = []
    for _ in range(400):
        groups = []
        for _ in range(2):
            levels = rng.normal(-22.0, 2.5, 6)
            groups.append(Group(tuple(levels), tuple(5.0 * levels + rng.normal(0.0, 3.3) + rng.normal(0.0, 3.3, 6))))
        found = level_slope(groups)
        if found is not None:
            hits.append(abs(found.heard_cents_per_db - 5.0) < found.standard_error_cents_per_db)
    assert len(hits) > 300
    assert 0.6 < np.mean(hits) < 0.82  # 0.68 of a normal distribution; the scatter believed beforehand is wider here
