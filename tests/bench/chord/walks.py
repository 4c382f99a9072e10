"""What the chord stage does to a whole whistle: ``python -m tests.bench.chord.walks [--whistles N] [--seed S]``.

Invented whistles and makers, walked by sound until every plug is on its note, then on through the chord. Truth is the
invented world's own: the widest interval to the lowest chamber with all sounding, as the plugs sit. How far chambers
pull each other is invented too (`app.invented_chord`): what is measured is whether the program finds and mends it.
"""
from __future__ import annotations

import argparse
from collections import Counter
from dataclasses import dataclass

import numpy as np

from app.events import Route
from app.invented_chord import draw_pulls
from app.invented_maker import Maker
from app.practice import Performer, invent_practice
from app.records import ChordTaken, Record, StepTaken
from app.rehearsal import drive
from app.session import Session
from app.settings import Settings

RATE_HZ = 24_000


class ListJournal:
    def __init__(self) -> None:
        self.kept: list[Record] = []

    def append(self, record: Record) -> None:
        self.kept.append(record)

    def records(self, _whistle_id: str) -> tuple[Record, ...]:
        return tuple(self.kept)


@dataclass(frozen=True)
class Walked:
    seed: int
    before_cents: float  # widest interval, when every plug was on its note
    after_cents: float
    chords: int
    moves: int
    word: str
    done: bool


def widest_cents(maker: Maker) -> float:
    return max(abs(each.chord_interval_cents) for each in maker.truth())


def walk_one(seed: int, route: Route) -> Walked:
    maker, whistle = invent_practice(seed)
    settings = Settings(temperature_c=maker.whistle.room_c)
    session, performer = Session(ListJournal(), whistle, settings, None, route=route), Performer(maker, RATE_HZ)
    drive(session, performer)
    maker.pulls_cents = draw_pulls(tuple(maker.ends), maker.rng)  # as its first chord would
    before_cents = widest_cents(maker)
    outcome = drive(session, performer, until=session.done)
    records = session.state.records
    return Walked(
        seed, before_cents, widest_cents(maker), sum(isinstance(r, ChordTaken) for r in records),
        sum(isinstance(r, StepTaken) and (r.step, r.text) == ("accepted", "chord") for r in records),
        session.state.place.chord.word.value, outcome.finished,
    )


def report(route: Route, walks: list[Walked]) -> None:
    print(f"\n{route.value}: {len(walks)} whistles, seeds {walks[0].seed} to {walks[-1].seed}, {RATE_HZ} Hz;"
          f" unfinished {sum(not walk.done for walk in walks)}")
    widest = {"before the chord": [w.before_cents for w in walks], "after": [w.after_cents for w in walks]}
    for name, cents in widest.items():
        middle, most, worst = np.quantile(cents, [0.5, 0.9, 1.0])
        within = [100.0 * float(np.mean(np.array(cents) <= limit)) for limit in (5.0, 10.0)]
        print(f"  widest interval {name:18} median {middle:.1f}, 90 % {most:.1f}, worst {worst:.1f} cents;"
              f" within 5: {within[0]:.0f} %, within 10: {within[1]:.0f} %")
    chords, moves = (float(np.mean(each)) for each in ([w.chords for w in walks], [w.moves for w in walks]))
    print(f"  chords blown {chords:.2f}, plugs moved {moves:.2f} (most {max(w.moves for w in walks)}); ended"
          f" {dict(Counter(w.word for w in walks))}")


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.chord.walks", description=__doc__)
    parser.add_argument("--whistles", type=int, default=30, help="for each route")
    parser.add_argument("--seed", type=int, default=4000, help="of the first whistle")
    options = parser.parse_args()
    for route in (Route.SLIDE, Route.TRIM):
        report(route, [walk_one(options.seed + number, route) for number in range(options.whistles)])


if __name__ == "__main__":
    main()
