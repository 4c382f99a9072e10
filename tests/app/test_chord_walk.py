"""The walk to a plug for the chord and back, and on to the glue; any order of events. By a maker of numbers."""
from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.chamber import Status
from app.chord_stage import Word
from app.events import ChamberChosen, Key, Pressed, StageChosen, Task, Typed
from app.records import ChordTaken, PlugSet, StepTaken, Voided
from app.showing import view
from app.view import Stage
from tests.app.chord_cases import LETTERS, blown, off, opened, slid_records, trimmed_records
from tests.number_maker import Bench, NumberMaker


@pytest.fixture
def slid() -> tuple:
    return slid_records()


@pytest.fixture
def trimmed() -> tuple:
    return trimmed_records()


# ---- the walk goes back, and comes again ---------------------------------------------------------------------------
def test_a_plug_moved_for_the_chord_stands_and_the_chord_is_asked_for_again(slid):
    bench = blown(opened(slid), *2 * [off(D=12.0)])
    asked_mm = bench.state.request.depth_mm
    bench.toot()
    place = bench.state.place
    assert place.chambers["D"].face.depth_mm == asked_mm
    assert place.chambers["D"].status is Status.ON_NOTE
    assert (place.stage, bench.state.request.task, place.chord.blows) == (Stage.CHORD, Task.CHORD, ())
    blown(bench, off(), off())
    assert (bench.state.place.chord.word, bench.state.request.task) == (Word.MARK, Task.MARK)
    bench.toot()
    assert bench.state.place.chord.word is Word.GOOD
    assert view(bench.state).sentence[0] == "The chord is good: stop"
    assert Stage.CHORD in view(bench.state).stages_done


def test_a_length_typed_for_the_chord_is_the_face_and_the_chord_follows(trimmed):
    bench = blown(opened(trimmed), *2 * [off(D=12.0)])
    bench.post(Typed(bench.state.request.depth_mm - 0.1))
    plug = next(record for record in reversed(bench.journal) if isinstance(record, PlugSet))
    assert (plug.letter, plug.how, plug.said_by) == ("D", "trim", "typed")
    assert bench.state.request.task is Task.CHORD


def test_a_lowest_plug_moved_for_the_chord_takes_home_with_it(slid):
    bench = blown(opened(slid), *2 * [off(B=-9.0, C=-9.0, D=-9.0)])
    before_cents, move = bench.state.place.home_cents, bench.state.place.chord.move
    bench.toot()
    assert bench.state.place.home_cents == pytest.approx(before_cents + move.shift_cents)


def test_forgetting_takes_back_the_move_and_the_earlier_chords_count_again(slid):
    bench = blown(opened(slid), *2 * [off(D=12.0)])
    move = bench.state.place.chord.move
    bench.toot()
    bench.post(Pressed(Key.FORGET))
    assert bench.state.place.chord.move == move
    bench.post(Pressed(Key.FORGET))
    assert len(bench.state.place.chord.blows) == 1
    voided = {record.voids_id for record in bench.journal if isinstance(record, Voided)}
    assert {type(record) for record in bench.journal if record.id in voided} == {PlugSet, StepTaken, ChordTaken}


def test_a_walk_with_chords_replays_to_the_same_place_from_any_record_on(slid):
    bench, maker = opened(slid), NumberMaker(5)
    for letter, chamber in bench.state.place.chambers.items():
        maker.depth_mm[letter] = chamber.face.depth_mm
    maker.pulls_cents = {"B": 8.0, "C": -3.0, "D": 2.0}
    for _ in range(30):
        if bench.state.place.done:
            break
        bench.answer(maker)
        again = Bench.open(bench.journal).state
        assert replace(again.request, id=0) == replace(bench.state.request, id=0)
        assert again.place.chord == bench.state.place.chord
    assert bench.state.place.done
    assert any(isinstance(r, StepTaken) and r.text == "chord" for r in bench.journal), "a plug was moved for the chord"


def test_good_then_space_leads_to_the_glue_and_forgetting_leads_back(slid):
    bench = blown(opened(slid), off(), off())
    assert bench.state.place.done
    bench.post(Pressed(Key.DONE))
    assert bench.state.place.stage is Stage.GLUE
    bench.post(Pressed(Key.FORGET))
    assert (bench.state.place.stage, bench.state.place.chord.word) == (Stage.CHORD, Word.GOOD)


def test_next_leaves_the_chord_however_it_is(slid):
    bench = blown(opened(slid), *2 * [off(D=40.0)])
    bench.post(Pressed(Key.NEXT))
    assert bench.state.place.stage is Stage.GLUE


def test_a_plug_changed_after_the_glue_was_reached_wants_the_chord_again(slid):
    bench = blown(opened(slid), off(), off())
    bench.post(Pressed(Key.DONE))
    bench.post(ChamberChosen("D"))
    bench.post(Typed(bench.state.place.chamber.face.depth_mm + 0.2))
    assert not bench.state.place.chord.closed
    assert bench.state.place.chord.blows == ()


# ---- any order of events -------------------------------------------------------------------------------------------
chord_blows = st.tuples(*4 * [st.one_of(st.none(), st.floats(-60.0, 60.0))])
happenings = st.one_of(
    chord_blows, chord_blows, st.just("toot"), st.sampled_from([Pressed(key) for key in Key]),
    st.builds(Typed, st.floats(5.0, 120.0)), st.sampled_from([ChamberChosen(letter) for letter in "ABCD"]),
    st.sampled_from([StageChosen(stage) for stage in (Stage.CHORD, Stage.GLUE, Stage.TRIM)]), st.just("refused"),
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(happenings, max_size=14))
def test_no_order_of_chords_and_keys_loses_a_record_or_reaches_a_dead_end(slid, events):
    bench = opened(slid)
    for what in events:
        kept = list(bench.journal)
        if isinstance(what, tuple):
            bench.chord(off(**dict(zip(LETTERS, what, strict=True))))
        elif what == "toot":
            bench.toot()
        elif what == "refused":
            bench.refuse = "" if bench.refuse else "The disk is full."
        else:
            bench.post(what)
        assert bench.journal[: len(kept)] == kept
        assert list(bench.state.records) == bench.journal
        assert any(view(bench.state).sentence)
        again = Bench.open(bench.journal).state
        assert again.place.chord == bench.state.place.chord
        assert replace(again.request, id=0) == replace(bench.state.request, id=0)
    bench.refuse = ""
    for _ in range(60):
        if bench.state.place.stage is Stage.GLUE:
            break
        bench.post(Pressed(Key.NEXT))
    assert bench.state.place.stage is Stage.GLUE
