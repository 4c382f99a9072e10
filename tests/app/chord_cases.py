"""Whistles whose plugs are on their note, by either route, for the whole chord by a maker of numbers."""
from __future__ import annotations

from dataclasses import replace
from functools import cache

from app.events import Route, RouteChosen
from tests.number_maker import WHISTLE, Bench, NumberMaker

TARGETS_HZ = {chamber.letter: chamber.target_hz for chamber in WHISTLE.chambers}
LETTERS = tuple(TARGETS_HZ)


def tuned(route: Route = Route.SLIDE, seed: int = 5, sitting: str = "s1") -> Bench:
    """Every plug on its note; the whole chord comes next."""
    bench, maker = Bench.open(sitting=sitting), NumberMaker(seed)
    bench.post(RouteChosen(route))
    bench.walk(maker)
    return bench


@cache
def slid_records() -> tuple:
    return tuple(tuned().journal)


@cache
def trimmed_records() -> tuple:
    return tuple(tuned(Route.TRIM).journal)


def opened(records, units="mm") -> Bench:
    """The same sitting goes on."""
    bench = Bench.open(list(records))
    if units != "mm":
        bench.state = replace(bench.state, sitting=replace(bench.state.sitting, units=units))
    return bench


def off(**cents: float | None) -> dict[str, float | None]:
    """All chambers on their plan but these."""
    return {
        letter: None if cents.get(letter, 0.0) is None else hz * 2 ** (cents.get(letter, 0.0) / 1200)
        for letter, hz in TARGETS_HZ.items()
    }


def blown(bench: Bench, *chords: dict[str, float | None]) -> Bench:
    for chord in chords:
        bench.chord(chord)
    return bench
