"""Whistles of one pattern, tuned without sound by makers made of numbers: what memory has to learn from.

The invented pattern has a window share of its own, each whistle differs from it by 4 % and each window by 6 %.
"""
from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from app.events import AirTold, Route, RouteChosen, Task
from app.learned import Learned
from app.records import BlowTaken, Record, WhistleFiled
from app.whistle import Whistle, dump_whistle, revision
from app.workflow import Sitting, State, begin
from tests.number_maker import C_M_PER_S, WHISTLE, Bench, NumberMaker

MOST_STEPS = 400
BORE_LENGTH_MM = 140.0


def harbour(number: int, **changes: object) -> Whistle:
    """The harbour whistle once more, with a name and an id of its own."""
    chamber_changes = {key: changes.pop(key) for key in ("bore_mm", "window_height_mm") if key in changes}
    chambers = tuple(replace(chamber, **chamber_changes) for chamber in WHISTLE.chambers)
    whistle_id = f"{number:08d}-33a4-4b60-9d3c-0f5d2d6f5a01"
    return replace(WHISTLE, id=whistle_id, number=number, chambers=chambers, **changes)


def low_harbour(number: int) -> Whistle:
    """Three low notes in the same bores: each is first read by finger, so that the first cut rests on the finger."""
    whistle = harbour(number)
    notes = zip(whistle.chambers, ((587.33, "D5"), (659.26, "E5"), (739.99, "F#5")), strict=False)
    return replace(whistle, chambers=tuple(replace(c, target_hz=hz, note=note) for c, (hz, note) in notes))


@dataclass
class Hand(NumberMaker):
    """A maker made of numbers whose finger is not everybody's."""

    finger_mm: float = 0.6

    def true_hz(self, letter: str, bulge_mm: float = 0.0) -> float:
        return super().true_hz(letter, self.finger_mm if bulge_mm else 0.0)


@dataclass
class Pattern:
    """A drawing and the maker who works by it."""

    seed: int

    def __post_init__(self) -> None:
        self.rng = np.random.default_rng(self.seed)
        self.window_mm = 12.0 * (1 + self.rng.normal(0, 0.12))
        self.finger_mm = max(0.1, self.rng.normal(0.6, 0.3))

    def maker(self, seed: int | None = None) -> Hand:
        """The maker at the next whistle; the same seed is the same whistle once more."""
        rng = np.random.default_rng(int(self.rng.integers(1 << 30)) if seed is None else [self.seed, seed])
        maker = Hand(int(rng.integers(1 << 30)), finger_mm=self.finger_mm)
        whistle_mm = self.window_mm * (1 + rng.normal(0, 0.04))
        maker.window_mm = {letter: whistle_mm * (1 + rng.normal(0, 0.06)) for letter in "ABCD"}
        return maker


def walked(
    maker: NumberMaker, whistle: Whistle, learned: Learned | None = None, blower: str = "",
    until: Callable[[State], bool] = lambda state: state.place.finished, temperature_c: float | None = 20.0,
) -> Bench:
    """A flush-plug walk, on and on `until`."""
    state, effects = begin(whistle, (), Sitting(whistle.id, blower=blower), learned=learned)
    bench = Bench(state, ids=itertools.count(1))
    bench.carry_out(effects)
    bench.post(RouteChosen(Route.TRIM))
    if temperature_c is not None:
        bench.post(AirTold(temperature_c))
    for _ in range(MOST_STEPS):
        if until(bench.state):
            return bench
        bench.answer(maker)
    raise AssertionError(f"no end after {MOST_STEPS} steps: {bench.state.request}")


def first_cut_error_mm(maker: NumberMaker, whistle: Whistle, learned: Learned | None) -> float:
    """Where the first plug of the whistle is asked to be cut, less where its face truly belongs."""
    bench = walked(maker, whistle, learned, until=lambda state: state.request.task is Task.CUT)
    letter, asked_mm = bench.state.request.letter or "", bench.state.request.depth_mm or 0.0
    true_mm = BORE_LENGTH_MM + maker.window_mm[letter] - C_M_PER_S * 1000 / (4 * whistle.chamber(letter).target_hz)
    return asked_mm - true_mm


def finished(whistle: Whistle, maker: NumberMaker, blower: str = "") -> tuple[Whistle, tuple[Record, ...]]:
    return whistle, tuple(walked(maker, whistle, blower=blower).journal)


def filed(whistle: Whistle, document: str | None = None) -> WhistleFiled:
    document = dump_whistle(whistle).decode() if document is None else document
    return WhistleFiled(
        f"{whistle.id[:8]}-1111-4111-8111-111111111111", "2026-05-01T09:00:00+00:00", whistle.id, revision(whistle),
        document,
    )


def blows_of(records: tuple[Record, ...]) -> list[BlowTaken]:
    return [record for record in records if isinstance(record, BlowTaken)]
