"""Where wood has run out: the ways out that are offered, what each costs, and the chord taken down by the walk itself.

Truth is the number maker's: lossless quarter waves, so that a length of air L sounds c / (4 L) and nothing else.
"""
from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from acoustics.tuning import Action
from app.cautions import DISC
from app.chamber import Status
from app.events import ChordLowered, Key, Pressed, Route, RouteChosen, Task
from app.place import HELD_BACK_CENTS
from app.records import BlowTaken, PlugSet, StepTaken, Voided
from app.rescue_words import bench_text, down_text, ways_json, ways_lines
from app.rescues import FlatWays, ShortWays, has_ways_out, ways_out
from app.showing import view
from app.whistle import to_plan
from tests.app.rescue_cases import flat_bench, short_bench, true_depth_mm
from tests.number_maker import WHISTLE, Bench

INTERVALS = ("major third", "fifth", "major sixth")


def ways_of(bench, letter=None, units="mm"):
    return ways_out(bench.state.place, bench.state.whistle, letter or bench.state.place.letter, units)


def planned_cents(maker):
    return {c.letter: 1200 * math.log2(maker.true_hz(c.letter) / c.target_hz) for c in WHISTLE.chambers}


# ---- a flat plug ---------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("letter", "short_mm"), [("A", 1.0), ("C", 1.2), ("B", 4.5)])
def test_flat_plug_is_brought_in_by_what_it_is_truly_short(letter, short_mm):
    bench, maker = flat_bench(letter, short_mm)
    ways = ways_of(bench)
    short_mm = true_depth_mm(bench, maker, letter) - maker.depth_mm[letter]  # for its interval to home
    assert ways.flat.push_in_mm == pytest.approx(short_mm, abs=3 * ways.flat.sd_mm)
    assert ways.flat.disc_mm == ways.flat.push_in_mm
    assert ways.flat.new_plug_mm == pytest.approx(true_depth_mm(bench, maker, letter), abs=3 * ways.flat.sd_mm)
    assert 0.0 < ways.flat.sd_mm < 0.3


@pytest.mark.parametrize(("letter", "short_mm"), [("A", 1.0), ("B", 4.5)])
def test_list_and_bench_name_one_figure_for_one_thing(letter, short_mm):
    bench, _ = flat_bench(letter, short_mm)
    asked_mm = bench.state.request.amount_mm
    assert f"Push it in by {asked_mm:.1f} mm" in " ".join(ways_lines(ways_of(bench), "mm"))
    assert f"{asked_mm:.1f} mm" in " ".join(view(bench.state).sentence)


def test_chord_comes_down_by_the_flat_plug_and_costs_the_others_what_geometry_says():
    bench, maker = flat_bench("C", 1.2)
    lowering = ways_of(bench).lowering
    length_mm = 140.0 - maker.depth_mm["C"] + maker.window_mm["C"]
    # by hand: a millimetre of a quarter wave of L mm is 1731 / L cents
    assert lowering.shift_cents == pytest.approx(-1.2 * 1731 / length_mm, abs=4.0)
    assert [each.letter for each in lowering.wood] == ["A", "B", "D"]
    assert lowering.uncut == ()
    down = 2 ** (lowering.lowered_cents / 1200)
    for each in lowering.wood:
        target_hz = WHISTLE.chamber(each.letter).target_hz * down
        there_mm = 140.0 + maker.window_mm[each.letter] - 343.4e3 / (4 * target_hz)
        assert each.take_off_mm == pytest.approx(maker.depth_mm[each.letter] - there_mm, abs=3 * each.sd_mm)


def test_disc_thinner_than_veneer_is_not_offered():
    bench, _ = flat_bench("C", 0.6)
    ways = ways_of(bench)
    thin = replace(ways, has_disc=False)
    assert ways.has_disc == (ways.flat.disc_mm >= 0.5)
    assert not any("disc" in line for line in ways_lines(thin, "mm"))
    assert ways_json(thin)["disc_mm"] is None


def test_plug_with_no_room_behind_it_can_only_be_met_by_the_chord():
    bench, _ = flat_bench("C", 1.2)
    place = bench.state.place
    # The face of C may lie at 125 mm of its bore of 140 at the most: shorten the bore's plan until it may not come in.
    plan = place.belief.plan
    tight = tuple(replace(c, bore_length_mm=86.0) if c.letter == "C" else c for c in plan.chambers)
    place = replace(place, belief=replace(place.belief, plan=replace(plan, chambers=tight)))
    ways = ways_out(place, WHISTLE, "C")
    assert ways is None or ways.flat is None


