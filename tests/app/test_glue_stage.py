"""The glue: its kinds and their rule, its clock and its records, by a maker of numbers.

Facts of the trade (open ten minutes, a day to cure, two plugs at a time) are common practice, no source. Expected
values are derived by hand unless a source is named. What it moved is tested in test_glue_moved, what the
same stage hears in test_glue_heard.
"""
from __future__ import annotations

import math
from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.chamber import Status
from app.chord_stage import Word as Chorded
from app.events import (
    ChamberChosen,
    GlueChosen,
    GlueKind,
    Key,
    Pressed,
    StageChosen,
    Task,
    Typed,
)
from app.evidence import observations
from app.glue_stage import Word
from app.moments import moment_text
from app.paper.past import day_text, past_of
from app.records import BlowTaken, ChordTaken, StepTaken
from app.showing import view
from app.view import Stage
from app.workflow import Sitting, begin
from tests.app.chord_cases import LETTERS, off
from tests.app.glue_cases import (
    DAY_ONE,
    LIPS,
    as_before,
    at_glue,
    chords,
    dry_records,
    glued,
    later,
    next_day,
    pass_time,
)
from tests.number_maker import WHISTLE, Bench, chord_of


@pytest.fixture
def dry() -> tuple:
    return dry_records()


# ---- which glue, and its rule --------------------------------------------------------------------------------------
def test_after_the_dry_chord_the_glue_is_asked_for_and_nothing_is_glued_before_it_is_told(dry):
    bench = at_glue(dry)
    assert (bench.state.place.stage, bench.state.place.glue.word) == (Stage.GLUE, Word.WHICH)
    bench.post(Pressed(Key.DONE))
    assert bench.state.trouble == "which_glue"
    assert view(bench.state).sentence[0] == "Which glue: W water"


def test_with_water_based_glue_two_plugs_go_in_and_each_is_blown_once_before_the_next_pair(dry):
    bench, asked = at_glue(dry, GlueKind.WATER), []
    while bench.state.place.glue.word in (Word.SET, Word.OPEN_BLOW):
        glue = bench.state.place.glue
        asked.append((glue.word, glue.letter))
        if glue.word is Word.SET:
            bench.toot()
        else:
            bench.blow(as_before(bench, glue.letter))
    s, o = Word.SET, Word.OPEN_BLOW
    assert asked == [(s, "A"), (s, "B"), (o, "A"), (o, "B"), (s, "C"), (s, "D"), (o, "C"), (o, "D")]
    assert {chamber.status for chamber in bench.state.place.chambers.values()} == {Status.GLUED}
    assert bench.state.place.finished


@pytest.mark.parametrize("kind", [GlueKind.INSTANT, GlueKind.EPOXY])
def test_near_uncured_glue_no_lips_are_asked_for_and_none_are_understood(dry, kind):
    bench = at_glue(dry, kind)
    for _ in range(60):
        assert bench.state.request.task not in LIPS
        kept = list(bench.journal)
        bench.toot()
        assert (bench.state.trouble, bench.journal) == ("lips_off", kept)
        bench.blow(880.0)
        assert (bench.state.trouble, bench.journal) == ("lips_off", kept)
        if bench.state.place.glue.word is Word.CURED:
            break
        bench.post(Pressed(Key.NEXT))
        bench.post(Pressed(Key.DONE))
        pass_time(bench, timedelta(minutes=45))
    hours = (datetime.fromisoformat(bench.now_utc) - datetime.fromisoformat(DAY_ONE)).total_seconds() / 3600
    assert hours >= 24
    bench.post(Pressed(Key.DONE))
    assert bench.state.request.task is Task.CHORD


def test_told_to_be_cured_before_its_day_is_over_the_glue_is_not_believed(dry):
    bench = glued(dry, GlueKind.INSTANT)
    bench.post(Pressed(Key.DONE))
    assert (bench.state.trouble, bench.state.place.glue.word) == ("not_cured", Word.CURING)


def test_another_glue_chosen_half_way_does_not_bring_lips_to_the_plug_that_is_wet(dry):
    bench = at_glue(dry, GlueKind.INSTANT)
    bench.post(Pressed(Key.DONE))
    bench.post(GlueChosen(GlueKind.WATER))
    for _ in range(3):
        assert bench.state.request.task is Task.GLUE
        bench.post(Pressed(Key.DONE))
    assert bench.state.place.glue.word is Word.CURING


def test_when_the_glue_has_set_unblown_the_walk_goes_on_without_that_blow(dry):
    bench = at_glue(dry, GlueKind.WATER)
    bench.post(Pressed(Key.DONE))
    bench.post(Pressed(Key.DONE))
    assert bench.state.place.glue.word is Word.OPEN_BLOW
    pass_time(bench, timedelta(minutes=11))
    assert (bench.state.place.glue.word, bench.state.place.glue.letter) == (Word.SET, "C")


