"""Benches on which wood has run out: a plug cut too short, and a bore too short for its note."""
from __future__ import annotations

from dataclasses import replace

from app.chamber import Status
from app.events import Route, RouteChosen, Task, Typed
from tests.number_maker import WHISTLE, Bench, NumberMaker

MOST_STEPS = 200
WAYS_TASKS = (Task.SLIDE, Task.REPAIR)  # of a flush plug: it is to come further in


def flat_bench(letter: str, short_mm: float, seed: int = 3, scatter_cents: float = 1.0) -> tuple[Bench, NumberMaker]:
    """A walk by flush plugs, up to where the plug of that chamber is known to be cut too short by so much."""
    bench, maker = Bench.open(), NumberMaker(seed, scatter_cents=scatter_cents, cut_sd_mm=0.02)
    bench.post(RouteChosen(Route.TRIM))
    for _ in range(MOST_STEPS):
        request = bench.state.request
        if request.task is Task.CUT and request.letter == letter:
            depth_mm = round(true_depth_mm(bench, maker, letter) - short_mm, 2)
            maker.depth_mm[letter] = depth_mm
            bench.post(Typed(depth_mm))
        elif request.letter == letter and request.task in WAYS_TASKS:
            return bench, maker
        else:
            bench.answer(maker)
    raise AssertionError(f"no flat plug after {MOST_STEPS} steps: {bench.state.request}")


def true_depth_mm(bench: Bench, maker: NumberMaker, letter: str) -> float:
    """Where the face truly belongs in the maker's lossless quarter waves, for the note that the walk aims at now."""
    target_hz = next(c.target_hz for c in bench.state.place.plan.chambers if c.letter == letter)
    length_mm = maker.true_hz(letter) * (140.0 - maker.depth_mm.get(letter, 0.0) + maker.window_mm[letter]) / target_hz
    return 140.0 + maker.window_mm[letter] - length_mm


def short_bench(seed: int = 3) -> tuple[Bench, NumberMaker]:
    """Bores of 100 mm for F5 and up: the lowest lies below what they have, by some three semitones."""
    whistle = replace(WHISTLE, chambers=tuple(replace(c, bore_length_mm=100.0) for c in WHISTLE.chambers))
    bench, maker = Bench.open(whistle=whistle), ShortMaker(seed, scatter_cents=1.0)
    bench.post(RouteChosen(Route.TRIM))
    for _ in range(MOST_STEPS):
        if bench.state.place.chamber.status is not Status.TO_BLOW:
            return bench, maker
        bench.answer(maker)
    raise AssertionError(f"not read after {MOST_STEPS} steps: {bench.state.request}")


class ShortMaker(NumberMaker):
    """Its bores are 40 mm shorter."""

    def true_hz(self, letter: str, bulge_mm: float = 0.0) -> float:
        return super().true_hz(letter, bulge_mm + 40.0)