def test_sliding_plug_has_no_rescue_for_it_is_pushed_in():
    bench, maker = flat_bench("A", 2.0)
    assert ways_of(bench) is not None
    bench.post(RouteChosen(Route.SLIDE))
    while bench.state.request.task is not Task.SLIDE:
        bench.answer(maker)
    assert bench.state.place.advice["A"].action is Action.PUSH_IN
    assert ways_of(bench) is None
    assert "key O" not in view(bench.state).why


@pytest.mark.parametrize("letter", ["A", "C", "D"])
def test_plug_that_is_not_flat_has_nothing_to_be_rescued_from(letter):
    bench, _ = flat_bench("B", 1.0)
    assert not has_ways_out(bench.state.place, letter, "mm")
    assert ways_of(bench, letter) is None


def test_glued_plug_keeps_the_chord_where_it_is_and_has_no_ways_itself():
    bench, _ = flat_bench("C", 1.2)
    chambers = bench.state.place.chambers
    place = replace(bench.state.place, chambers={**chambers, "A": replace(chambers["A"], glued=True)})
    assert ways_out(place, WHISTLE, "C").lowering is None
    place = replace(place, chambers={**chambers, "C": replace(chambers["C"], glued=True)})
    assert ways_out(place, WHISTLE, "C") is None


# ---- the chord taken down ------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("letter", "short_mm"), [("A", 1.0), ("C", 1.2), ("B", 4.5)])
def test_chord_taken_down_is_reached_by_trimming_alone_and_keeps_its_intervals(letter, short_mm):
    bench, maker = flat_bench(letter, short_mm)
    lowering = ways_of(bench).lowering
    n_before = len(bench.journal)
    bench.post(ChordLowered(lowering.lowered_cents))
    bench.walk(maker)
    since = [r for r in bench.journal[n_before:] if isinstance(r, PlugSet) and r.stop == "plug"]
    assert {r.how for r in since} <= {"cut", "trim"}
    assert letter not in {r.letter for r in since}
    cents = planned_cents(maker)
    for each in cents:  # blows scatter by 1 cent here, plugs land within 0.02 mm; some wood waits for the chord
        assert -6.0 <= cents[each] - lowering.lowered_cents <= 7.0 + HELD_BACK_CENTS


def test_every_target_moves_and_no_plug_stands_on_its_note_any_more():
    bench, _ = flat_bench("C", 1.2)
    assert bench.state.place.chambers["A"].status is Status.ON_NOTE
    bench.post(ChordLowered(-25.0))
    place = bench.state.place
    assert (place.lowered_cents, place.home_cents) == (-25.0, None)
    # by hand: 698.46 / 2^(25/1200) is 688.45
    assert place.plan.chambers[0].target_hz == pytest.approx(688.447, abs=0.01)
    ratios = {now.target_hz / was.target_hz for now, was in zip(place.plan.chambers, to_plan(WHISTLE).chambers,
                                                                strict=True)}
    assert max(ratios) - min(ratios) < 1e-12
    assert place.chambers["A"].status is Status.TO_TRIM
    assert "chord 25 cents down" in view(bench.state).conditions


def test_taken_down_from_home_the_flat_plug_is_on_its_note_exactly():
    bench, _ = flat_bench("C", 1.2)
    bench.post(ChordLowered(ways_of(bench).lowering.lowered_cents))
    assert bench.state.place.advice["C"].deviation_cents == pytest.approx(0.0, abs=0.05)


def test_flat_lowest_plug_is_accepted_at_once_and_the_chord_taken_back_by_one_key():
    bench, _ = flat_bench("A", 1.0)
    asked, n_before = bench.state.request, len(bench.journal)
    bench.post(ChordLowered(ways_of(bench).lowering.lowered_cents))
    assert [r.step for r in bench.journal[n_before:]] == ["chord_lowered", "accepted"]
    assert bench.state.place.chambers["A"].status is Status.ON_NOTE
    bench.post(Pressed(Key.FORGET))
    assert [type(r) for r in bench.journal[-2:]] == [Voided, Voided]
    assert (bench.state.place.lowered_cents, bench.state.place.home_cents) == (0.0, None)
    assert (bench.state.request.task, bench.state.request.amount_mm) == (asked.task, asked.amount_mm)