def test_a_plug_that_jumped_in_the_open_glue_is_put_back_at_once_and_blown_again(dry):
    """By hand: near A5 a quarter wave is 343.4e3 / (4 x 880) = 97.6 mm, and 1 mm less is 1200 log2(97.6 / 96.6)."""
    bench = at_glue(dry, GlueKind.WATER)
    bench.post(Pressed(Key.DONE))
    bench.post(Pressed(Key.DONE))
    bench.blow(as_before(bench, "A"))
    cents = 1200 * math.log2(97.6 / 96.6)
    bench.blow(as_before(bench, "B") * 2 ** (cents / 1200))
    glue = bench.state.place.glue
    assert (glue.word, glue.letter) == (Word.PUT_BACK, "B")
    assert glue.off_mm == pytest.approx(1.0, abs=0.15)
    assert view(bench.state).sentence[0].startswith("Plug B went in ")
    bench.toot()
    assert (bench.state.place.glue.word, bench.state.place.glue.letter) == (Word.OPEN_BLOW, "B")
    bench.blow(as_before(bench, "B"))
    assert bench.state.place.glue.letter == "C"


def test_a_breath_in_the_open_glue_is_not_called_a_creep(dry):
    bench = at_glue(dry, GlueKind.WATER)
    bench.post(Pressed(Key.DONE))
    bench.post(Pressed(Key.DONE))
    bench.blow(as_before(bench, "A") * 2 ** (4.9 / 1200))
    assert bench.state.place.glue.word is Word.OPEN_BLOW


def test_a_chosen_chamber_is_glued_first_and_what_is_begun_comes_before_it(dry):
    bench = at_glue(dry, GlueKind.WATER)
    bench.post(ChamberChosen("D"))
    assert (bench.state.place.glue.word, bench.state.place.glue.letter) == (Word.SET, "D")
    bench.post(Pressed(Key.DONE))
    bench.post(ChamberChosen("A"))
    assert bench.state.place.glue.letter == "C"


def test_a_glued_plug_takes_no_length_any_more(dry):
    bench = at_glue(dry, GlueKind.WATER)
    bench.post(Pressed(Key.DONE))
    bench.post(ChamberChosen("A"))
    kept = list(bench.journal)
    bench.post(Typed(40.0))
    assert bench.journal == kept


# ---- the clock -----------------------------------------------------------------------------------------------------
def test_laid_on_the_bench_next_day_the_walk_asks_for_the_chord_by_itself(dry):
    bench = chords(glued(dry), off(), off())
    assert (bench.state.place.glue.word, bench.state.request.task) == (Word.RESTING, Task.REST)
    assert "tomorrow" in view(bench.state).sentence[1] or "today" in view(bench.state).sentence[1]
    again = next_day(bench)
    assert again.state.request.task is Task.CHORD
    assert view(again.state).sentence == ("Blow the whole chord", "next day, same breath")
    assert tuple(voice.letter for voice in again.state.asked[-1].expecting.voices) == LETTERS


def test_on_the_same_evening_it_goes_on_waiting_and_after_the_night_it_asks_without_being_laid_again(dry):
    bench = chords(glued(dry), off(), off())
    evening = next_day(bench, 6.0)
    assert evening.state.request.task is Task.REST
    pass_time(evening, timedelta(hours=5))
    assert evening.state.request.task is Task.CHORD


def test_instant_glue_laid_on_the_bench_after_two_days_asks_whether_it_has_cured_and_then_for_the_chord(dry):
    again = next_day(glued(dry, GlueKind.INSTANT), 48.0)
    assert view(again.state).sentence[0] == "Has the glue cured?"
    again.post(Pressed(Key.DONE))
    assert again.state.request.task is Task.CHORD


def test_a_moment_is_told_where_the_maker_is_up_to_a_whole_minute():
    noon = datetime(2026, 11, 26, 12, 0).astimezone()
    told = [moment_text((noon + timedelta(hours=h, seconds=1)).isoformat(), noon.isoformat()) for h in (1, 24, 48)]
    assert told == ["today, 13:01", "tomorrow, 12:01", "Saturday 28 November, 12:01"]


# ---- records -------------------------------------------------------------------------------------------------------
def test_blows_on_a_glued_plug_teach_nothing_and_the_dry_chord_stays_what_it_was(dry):
    bench = at_glue(dry)
    before, seen = bench.state.place.chord, observations(bench.journal)
    bench = later(dry, *2 * [off(C=15.0)])
    assert any(isinstance(record, BlowTaken) for record in bench.journal[len(dry):])
    assert observations(bench.journal) == seen
    assert bench.state.place.chord == before


