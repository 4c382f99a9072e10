"""How many cuts, how many ruined plugs: ``python -m tests.bench.tuning [--quick] [--whistles N] [--seed S]``."""
from __future__ import annotations

import argparse
import dataclasses
import platform
import sys
from collections.abc import Callable

import numpy as np

from acoustics.tuning import Policy, Priors, remember
from tests.bench.tuning.baselines import perfect_listener, proportional_trim, ruler_and_ear
from tests.bench.tuning.bench_hand import Hand, hand_for
from tests.bench.tuning.routes import Ended, tune
from tests.bench.tuning.score import HEADING, Outcome, line_of, row_of
from tests.simulation.world import Customs, Maker, Pattern, Seat, Whistle

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
        ))
    return outcomes


def outcomes_of_tenth(by: str, n_patterns: int, seed: int) -> list[Outcome]:
    """The tenth whistle of a pattern by one maker, who kept what the nine before had taught."""
    outcomes = []
    for number in range(n_patterns):
        rng = np.random.default_rng([seed, number, 10])
        pattern, maker, priors = Pattern.draw(rng), Maker.draw(rng), Priors()
        for _ in range(N_EARLIER):
            _, belief = tune(hand_for(Whistle.draw(rng, pattern, maker, Customs())), priors, Policy(), by)
            priors = remember(belief)
        hand = hand_for(Whistle.draw(rng, pattern, maker, Customs()))
        ended, _ = tune(hand, priors, Policy(), by)
        outcomes += scored(number, hand, ended)
    return outcomes


def by_advice(by: str, priors: Priors | None = None, policy: Policy | None = None) -> Method:
    def run(hand: Hand) -> list[Ended]:
        chosen = policy or Policy()
        if by == "slide":
            chosen = dataclasses.replace(chosen, sliding=True)
        return tune(hand, priors or Priors(), chosen, by)[0]

    return run


def without_advice(baseline: Callable[[Hand], None]) -> Method:
    def run(hand: Hand) -> list[Ended]:
        baseline(hand)
        return []

    return run


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.tuning", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="30 whistles and the main rows only")
    parser.add_argument("--whistles", type=int, default=500)
    parser.add_argument("--seed", type=int, default=2)
    chosen = parser.parse_args(arguments)
    n_whistles = 30 if chosen.quick else chosen.whistles
    rng = np.random.default_rng(chosen.seed)
    print(f"{n_whistles} whistles of 4 chambers, seed {chosen.seed}, Python {platform.python_version()}, "
          f"numpy {np.__version__}, {platform.machine()}")
    print(HEADING)
    for name, method, customs in runs(chosen.quick):
        print(line_of(row_of(name, outcomes_of(method, customs, n_whistles, chosen.seed), rng)), flush=True)
    for by in () if chosen.quick else ("finger", "slug"):
        tenths = outcomes_of_tenth(by, max(n_whistles // 5, 1), chosen.seed)
        print(line_of(row_of(f"tenth whistle of a pattern, {by}", tenths, rng)), flush=True)
    return 0


def runs(quick: bool) -> list[tuple[str, Method, Customs]]:
    usual = Customs()
    main_runs = [
        ("ruler and ear", without_advice(ruler_and_ear), usual),
        ("proportional trim", without_advice(proportional_trim), usual),
        ("perfect listener (floor)", without_advice(perfect_listener), usual),
        ("advice, finger and trim", by_advice("finger"), usual),
        ("advice, slug and trim", by_advice("slug"), usual),
        ("advice, slide", by_advice("slide"), usual),
    ]
    more_runs = [
        ("slug and trim, slug at 0.2 mm", by_advice("slug"), Customs(slug_sd_mm=0.2)),
        ("finger and trim, 5 % leaking plugs", by_advice("finger"), Customs(leaking_share=0.05)),
        ("finger and trim, 5 % overblown", by_advice("finger"), Customs(overblown_share=0.05)),
        ("finger and trim, wrong bore once", by_advice("finger"), Customs(wrong_bore_per_whistle=1.0)),
    ]
    return main_runs if quick else main_runs + more_runs


if __name__ == "__main__":
    sys.exit(main())
