"""Whole whistles tuned by sound: invented maker, invented whistle, the program's reader, model and walk in between.

``python -m tests.simulation.walks --whistles 100 --route trim --first slug --seed 1`` prints what became of them.
Truth is the invented world's own account (`app.invented`), never the program's opinion. Every seed is printed, and a
whistle can be tuned again alone with ``--whistles 1 --seed S``.
"""
from __future__ import annotations

import argparse
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from acoustics.tuning import Stop
from acoustics.units import cents_between, shift_hz
from app.events import Route
from app.invented import invent_whistle
from app.invented_maker import ChamberTruth, Maker, draw_habits
from app.practice import Performer, told_whistle
from app.records import BlowTaken, PlugSet, Record
from app.rehearsal import Outcome, drive
from app.session import Session
from app.settings import Settings
from tests.simulation.bare_hands import METHODS, tuned_by

RUINED_CENTS = -8.0  # flat by more than this: no trimming brings it back
RESAMPLES = 1000


class ListJournal:
    """A journal in memory."""

    def __init__(self) -> None:
        self.kept: list[Record] = []

    def append(self, record: Record) -> None:
        self.kept.append(record)

    def records(self, whistle_id: str) -> tuple[Record, ...]:
        return tuple(self.kept)


@dataclass(frozen=True)
class Walked:
    """One whistle's walk, and the truth at its end."""

    seed: int
    outcome: Outcome
    truth: tuple[ChamberTruth, ...]
    surprises_cents: tuple[float, ...]  # of each plug that was read: true pitch minus believed
    surprises_in_sd: tuple[float, ...]
    walk_s: float  # of this machine's time
    last_request: str
    checked: frozenset[str]  # chambers in which a finger over the plug was asked for
    sealed: frozenset[str]


def walk_one(
    seed: int, route: Route, first: Stop, sample_rate_hz: int, typing: bool = False, **habits: float
) -> Walked:
    """Invent a whistle and a maker, and tune the whistle by sound alone."""
    rng = np.random.default_rng(seed)
    hidden = invent_whistle(rng)
    maker = Maker(hidden, draw_habits(rng, **habits), rng)
    settings = Settings(temperature_c=hidden.room_c, units="mm", keep_sound=False)
    journal = ListJournal()
    session = Session(journal, told_whistle(hidden), settings, None, route=route, first_stop=first)
    began_s = time.perf_counter()
    outcome = drive(session, Performer(maker, sample_rate_hz), typing)
    surprises = list(_surprises(session, maker.truth()))
    return Walked(seed, outcome, maker.truth(), tuple(cents for cents, _ in surprises),
                  tuple(cents / sd for cents, sd in surprises), time.perf_counter() - began_s,
                  str(session.request()),
                  frozenset(r.letter for r in journal.kept if isinstance(r, BlowTaken) and r.covered),
                  frozenset(r.letter for r in journal.kept if isinstance(r, PlugSet) and r.how == "reseat"))


def _surprises(session: Session, truth: Sequence[ChamberTruth]) -> Iterator[tuple[float, float]]:
    """True minus believed pitch of each plug that was read, and the stated standard deviation."""
    for true in truth:
        advice = session.state.place.advice[true.letter]
        if advice.deviation_cents is not None and advice.deviation_sd_cents:
            believed_hz = shift_hz(advice.target_hz, advice.deviation_cents)
            yield cents_between(true.frequency_hz, believed_hz), advice.deviation_sd_cents


def report(walks: Sequence[Walked]) -> str:
    """The table: true cents apart for absolute pitch and intervals, work per chamber, time."""
    chambers = [chamber for walk in walks for chamber in walk.truth]
    unfinished = [walk for walk in walks if not walk.outcome.finished]
    cuts = np.array([c.cuts for c in chambers])
    lines = [
        f"{len(walks)} whistles, {len(chambers)} chambers, {len(unfinished)} walks unfinished",
        _shares("true pitch", walks, lambda c: c.deviation_cents),
        _shares("interval to the lowest", walks, lambda c: c.interval_cents, but_first=True),
        f"cuts a chamber: mean {cuts.mean():.2f}, 95th percentile {np.percentile(cuts, 95):.0f}; "
        f"slides {np.mean([c.slides for c in chambers]):.2f}; blows {np.mean([c.blows for c in chambers]):.1f}",
        f"ruined (flat by more than {-RUINED_CENTS:.0f} cents): absolute "
        f"{_share([c.deviation_cents < RUINED_CENTS for c in chambers])}, interval "
        f"{_share([c.interval_cents < RUINED_CENTS for c in chambers])}",
        _belief(walks),
        _leaks(walks),
        f"sounds that nothing was heard of: {sum(w.outcome.unheard for w in walks)} of "
        f"{sum(w.outcome.requests for w in walks)}",
        f"sound {sum(w.outcome.sound_s for w in walks) / 60.0:.1f} minutes, walked in "
        f"{sum(w.walk_s for w in walks):.0f} s",
    ]
    lines += _bare_hands([walk.seed for walk in walks])
    lines += [f"unfinished: seed {w.seed}, last asked {w.last_request}" for w in unfinished]
    return "\n".join(lines)


