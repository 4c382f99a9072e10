"""A whistle whose plugs are on their note, led through the glue by a maker of numbers."""
from __future__ import annotations

from datetime import datetime, timedelta
from functools import cache

from app.events import (
    AirTold,
    GlueChosen,
    GlueKind,
    Key,
    Passed,
    Pressed,
    Route,
    RouteChosen,
    Task,
)
from app.glue_stage import Word
from app.workflow import Sitting, begin
from tests.app.chord_cases import off
from tests.number_maker import WHISTLE, Bench, NumberMaker

DAY_ONE = "2026-05-01T10:00:00+00:00"
LIPS = (Task.BLOW, Task.RESEAT, Task.CHORD)


@cache
def dry_records() -> tuple:
    """Every plug on its note and marked, the dry chord good, and the walk led on to the glue."""
    bench = Bench.open()
    bench.post(RouteChosen(Route.SLIDE))
    bench.post(AirTold(20.0))
    bench.walk(NumberMaker(5))
    bench.chord(off())
    bench.chord(off())
    bench.post(Pressed(Key.DONE))
    return tuple(bench.journal)


def at_glue(dry, kind: GlueKind | None = None) -> Bench:
    bench = Bench.open(list(dry))
    if kind is not None:
        bench.post(GlueChosen(kind))
    return bench


def pass_time(bench: Bench, span: timedelta) -> None:
    bench.now_utc = (datetime.fromisoformat(bench.now_utc) + span).isoformat()
    bench.post(Passed(bench.at_s, bench.now_utc))


def next_day(bench: Bench, hours: float = 22.0) -> Bench:
    """The same journal, laid on the bench again."""
    now_utc = (datetime.fromisoformat(bench.now_utc) + timedelta(hours=hours)).isoformat()
    state, effects = begin(WHISTLE, bench.journal, Sitting("s2", began_utc=now_utc))
    again = Bench(state, list(bench.journal), now_utc=now_utc, ids=bench.ids)
    again.carry_out(effects)
    return again


def as_before(bench: Bench, letter: str) -> float:
    face = bench.state.place.chambers[letter].face
    return bench.state.place.belief.readings[face.id].heard_hz


def glue_all(bench: Bench) -> Bench:
    """Every plug in, and blown as before where that is asked for."""
    for _ in range(20):
        glue = bench.state.place.glue
        if glue.word is Word.SET:
            bench.post(Pressed(Key.DONE))
        elif glue.word is Word.OPEN_BLOW:
            bench.blow(as_before(bench, glue.letter))
        else:
            return bench
    raise AssertionError(bench.state.place.glue)


def glued(dry, kind: GlueKind = GlueKind.WATER) -> Bench:
    return glue_all(at_glue(dry, kind))


def chords(bench: Bench, *notes: dict[str, float | None]) -> Bench:
    for each in notes:
        bench.chord(each)
    return bench


def later(dry, *notes: dict[str, float | None], kind: GlueKind = GlueKind.WATER, air_c: float | None = 20.0) -> Bench:
    """Glued, and blown next day after two warm-ups."""
    bench = next_day(glued(dry, kind), 30.0)
    if kind is not GlueKind.WATER:
        bench.post(Pressed(Key.DONE))
    bench.post(AirTold(air_c))
    return chords(bench, off(), off(), *notes)
