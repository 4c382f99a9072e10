"""Views of a real walk, one of each kind: the harbour whistle of Tidewick, blown and cut by a maker made of numbers."""
from __future__ import annotations

from dataclasses import replace

from app.events import AirTold, Key, LevelHeard, Noticed, Pressed, Request, Route, RouteChosen, StageChosen, Task
from app.showing import view
from app.source import Hearing, Notice
from app.view import Stage, View
from tests.number_maker import Bench, NumberMaker
from tests.ui.voice_views import voiced
from tests.ui.ways_cases import flat, short

SEED = 5
MOST_STEPS = 400


def kind_of(stage: Stage, request: Request) -> str:
    return f"{stage.value}, {request.task.value}".lower().replace(" ", "-").replace(",", "")


def walked(route: Route, units: str = "both") -> dict[str, View]:
    """By kind ("trim-trim"): one view of each on the way to the end, the one with the most to cut or move."""
    bench, maker = Bench.open(), NumberMaker(SEED)
    bench.state = replace(bench.state, sitting=replace(bench.state.sitting, units=units))
    for event in (RouteChosen(route), AirTold(19.5), Noticed(Notice(Hearing.HEARING)), LevelHeard("right")):
        bench.post(event)
    views: dict[str, View] = {}
    largest_mm: dict[str, float] = {}
    for _ in range(MOST_STEPS):
        kind = f"{route.value}-route-{kind_of(bench.state.place.stage, bench.state.request)}"
        amount_mm = abs(bench.state.request.amount_mm or 0.0)
        if amount_mm >= largest_mm.get(kind, 0.0):
            largest_mm[kind], views[kind] = amount_mm, view(bench.state)
        if bench.state.place.finished:
            break
        bench.answer(maker)
    for stage in (Stage.LAY_OUT, Stage.VOICE, Stage.GLUE):
        bench.post(StageChosen(stage))
        views[f"{route.value}-route-{stage.value.lower().replace(' ', '-')}"] = view(bench.state)
        bench.post(Pressed(Key.DONE))
    return views


def leaking() -> dict[str, View]:
    """A leak beside a plug: the finger over it, then how it is sealed."""
    bench, maker = Bench.open(), NumberMaker(11, scatter_cents=1.5, leaks_cents={"B": 22.0})
    for event in (RouteChosen(Route.TRIM), AirTold(19.5), Noticed(Notice(Hearing.HEARING)), LevelHeard("right")):
        bench.post(event)
    views: dict[str, View] = {}
    while "leak-seal" not in views:
        if bench.state.request.covered:
            views[f"leak-finger-{len(views) + 1}"] = view(bench.state)
        elif bench.state.request.text == "seal":
            views["leak-seal"] = view(bench.state)
        bench.answer(maker)
        assert bench.at_s < MOST_STEPS, bench.state.request
    return views


def all_walked() -> dict[str, View]:
    views = {**walked(Route.SLIDE), **walked(Route.TRIM), **voiced(), **leaking()}
    views |= {f"ways-{name}": view(bench.state) for name, bench in (("flat", flat()), ("short", short()))}
    assert {f"trim-route-trim-{Task.TRIM}", f"slide-route-trim-{Task.SLIDE}"} <= views.keys(), sorted(views)
    return views


if __name__ == "__main__":
    for name, each in all_walked().items():
        print(f"{name:36} {' / '.join(each.sentence)} | {each.held_back} | {each.why} | {each.blows.lines[-2:]} "
              f"{each.blows.agreement} {each.blows.wish}")