def test_undone_the_plugs_that_stood_on_their_notes_do_so_again():
    bench, _ = flat_bench("C", 1.2)
    before = bench.state.place
    bench.post(ChordLowered(-25.0))
    bench.post(Pressed(Key.FORGET))
    after = bench.state.place
    assert {x: c.status for x, c in after.chambers.items()} == {x: c.status for x, c in before.chambers.items()}
    assert after.plan == before.plan


def test_it_outlives_the_night_and_ends_where_the_notes_are_planned_anew():
    bench, _ = flat_bench("C", 1.2)
    bench.post(ChordLowered(-25.0))
    again = Bench.open(bench.journal, sitting="s2")
    assert again.state.place.lowered_cents == -25.0
    higher = replace(WHISTLE, chambers=tuple(replace(c, target_hz=c.target_hz * 1.1) for c in WHISTLE.chambers))
    assert Bench.open(bench.journal, higher, sitting="s3").state.place.lowered_cents == 0.0
    renamed = replace(WHISTLE, wood="maple")
    assert Bench.open(bench.journal, renamed, sitting="s4").state.place.lowered_cents == -25.0


def test_second_step_down_counts_from_the_planned_notes_too():
    bench, maker = flat_bench("C", 1.2)
    bench.post(ChordLowered(-25.0))
    bench.post(ChordLowered(-40.0))
    assert bench.state.place.lowered_cents == -40.0
    bench.walk(maker)
    assert max(planned_cents(maker).values()) < -25.0


# ---- words on the bench --------------------------------------------------------------------------------------------
def test_bench_says_in_one_sentence_that_there_are_other_ways_and_names_the_key():
    bench, _ = flat_bench("A", 1.0)
    shown = view(bench.state)
    assert bench.state.request.task is Task.SLIDE
    assert re.search(r"Or a disc, a new plug, or the whole chord 1[0-9] cents down: key O\.", shown.why)
    assert shown.keys.endswith("O: other ways out")
    assert "Fill behind it so that it stays." in shown.asides
    assert not any("where the tail leaves" in line for line in shown.asides)


def test_where_the_disc_is_asked_for_it_is_not_named_twice():
    bench, _ = flat_bench("B", 4.5)
    assert bench.state.request.task is Task.REPAIR
    assert "Or a new plug, or the whole chord" in view(bench.state).why
    assert view(bench.state).caution is DISC, "it is sawn and glued, not greased"


def test_where_nothing_is_flat_neither_key_nor_sentence_is_shown():
    bench = Bench.open()
    assert "O:" not in view(bench.state).keys
    assert "key O" not in view(bench.state).why


def test_no_figure_is_closer_than_it_is_known():
    bench, _ = flat_bench("B", 4.5)
    ways = ways_of(bench)
    loose = replace(ways, flat=replace(ways.flat, sd_mm=0.8))
    # by hand: half millimetres below 2, and the spread rounded up to the next half
    assert "about 4.5 mm short, two times in three within 1.0 mm" in ways_lines(loose, "mm")[0]
    assert "about 5.0 mm short" in ways_lines(replace(ways, flat=replace(ways.flat, sd_mm=2.4)), "mm")[0]


@pytest.mark.parametrize("units", ["mm", "inch", "both"])
def test_amounts_are_in_the_makers_own_unit(units):
    bench, _ = flat_bench("C", 1.2)
    text = " ".join(ways_lines(ways_of(bench, units=units), units))
    assert (" mm" in text) == (units != "inch")
    assert " 0 in" not in text


@pytest.mark.parametrize("letter", ["A", "C"])
def test_flat_is_never_a_facet_and_low_pitch_in_one_sentence_and_nothing_is_safe(letter):
    bench, _ = flat_bench(letter, 1.2)
    for line in (*ways_lines(ways_of(bench), "mm"), bench_text(ways_of(bench), False)):
        assert "flat" not in line
        assert "safe" not in line


def test_down_is_said_in_whole_cents():
    assert (down_text(-12.4), down_text(-1.2), down_text(-0.2)) == (
        "chord 12 cents down", "chord 1 cent down", "chord 1 cent down")