def _bare_hands(seeds: Sequence[int]) -> list[str]:
    """The same whistles and makers without the program, in the same run."""
    lines = []
    for method in METHODS:
        chambers = [chamber for seed in seeds for chamber in tuned_by(method, seed)]
        cents, cuts = np.array([c.deviation_cents for c in chambers]), np.array([c.cuts for c in chambers])
        lines.append(
            f"peer, {method}: cuts mean {cuts.mean():.2f}, 95th percentile {np.percentile(cuts, 95):.0f}; within 5: "
            f"{_share(np.abs(cents) <= 5.0)}, within 10: {_share(np.abs(cents) <= 10.0)}; ruined "
            f"{_share(cents < RUINED_CENTS)}; blows {np.mean([c.blows for c in chambers]):.1f}"
        )
    return lines


def _leaks(walks: Sequence[Walked]) -> str:
    """What became of leaking plugs, and how often sound ones were doubted."""
    told = [(c, c.letter in walk.checked, c.letter in walk.sealed) for walk in walks for c in walk.truth]
    leaking, sound = ([each for each in told if each[0].leaked is leaked] for leaked in (True, False))
    return (
        f"leaking chambers: {len(leaking)}, a finger asked for in {sum(asked for _, asked, _ in leaking)}, sealed "
        f"{sum(sealed for *_, sealed in leaking)}, leaking to the end {sum(c.leaks for c, *_ in leaking)}; sound ones: "
        f"{len(sound)}, a finger asked for in {sum(asked for _, asked, _ in sound)}, sealed "
        f"{sum(sealed for *_, sealed in sound)}"
    )


def _belief(walks: Sequence[Walked]) -> str:
    cents = np.array([each for walk in walks for each in walk.surprises_cents])
    in_sd = np.abs([each for walk in walks for each in walk.surprises_in_sd])
    return (
        f"true minus believed pitch of {len(cents)} plugs: mean {cents.mean():+.2f}, sd {cents.std():.2f} cents; "
        f"within one stated deviation {_share(in_sd <= 1.0)}, within two {_share(in_sd <= 2.0)}"
    )


def _share(hits: ArrayLike) -> str:
    return f"{100.0 * np.mean(hits):.1f} %"


def _shares(
    name: str, walks: Sequence[Walked], cents_of: Callable[[ChamberTruth], float], but_first: bool = False
) -> str:
    """Spread and shares within 5 and 10 cents, with a 90 % interval bootstrapped by whistle."""
    table = np.array([[cents_of(c) for c in walk.truth[1 if but_first else 0:]] for walk in walks])
    within = np.abs(table) <= 5.0
    rng = np.random.default_rng(0)
    drawn = [within[rng.integers(0, len(walks), len(walks))].mean() for _ in range(RESAMPLES)]
    low, high = np.percentile(drawn, [5, 95])
    return (
        f"{name}: mean {table.mean():+.2f}, sd {table.std():.2f}, worst {table.ravel()[np.abs(table).argmax()]:+.1f} "
        f"cents; within 5: {100 * within.mean():.1f} % ({100 * low:.1f} to {100 * high:.1f}), within 10: "
        f"{_share(np.abs(table).ravel() <= 10.0)}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--whistles", type=int, default=100)
    parser.add_argument("--route", choices=[route.value for route in Route], default="trim")
    parser.add_argument("--first", choices=["slug", "finger", "flat"], default="slug", help="first reading by")
    parser.add_argument("--seed", type=int, default=1, help="of the first whistle; the next have the next seeds")
    parser.add_argument("--rate-hz", type=int, default=48_000, help="sample rate of the invented sound")
    parser.add_argument("--typing", action="store_true", help="the maker types plug lengths off the calipers")
    parser.add_argument("--leak-share", type=float, default=0.0)
    parser.add_argument("--overblow-share", type=float, default=0.0)
    parser.add_argument("--wrong-bore-share", type=float, default=0.0)
    parser.add_argument("--each", action="store_true", help="print every whistle")
    asked = parser.parse_args()
    walks = []
    for seed in range(asked.seed, asked.seed + asked.whistles):
        walked = walk_one(
            seed, Route(asked.route), Stop(asked.first), asked.rate_hz, asked.typing, leak_share=asked.leak_share,
            overblow_share=asked.overblow_share, wrong_bore_share=asked.wrong_bore_share,
        )
        walks.append(walked)
        if asked.each:
            cents = " ".join(f"{c.deviation_cents:+.1f}" for c in walked.truth)
            print(f"seed {seed}: {cents} cents, {walked.outcome}", flush=True)
    print(f"route {asked.route}, first reading by {asked.first}, seeds {asked.seed} to "
          f"{asked.seed + asked.whistles - 1}, {asked.rate_hz} Hz")
    print(report(walks))


if __name__ == "__main__":
    main()