def test_backspace_takes_back_the_glue_blow_by_blow_and_plug_by_plug(dry):
    bench = chords(glued(dry), off(), off())
    words = []
    for _ in range(11):
        bench.post(Pressed(Key.FORGET))
        words.append(bench.state.place.glue.word)
    assert words[:2] == [Word.CHORD, Word.CHORD]
    assert bench.state.place.glue.word is Word.WHICH
    bench.post(Pressed(Key.FORGET))
    assert bench.state.place.stage is Stage.CHORD


def test_a_mended_voice_of_a_glued_whistle_wants_its_chord_again_and_moves_no_plug(dry):
    bench = later(dry, *2 * [off(B=-9.0)])
    assert "R: I changed the voice of B" in view(bench.state).keys
    bench.post(Pressed(Key.VOICE))
    assert (bench.state.place.chambers["B"].epoch, bench.state.place.chambers["B"].status) == (1, Status.GLUED)
    assert (bench.state.place.stage, bench.state.request.task) == (Stage.CHORD, Task.CHORD)
    chords(bench, *2 * [off(B=-7.0)])
    assert (bench.state.place.chord.word, bench.state.request.task) == (Chorded.LEAVE, Task.NOTHING)
    bench.post(Pressed(Key.DONE))
    chords(bench, *2 * [off(B=-7.0)])
    assert (bench.state.place.glue.word, bench.state.place.glue.moved) == (Word.TOLD, ())


def test_nothing_of_a_glued_plug_can_be_trimmed_any_more(dry):
    bench = later(dry, *2 * [off(B=-9.0)])
    bench.post(StageChosen(Stage.TRIM))
    assert bench.state.place.stage is Stage.GLUE


happenings = st.one_of(
    st.tuples(*4 * [st.one_of(st.none(), st.floats(-40.0, 40.0))]), st.just("toot"), st.just("blow"),
    st.sampled_from([Pressed(key) for key in Key]), st.sampled_from([GlueChosen(kind) for kind in GlueKind]),
    st.sampled_from([ChamberChosen(letter) for letter in "ABCD"]), st.builds(Typed, st.floats(5.0, 60.0)),
    st.sampled_from([timedelta(minutes=5), timedelta(hours=3), timedelta(hours=26)]),
)


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(happenings, max_size=14))
def test_no_order_of_glue_keys_and_hours_loses_a_record_or_asks_for_lips_on_wet_glue(dry, events):
    bench = at_glue(dry)
    for what in events:
        kept = list(bench.journal)
        if isinstance(what, tuple):
            bench.chord(off(**dict(zip(LETTERS, what, strict=True))))
        elif what == "toot":
            bench.toot()
        elif what == "blow":
            bench.blow(900.0)
        elif isinstance(what, timedelta):
            pass_time(bench, what)
        else:
            bench.post(what)
        assert bench.journal[: len(kept)] == kept
        assert any(view(bench.state).sentence)
        _lips_stay_off(bench)
        state, _ = begin(WHISTLE, bench.journal, Sitting("s1", began_utc=bench.now_utc))
        assert replace(state.request, id=0) == replace(bench.state.request, id=0)


def _lips_stay_off(bench: Bench) -> None:
    """Instant glue or epoxy, glued within the day and not taken back: no blow by the walk's own doing."""
    place = bench.state.place
    day_ago = datetime.fromisoformat(bench.now_utc) - timedelta(hours=24)
    wet = any(
        isinstance(r, StepTaken) and r.step == "glued" and r.text != GlueKind.WATER
        and datetime.fromisoformat(r.at_utc) > day_ago and place.chambers[r.letter].glued for r in bench.state.standing
    )
    if wet and place.glue_asks:
        assert bench.state.request.task not in LIPS


def test_a_chord_keeps_its_kind_of_record(dry):
    bench = later(dry, off(), off())
    assert sum(isinstance(record, ChordTaken) for record in bench.journal) == 6
    assert chord_of(off()).voices


def test_the_record_sheet_is_given_glue_day_air_and_the_intervals_after_it(dry):
    bench = later(dry, off(C=3.0), off(C=3.0), air_c=14.0)
    past = past_of(WHISTLE, bench.state.standing)
    assert (past.glue, past.glued_day, past.next_day_temperature_c) == ("water-based", day_text(DAY_ONE), 14.0)
    assert past.chamber("C").in_chord_cents == pytest.approx(0.0)
    assert past.chamber("C").glued is None
    assert past.chamber("C").next_day.interval_cents == pytest.approx(3.0)
    # By hand: A, B and D kept their places among each other, and none of them went anywhere.
    assert (past.glued_shift_cents, past.next_day_shift_cents) == (None, pytest.approx(0.0, abs=0.01))


def test_a_walk_that_ended_on_the_terminal_goes_on_until_the_next_day_was_heard(dry):
    bench = later(dry, off(), off())
    assert bench.state.place.done, "the chord was settled long ago"
    assert bench.state.place.glue.finished
    assert not glued(dry).state.place.glue.finished
