"""How many cuts, how many ruined plugs: ``python -m tests.bench.tuning [--only ROW,...] [--whistles N] [--seed S]``.

One process, one row after the other; ``--list`` names the rows. ``--calibration FILE.png`` draws how the truth lies
about the belief, and prints the same as a table.
"""
from __future__ import annotations

import argparse
import dataclasses
import math
import platform
import sys
from collections.abc import Callable

import numpy as np

from acoustics.tuning import Policy, Priors, remember
from tests.bench.tuning.baselines import perfect_listener, proportional_trim, ruler_and_ear
from tests.bench.tuning.bench_hand import Hand, hand_for
from tests.bench.tuning.calibration import calibration_table, draw_calibration
from tests.bench.tuning.floors import floors_table
from tests.bench.tuning.routes import Ended, tune
from tests.bench.tuning.score import HEADING, Outcome, line_of, row_of
from tests.bench.tuning.surprises import surprises_line
from tests.simulation.world import ROUTINE_WARMTH, Customs, Maker, Pattern, Seat, Whistle

Method = Callable[[Hand], list[Ended]]
N_EARLIER = 9


def outcomes_of(method: Method, customs: Customs, n_whistles: int, seed: int) -> list[Outcome]:
    """Each whistle with a maker and a pattern of its own; the same seed gives every method the same whistles."""
    outcomes = []
    for number in range(n_whistles):
        rng = np.random.default_rng([seed, number])
        whistle = Whistle.draw(rng, Pattern.draw(rng), Maker.draw(rng), customs)
        hand = hand_for(whistle)
        outcomes += scored(number, hand, method(hand))
    return outcomes


def scored(number: int, hand: Hand, ended: list[Ended]) -> list[Outcome]:
    believed = {end.letter: end for end in ended}
    true_cents = {
        letter: hand.whistle.true_cents(letter, hand.seats.get(letter, Seat(0.0, "finger")), hand.slid)
        for letter in hand.tallies
    }
    outcomes = []
    for letter, tally in hand.tallies.items():
        end = believed.get(letter)
        interval_cents = None if letter == "A" else true_cents[letter] - true_cents["A"]
        outcomes.append(Outcome(
            number, tally.cuts, tally.moves, tally.blows, true_cents[letter], interval_cents,
            end.belief_cents if end else None, end.belief_sd_cents if end else None, bool(end and end.dead_end),
            tally.trims, tally.trims_when_flat, tuple(tally.fates),
        ))
    return outcomes


def outcomes_of_tenth(by: str, n_patterns: int, seed: int, n_earlier: int = N_EARLIER) -> list[Outcome]:
    """The tenth whistle of a pattern by one maker, who kept what the nine before had taught."""
    outcomes = []
    for number in range(n_patterns):
        rng = np.random.default_rng([seed, number, 10])
        pattern, maker, priors = Pattern.draw(rng), Maker.draw(rng), Priors()
        for _ in range(n_earlier):
            _, belief = tune(hand_for(Whistle.draw(rng, pattern, maker, Customs())), priors, Policy(), by)
            priors = remember(belief)
        hand = hand_for(Whistle.draw(rng, pattern, maker, Customs()))
        ended, _ = tune(hand, priors, Policy(), by)
        outcomes += scored(number, hand, ended)
    return outcomes


def by_advice(by: str, priors: Priors | None = None, policy: Policy | None = None) -> Method:
    def run(hand: Hand) -> list[Ended]:
        chosen = dataclasses.replace(policy or Policy(), sliding=by == "slide")
        return tune(hand, priors or Priors(), chosen, by)[0]

    return run


def by_perfect_memory(by: str) -> Method:
    """The floor of all memory: pattern, finger, warmth and wall are known exactly before the first blow."""

    def run(hand: Hand) -> list[Ended]:
        pattern, maker = hand.whistle.pattern, hand.whistle.maker
        known = dataclasses.replace(
            Priors(), window_log=math.log(pattern.window_ratio), window_log_sd=0.05, wall_loss=pattern.wall_loss,
            finger_log=math.log(maker.finger_mm), finger_log_sd=0.02, blow_sd_cents=maker.blow_sd_cents,
            air_cents=ROUTINE_WARMTH * maker.warm_c * 2.953, air_sd_cents=0.5, blow_sd_weight=60.0,
        )
        return tune(hand, known, Policy(sliding=by == "slide"), by)[0]

    return run


