"""Where wood has run out, for pictures and tests: plug C of a flush-plug walk cut short, and bores too short."""
from __future__ import annotations

from functools import cache

from app.rescues import WaysOut, ways_out
from tests.app.rescue_cases import flat_bench, short_bench
from tests.number_maker import Bench


@cache
def flat() -> Bench:
    return flat_bench("C", 1.2)[0]


@cache
def short() -> Bench:
    return short_bench()[0]


def ways_of(bench: Bench, units: str = "mm") -> WaysOut:
    ways = ways_out(bench.state.place, bench.state.whistle, bench.state.place.letter, units)
    assert ways is not None
    return ways
