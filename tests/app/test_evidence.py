"""Which blows may teach the model, and which faces are in the bores: by hand-made records."""
from dataclasses import replace

import pytest

from acoustics.tuning import Stop
from app.evidence import evidence, former_observations, observations, owner_of, standing
from tests.app.journal_cases import blow, plug, step, voice, void


def taught_hz(records):
    return [seen.frequency_hz for seen in observations(records)]


def test_a_usable_blow_teaches_everything_that_was_kept_of_it():
    taken = blow("B", level_dbfs=-17.0, seating=2, at_s=33.0)
    seen, = observations((taken,))
    assert (seen.letter, seen.frequency_hz, seen.standard_error_cents) == ("B", 612.3, 0.7)
    assert (seen.set_id, seen.seating, seen.level_dbfs, seen.temperature_c, seen.at_s) == ("s/1", 2, -17.0, 19.5, 33.0)
    assert (seen.closure.id, seen.closure.stop, seen.closure.depth_mm) == ("B:finger:0", Stop.FINGER, 0.0)


@pytest.mark.parametrize(("facts", "breath_db"), [
    ({}, -27.0), ({"neighbours_shut": False}, None), ({"mouthpiece_on": False}, None),
], ids=["alone", "a neighbour open", "mouthpiece off"])
def test_breath_counts_only_of_a_chamber_that_sounded_alone(facts, breath_db):
    seen, = observations((blow(breath_db=-27.0, **facts),))
    assert seen.breath_db == breath_db


@pytest.mark.parametrize("facts", [
    {"usable": False, "frequency_hz": None}, {"warm_up": True}, {"closure_id": ""},
], ids=["not usable", "warm-up", "in doubt which face it was"])
def test_a_blow_that_does_not_count_teaches_nothing(facts):
    assert observations((blow(**facts),)) == ()


def test_a_change_of_voice_sets_aside_that_chambers_earlier_blows_only():
    earlier, other, later = blow("A", frequency_hz=600.0), blow("B", frequency_hz=700.0), blow("A", frequency_hz=610.0)
    assert taught_hz((earlier, other, voice("A"), later)) == [700.0, 610.0]


def test_a_change_of_voice_that_is_taken_back_gives_the_blows_back():
    earlier, changed, later = blow(frequency_hz=600.0), voice("A"), blow(frequency_hz=610.0)
    records = (earlier, changed, later, void(changed))
    assert taught_hz(records) == [600.0, 610.0]
    assert evidence(records).voicing_epochs == {}


def test_the_voicing_epoch_counts_the_changes_of_each_chamber():
    assert evidence((voice("A"), voice("A"), voice("C"))).voicing_epochs == {"A": 2, "C": 1}


def test_the_latest_plug_of_each_chamber_closes_it():
    first, trimmed, other = plug("A", 30.0), plug("A", 29.2), plug("B", 20.0)
    faces = evidence((first, other, trimmed)).closures
    assert (faces["A"].id, faces["A"].depth_mm) == (trimmed.id, 29.2)
    assert faces["B"].depth_mm == 20.0


def test_a_plug_taken_out_closes_nothing():
    assert evidence((plug("A"), plug("A", how="taken_out"))).closures == {}


def test_a_trim_that_is_taken_back_leaves_the_plug_before_it():
    first, trimmed = plug("A", 30.0), plug("A", 29.2)
    assert evidence((first, trimmed, void(trimmed))).closures["A"].id == first.id


def test_a_blow_on_a_face_that_was_taken_back_teaches_nothing():
    first, trimmed = plug("A", 30.0), plug("A", 29.2)
    on_first = blow(stop="plug", closure_id=first.id, depth_mm=30.0, frequency_hz=650.0)
    on_trimmed = blow(stop="plug", closure_id=trimmed.id, depth_mm=29.2, frequency_hz=640.0)
    records = (first, on_first, trimmed, on_trimmed, void(trimmed))
    assert taught_hz(records) == [650.0]
    assert taught_hz(standing(records)) == [650.0]  # the same when the tombstones were applied already


def test_a_tombstone_taken_back_brings_its_record_back():
    taken = blow()
    tombstone = void(taken)
    assert standing((taken, tombstone)) == ()
    assert standing((taken, tombstone, void(tombstone))) == (taken,)


def test_order_of_everything_else_changes_nothing():
    records = (blow("A", frequency_hz=600.0), step("Trim"), blow("B", frequency_hz=700.0), plug("B"))
    assert evidence(records).closures == evidence(records[::-1]).closures
    assert sorted(taught_hz(records)) == sorted(taught_hz(records[::-1]))


@pytest.mark.parametrize(("blowers", "own"), [
    (["", ""], [True, True]),
    (["Wren", "Wren"], [True, True]),
    (["", "Wren", ""], [True, False, True]),
    (["Wren", "Teal", " wren"], [True, False, True]),  # who blew first
    (["Wren", "", "Teal"], [False, True, False]),  # a name is for who is not the owner
])
def test_another_blower_than_the_owner_is_a_stranger(blowers, own):
    assert [seen.own_breath for seen in observations([blow(blower=blower) for blower in blowers])] == own


def test_a_stranger_is_one_also_by_the_voice_that_a_chamber_had_before():
    records = (blow(), blow(blower="Wren"), voice("A"), blow())
    assert [seen.own_breath for seen in former_observations(records)["A"]] == [True, False]


def test_a_blow_that_was_taken_back_makes_nobody_the_owner():
    taken = blow(blower="Wren")
    assert owner_of((taken, blow(blower="Teal"))) == "wren"
    assert owner_of((taken, blow(blower="Teal"), void(taken))) == "teal"
    assert owner_of(()) == ""


def test_the_records_are_left_as_they_are():
    records = (blow(), plug(), voice("B"))
    before = tuple(replace(record) for record in records)
    evidence(records)
    assert records == before


def test_one_clock_runs_over_all_sittings():
    first = [blow("A", sitting_id="s", set_id="s/1", at_s=at_s) for at_s in (10.0, 3000.0)]
    next_day = [blow("A", sitting_id="t", set_id="t/1", at_s=at_s) for at_s in (5.0, 20.0)]
    seen = observations((*first, *next_day))
    assert [each.at_s for each in seen] == [10.0, 3000.0, 6605.0, 6620.0]