# ---- a bore too short ----------------------------------------------------------------------------------------------
@pytest.fixture(scope="module")
def short():
    return short_bench()


def test_bore_too_short_names_the_lowest_note_it_truly_has(short):
    bench, maker = short
    assert (bench.state.request.task, bench.state.request.text) == (Task.NOTHING, Action.BORE_TOO_SHORT)
    ways = ways_of(bench)
    bare_hz = 343.4e3 / (4 * (100.0 + maker.window_mm["A"]))
    assert isinstance(ways, ShortWays)
    assert 0.0 < 1200 * math.log2(ways.lowest_hz / bare_hz) < 60.0  # a little plug is left in it


def test_chords_offered_are_the_wished_one_first_and_all_within_the_bores(short):
    bench, maker = short
    chords = ways_of(bench).chords
    assert [each.as_wished for each in chords] == sorted((each.as_wished for each in chords), reverse=True)
    assert chords[0].name == "major sixth"
    assert chords[0].intervals == ", ".join(INTERVALS)
    # by hand: the bare bore speaks about F♯5, so G5 is the nearest root that leaves a plug in it
    assert chords[0].notes == ("G5", "B5", "D6", "E6")
    for each in chords:
        for letter, hz in zip("ABCD", each.target_hz, strict=True):
            assert hz > 343.4e3 / (4 * (100.0 + maker.window_mm[letter]))
    assert len({each.name for each in chords if not each.as_wished}) == sum(not each.as_wished for each in chords)


def test_notes_of_the_makers_own_keep_their_very_intervals(short):
    bench, _ = short
    own = tuple(replace(c, target_hz=c.target_hz * 2 ** (cents / 1200), note="") for c, cents in zip(
        bench.state.whistle.chambers, (0.0, 43.0, 0.0, -38.0), strict=True))
    ways = ways_out(bench.state.place, replace(bench.state.whistle, chambers=own), "A")
    wished = [each for each in ways.chords if each.as_wished]
    assert wished
    assert {each.name for each in wished} == {""}
    for each in wished:
        for hz, chamber in zip(each.target_hz, own, strict=True):
            assert hz / each.target_hz[0] == pytest.approx(chamber.target_hz / own[0].target_hz)
    assert any(line.startswith("The same intervals, on") for line in ways_lines(ways, "mm"))


def test_bench_names_the_key_and_the_list_how_to_take_one(short):
    bench, _ = short
    shown = view(bench.state)
    assert "Key O: what this wood can still play." in shown.why
    assert shown.keys.endswith("O: other ways out")
    lines = ways_lines(ways_of(bench), "mm")
    assert "it reaches down to G5 −" in lines[0] or "it reaches down to F♯5" in lines[0]
    assert "lay this whistle out anew" in lines[-1]


def test_where_no_chord_is_left_the_list_says_so(short):
    bench, _ = short
    assert "a new body" in ways_lines(replace(ways_of(bench), chords=()), "mm")[-1]


# ---- for other programs --------------------------------------------------------------------------------------------
def test_json_has_plain_suffixed_keys(short):
    bench, _ = flat_bench("C", 1.2)
    told = ways_json(ways_of(bench))
    assert set(told) == {"push_in_mm", "disc_mm", "new_plug_length_mm", "uncertainty_mm", "lower_chord"}
    assert [set(each) for each in told["lower_chord"]["trims"]] == [{"name", "take_off_mm", "uncertainty_mm"}] * 3
    told = ways_json(ways_of(short[0]))
    assert set(told) == {"bore_lowest_hz", "can_play"}
    assert set(told["can_play"][0]) == {"chord", "as_wished", "intervals", "notes", "target_hz", "margin_mm"}
    assert ways_json(None) is None


def test_the_step_says_for_which_notes_it_counts():
    bench, _ = flat_bench("A", 1.0)
    bench.post(ChordLowered(-12.3456))
    step = next(r for r in bench.journal if isinstance(r, StepTaken) and r.step == "chord_lowered")
    assert (step.letter, step.text, step.value) == (None, "698.46,880,1046.5,1174.66", -12.346)
    assert any(isinstance(r, BlowTaken) for r in bench.journal)
    assert isinstance(ways_of(flat_bench("A", 1.0)[0]), FlatWays)
