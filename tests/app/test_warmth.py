"""Ten minutes without a blow: the bores cool, two blows warm up anew, and the lowest chamber is the yardstick.

That ten minutes matter, and that two blows warm a bore, is common practice, no source.
"""
from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from app.events import ChamberChosen, Key, Passed, Pressed, Route, RouteChosen, Task, Typed
from app.records import BlowTaken, ChordTaken, PlugSet
from app.showing import view
from app.view import Stage
from app.warmth import COLD
from app.workflow import Sitting, begin
from tests.number_maker import Bench, NumberMaker

MAKER_SEED = 5


def passes(bench: Bench, minutes: float) -> None:
    bench.now_utc = (datetime.fromisoformat(bench.now_utc) + timedelta(minutes=minutes)).isoformat()
    bench.post(Passed(bench.at_s, bench.now_utc))


def lead_on(bench: Bench, maker: NumberMaker, until: Callable[[], bool]) -> None:
    for _ in range(80):
        if until():
            return
        bench.answer(maker)
    raise AssertionError(f"never came: {bench.state.request}")


@pytest.fixture(scope="module")
def trimming() -> tuple:
    """The lowest plug on its note, another one in and to be blown."""
    bench, maker = Bench.open(), NumberMaker(MAKER_SEED)
    bench.post(RouteChosen(Route.TRIM))
    lead_on(bench, maker, lambda: bench.state.request.task in (Task.BLOW, Task.RESEAT)
            and bench.state.place.chamber.plug is not None and bench.state.place.letter != "A")
    return tuple(bench.journal)


@pytest.fixture
def bench(trimming) -> Bench:
    bench = Bench.open(list(trimming))
    bench.post(Passed(0.0, bench.now_utc))
    assert bench.state.request.text != COLD
    return bench


def asked(bench: Bench) -> tuple[Task, str | None]:
    return bench.state.request.task, bench.state.request.letter


def usual_hz(bench: Bench, letter: str = "A") -> float:
    return bench.state.place.belief.readings[bench.state.place.chambers[letter].face.id].heard_hz


def test_after_ten_idle_minutes_the_lowest_chamber_is_asked_for_and_then_the_one_before(bench):
    before = asked(bench)
    passes(bench, 9.5)
    assert asked(bench) == before
    passes(bench, 1.0)
    assert asked(bench) == (Task.BLOW, "A")
    seen = view(bench.state)
    assert seen.sentence == ("Blow chamber A again", "its air has cooled")
    assert (seen.room.letter, seen.room.lines) == ("A", ("Blow it first", "it has cooled"))
    assert seen.why.startswith("Two to warm up, heard but not counted.")
    assert [end.letter for end in seen.ends if end.meant] == ["A"]
    for _ in range(3):
        assert asked(bench) == (Task.BLOW, "A")
        bench.blow(usual_hz(bench))
    assert [r.warm_up for r in bench.journal if isinstance(r, BlowTaken)][-3:] == [True, True, False]
    assert asked(bench)[1] == before[1]


def test_while_a_plug_is_being_worked_on_the_request_does_not_change(bench):
    """It may take longer than ten minutes, and what is typed then is that plug's."""
    letter = bench.state.request.letter
    for _ in range(6):
        if bench.state.request.task in (Task.BLOW, Task.RESEAT):
            bench.blow(bench.state.whistle.chamber(letter).target_hz * 2 ** (60 / 1200))
    assert bench.state.request.task in (Task.TRIM, Task.REPAIR)
    before = bench.state.request
    passes(bench, 25.0)
    assert bench.state.request == before
    bench.post(Pressed(Key.DONE))
    assert asked(bench) == (Task.BLOW, "A")


def test_it_may_be_left_and_that_may_be_taken_back(bench):
    before = asked(bench)
    passes(bench, 11.0)
    bench.post(Pressed(Key.NEXT))
    assert asked(bench)[1] == before[1]
    bench.post(Pressed(Key.FORGET))
    assert asked(bench) == (Task.BLOW, "A")


def test_a_blow_of_the_lowest_accepts_no_other_chamber(bench):
    passes(bench, 11.0)
    accepted = {letter for letter, chamber in bench.state.place.chambers.items() if chamber.accepted}
    for _ in range(3):
        bench.blow(usual_hz(bench))
    assert {letter for letter, chamber in bench.state.place.chambers.items() if chamber.accepted} == accepted


def test_a_whistle_laid_on_the_bench_on_another_day_begins_with_its_lowest_chamber(trimming):
    now_utc = "2026-05-02T09:00:00+00:00"
    state, _ = begin(Bench.open().state.whistle, trimming, Sitting("s2", began_utc=now_utc))
    assert (state.request.task, state.request.letter, state.request.text) == (Task.BLOW, "A", COLD)


def test_a_whistle_whose_lowest_plug_is_not_done_yet_asks_nothing_of_the_kind():
    bench = Bench.open()
    for _ in range(4):
        bench.blow(560.0)
    before = asked(bench)
    passes(bench, 30.0)
    assert asked(bench) == before


def test_a_chord_after_ten_idle_minutes_warms_up_anew():
    bench, maker = Bench.open(), NumberMaker(MAKER_SEED)
    bench.post(RouteChosen(Route.SLIDE))
    bench.walk(maker)
    bench.chord(maker.chord())
    passes(bench, 11.0)
    for _ in range(3):
        bench.chord(maker.chord())
    assert [r.warm_up for r in bench.journal if isinstance(r, ChordTaken)] == [False, True, True, False]


def test_the_maker_may_choose_the_lowest_chamber_meanwhile(bench):
    passes(bench, 11.0)
    bench.post(ChamberChosen("A"))
    bench.blow(usual_hz(bench))
    assert bench.state.place.letter in bench.state.place.chambers


def test_a_length_typed_meanwhile_is_no_other_chambers(bench):
    """The lowest chamber is asked for, and another plug is in hand: whose length it is, nobody can know."""
    passes(bench, 11.0)
    n_records = len(bench.journal)
    bench.post(Typed(52.0))
    assert (len(bench.journal), bench.state.trouble) == (n_records, "lowest_first")


def test_space_meanwhile_ends_no_other_chambers_first_reading(bench):
    letter = bench.state.place.letter
    bench.post(Pressed(Key.VOICE))
    bench.post(ChamberChosen(letter))
    bench.journal.append(taken_out(bench))
    bench = Bench.open(bench.journal)
    bench.post(Passed(0.0, bench.now_utc))
    bench.post(Pressed(Key.DONE))  # a slug is in
    bench.blow(880.0)
    bench.post(Pressed(Key.DONE))  # and at its next mark
    assert (bench.state.place.letter, bench.state.place.stage) == (letter, Stage.FIRST_BLOW)
    assert bench.state.place.chamber.first
    passes(bench, 11.0)
    assert bench.state.request.text == COLD
    n_records = len(bench.journal)
    bench.post(Pressed(Key.DONE))
    assert (len(bench.journal), bench.state.trouble) == (n_records, "lowest_first")


def taken_out(bench: Bench) -> PlugSet:
    plug = bench.state.place.chamber.face
    return replace(plug, id="out", at_utc=bench.now_utc, how="taken_out")
