"""What is said of blows that agree, of wood that waits and of glue is so of this plug and whistle as they stand."""
from __future__ import annotations

import re

import pytest

from app.bench import State
from app.events import AirTold, Key, Pressed, Route, RouteChosen, StageChosen, Task
from app.showing import view
from app.view import Stage, View
from tests.number_maker import Bench, NumberMaker

AGREES = re.compile(r"they agree to (\d+\.\d) mm")


def on_the_way(route: Route, seed: int) -> list[tuple[State, View]]:
    """What is shown at every step of a walk by the slug, with the state it tells of."""
    bench, maker, seen = Bench.open(), NumberMaker(seed), []
    bench.post(RouteChosen(route))
    bench.post(AirTold(19.5))
    while not bench.state.place.finished:
        seen.append((bench.state, view(bench.state)))
        bench.answer(maker)
    return seen


@pytest.fixture(scope="module", params=[(Route.TRIM, 5), (Route.SLIDE, 6)])
def seen(request):
    return on_the_way(*request.param)


def test_blows_at_the_marks_of_a_slug_agree_as_closely_as_they_were_blown(seen):
    # The maker of numbers scatters by a few cents: some tenths at these lengths. The marks lie 5 mm apart.
    told_mm = [
        float(found[1]) for state, shown in seen if not state.place.chamber.plug and state.place.chamber.slug
        and (found := AGREES.match(shown.blows.agreement))
    ]
    assert len(told_mm) > 3
    assert max(told_mm) <= 0.6


def test_every_blow_that_is_counted_towards_four_is_listed(seen):
    looked_at = 0
    for state, shown in seen:
        chamber = state.place.chamber
        if shown.stage is Stage.FIRST_BLOW and chamber.slug and chamber.first:
            looked_at += 1
            assert len(shown.blows.lines) >= len(chamber.first), shown.blows
    assert looked_at > 5


def test_the_lowest_plug_keeps_nothing_for_the_chord_and_what_the_others_keep_is_said():
    trimmed = {"A": [], "others": []}
    for seed in (5, 6, 7):
        for state, shown in on_the_way(Route.TRIM, seed):
            if state.request.task is Task.TRIM:
                trimmed["A" if state.place.letter == "A" else "others"].append(shown.held_back)
    assert trimmed["A"]
    assert not any("whole chord" in text for text in trimmed["A"])
    assert any(text.endswith("waits for the whole chord.") for text in trimmed["others"])


@pytest.mark.parametrize("stage", [Stage.CHORD, Stage.GLUE])
def test_before_its_plugs_are_right_no_whistle_is_told_to_be_glued(stage):
    bench = Bench.open()
    bench.post(StageChosen(stage))
    shown = view(bench.state)
    assert shown.sentence == ("Not every plug is on its note", "space: on with the walk")
    assert shown.room.lines == ("Not all are on", "their note yet")
    bench.post(Pressed(Key.DONE))
    assert bench.state.place.stage is Stage.FIRST_BLOW