def without_advice(baseline: Callable[[Hand], None]) -> Method:
    def run(hand: Hand) -> list[Ended]:
        baseline(hand)
        return []

    return run


METHODS: dict[str, tuple[str, Method, Customs]] = {
    "ruler": ("ruler and ear", without_advice(ruler_and_ear), Customs()),
    "proportional": ("proportional trim", without_advice(proportional_trim), Customs()),
    "perfect": ("perfect listener (floor)", without_advice(perfect_listener), Customs()),
    "finger": ("advice, finger and trim", by_advice("finger"), Customs()),
    "slug": ("advice, slug and trim", by_advice("slug"), Customs()),
    "slide": ("advice, slide", by_advice("slide"), Customs()),
    "loose-slug": ("slug and trim, slug at 0.2 mm", by_advice("slug"), Customs(slug_sd_mm=0.2)),
    "leak": ("finger and trim, 5 % leaking plugs", by_advice("finger"), Customs(leaking_share=0.05)),
    "leaks": ("finger, 25 % leaking, to be counted", by_advice("finger"), Customs(leaking_share=0.25)),
    "leaks-slug": ("slug, 25 % leaking, to be counted", by_advice("slug"), Customs(leaking_share=0.25)),
    "overblown": ("finger and trim, 5 % overblown", by_advice("finger"), Customs(overblown_share=0.05)),
    "wrong-bore": ("finger and trim, wrong bore once", by_advice("finger"), Customs(wrong_bore_per_whistle=1.0)),
    "known-finger": ("finger, pattern known exactly", by_perfect_memory("finger"), Customs()),
    "known-slug": ("slug, pattern known exactly", by_perfect_memory("slug"), Customs()),
}
TENTHS = {"tenth-finger": "finger", "tenth-slug": "slug"}
FLOORS = "floors"
QUICK = ("ruler", "proportional", "perfect", "finger", "slug", "slide")


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.tuning", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="30 whistles and the main rows only")
    parser.add_argument("--whistles", type=int, default=500)
    parser.add_argument("--patterns", type=int, default=100, help="for the tenth whistles")
    parser.add_argument("--seed", type=int, default=2)
    parser.add_argument("--only", default="", help="rows by name, with commas between")
    parser.add_argument("--list", action="store_true", help="name the rows")
    parser.add_argument("--calibration", metavar="FILE.png", help="draw and tabulate the truth about the belief")
    chosen = parser.parse_args(arguments)
    names = [*METHODS, *TENTHS, FLOORS]
    wanted = chosen.only.split(",") if chosen.only else list(QUICK) if chosen.quick else names
    if unknown := [name for name in wanted if name not in names]:
        parser.error(f"no such row: {', '.join(unknown)}; there are {', '.join(names)}")
    if chosen.list:
        print("\n".join(names))
        return 0
    n_whistles = 30 if chosen.quick else chosen.whistles
    print(f"{n_whistles} whistles of 4 chambers, {chosen.patterns} patterns, seed {chosen.seed}, "
          f"Python {platform.python_version()}, numpy {np.__version__}, {platform.machine()}")
    believed = print_rows(wanted, n_whistles, chosen.patterns, chosen.seed)
    if FLOORS in wanted:
        print(floors_table(chosen.seed))
    if chosen.calibration and believed:
        print(calibration_table(believed))
        draw_calibration(believed, chosen.calibration)
    return 0


def print_rows(wanted: list[str], n_whistles: int, n_patterns: int, seed: int) -> list[Outcome]:
    """Each row as soon as it is known; the outcomes of the usual world for the calibration."""
    believed: list[Outcome] = []
    rng = np.random.default_rng(seed)
    print(HEADING)
    for name in wanted:
        if name in METHODS:
            title, method, customs = METHODS[name]
            outcomes = outcomes_of(method, customs, n_whistles, seed)
        elif name in TENTHS:
            title, outcomes = f"tenth whistle, {TENTHS[name]}", outcomes_of_tenth(TENTHS[name], n_patterns, seed)
        else:
            continue
        print(line_of(row_of(title, outcomes, rng)))
        if surprises := surprises_line(outcomes, rng):
            print(surprises)
        sys.stdout.flush()
        believed += outcomes if name in ("finger", "slug", "slide") else []
    return believed


if __name__ == "__main__":
    sys.exit(main())
