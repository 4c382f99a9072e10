"""Whatever happens in whatever order: no confirmed record is lost, no dead end is reached, every view can be shown."""
from hypothesis import given, settings
from hypothesis import strategies as st

from acoustics.blow import Verdict
from acoustics.tuning import Stop
from app.events import (
    AirTold,
    ChamberChosen,
    Heard,
    Key,
    LevelHeard,
    Noticed,
    Passed,
    Pressed,
    Route,
    RouteChosen,
    StageChosen,
    StopChosen,
    Task,
    Tooted,
    Typed,
)
from app.showing import view
from app.source import Hearing, Notice
from app.view import Stage
from tests.number_maker import Bench, NumberMaker, steady

recent = st.integers(0, 3)
happenings = st.one_of(
    st.tuples(st.just("blow"), st.floats(250.0, 2500.0), st.sampled_from(list(Verdict)), recent),
    st.tuples(st.just("toot"), recent),
    st.sampled_from([Pressed(key) for key in Key]),
    st.builds(Typed, st.floats(-5.0, 200.0), st.floats(0.0, 3.0), st.floats(0.0, 3.0)),
    st.sampled_from([StageChosen(stage) for stage in Stage]),
    st.sampled_from([ChamberChosen(letter) for letter in "ABCDX"]),
    st.sampled_from([RouteChosen(route) for route in Route]),
    st.sampled_from([StopChosen(stop) for stop in (Stop.FINGER, Stop.FLAT, Stop.SLUG)]),
    st.sampled_from([AirTold(18.0), AirTold(None), Noticed(Notice(Hearing.LOST)), LevelHeard("right"), Passed(5.0)]),
    st.sampled_from(["answer", "answer", "answer", "disk full", "disk free", "restart"]),
)


def happen(bench: Bench, maker: NumberMaker, what) -> Bench:
    match what:
        case ("blow", hz, verdict, back):
            bench.at_s += 3.0
            bench.post(Heard(steady(hz, bench.at_s, verdict), bench.state.request.id - back, bench.at_s))
        case ("toot", back):
            bench.post(Tooted(bench.state.request.id - back, bench.at_s))
        case "answer":
            if bench.state.request.task not in (Task.NOTHING, Task.REST):
                bench.answer(maker)
        case "disk full":
            bench.refuse = "The disk is full."
        case "disk free":
            bench.refuse = ""
        case "restart":
            refuse = bench.refuse
            bench = Bench.open(bench.journal, sitting=f"s{len(bench.journal)}")
            bench.refuse = refuse
        case _:
            bench.post(what)
    return bench


@settings(max_examples=60, deadline=None)
@given(st.lists(happenings, max_size=40), st.integers(0, 5))
def test_no_order_of_events_loses_a_confirmed_step_or_reaches_a_dead_end(events, seed):
    bench, maker = Bench.open(), NumberMaker(seed)
    for what in events:
        kept = list(bench.journal)
        bench = happen(bench, maker, what)
        assert bench.journal[: len(kept)] == kept
        assert list(bench.state.records) == bench.journal
        assert any(view(bench.state).sentence)
    bench.refuse = ""
    for _ in range(400):  # NEXT is always a way out
        if bench.state.place.finished:
            break
        bench.post(Pressed(Key.NEXT))
    assert bench.state.place.finished
