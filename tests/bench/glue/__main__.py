"""``python -m tests.bench.glue [--whistles 32] [--seed 6000]``: what is named next day, and who is accused.

Invented whistles of four chambers, walked by sound to their dry chord, each glued four times from there: nothing moves;
one plug creeps in by 0.3 mm; one comes out by as much; one leaks, 14 cents sharp. Each time the maker's chance is
another, as another evening would be. Which plug it is goes round with the whistles. The shop is 6 °C colder on every
second day. What moves is invented, and told to nobody; the share named and the share accused are what is measured.
"""
from __future__ import annotations

import argparse
import copy
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np

from app.events import GlueKind
from app.glue_compare import Why
from app.glue_stage import NEXT_DAY
from tests.app.glue_shop import LETTERS, Shop, glued_and_heard_next_day, shop_of

CREEP_MM, LEAK_CENTS, COLDER_C = 0.3, 14.0, -6.0
CASES: Mapping[str, Mapping[str, float]] = {
    "nothing moves": {}, "0.3 mm in": {"creep_mm": CREEP_MM}, "0.3 mm out": {"creep_mm": -CREEP_MM},
    "a leak": {"leak_cents": LEAK_CENTS},
}
RIGHT = {"0.3 mm in": Why.PUSHED_IN, "0.3 mm out": Why.DRAWN_OUT, "a leak": Why.LEAKS}


@dataclass
class Count:
    """Of one case, all whistles together."""

    whistles: int = 0
    named: int = 0  # the plug that moved
    right: int = 0  # with its reason
    accused: int = 0  # whistles with a sound plug that was named
    accused_small: int = 0  # of these, by no more than the maker allows: told to be left
    extra_blows: int = 0
    by_letter: Counter[str] = field(default_factory=Counter)

    def take(self, shop: Shop, case: str, moved_letter: str, rng: np.random.Generator) -> None:
        evening = copy.deepcopy(shop)
        evening.maker.rng = rng
        told = {what: {moved_letter: amount} for what, amount in CASES[case].items()}
        kind = GlueKind.WATER if case == "a leak" else GlueKind.INSTANT
        glue = glued_and_heard_next_day(
            evening, kind, **told, warmer_c=COLDER_C if self.whistles % 2 else 0.0).state.place.glue
        found = {moved.letter: moved for moved in glue.moved}
        hit, beside = found.get(moved_letter) if told else None, [
            moved for letter, moved in found.items() if not told or letter != moved_letter]
        self.whistles += 1
        self.named += hit is not None
        self.right += hit is not None and hit.why is RIGHT[case]
        self.by_letter[moved_letter] += hit is not None
        self.accused += bool(beside)
        self.accused_small += bool(beside) and all(moved.small for moved in beside)
        self.extra_blows += sum(column.n_blows - 2 for column in glue.columns if column.name == NEXT_DAY)


    def named_text(self, case: str) -> str:
        if case not in RIGHT:
            return ""
        by_letter = ", ".join(f"{letter} {self.by_letter[letter]}" for letter in LETTERS)
        return f" named {self.named} of {self.whistles} ({by_letter}), with its reason {self.right};"


def dried(n_whistles: int, seed: int) -> Iterator[tuple[int, Shop]]:
    """Those that reached their dry chord."""
    for number in range(n_whistles):
        try:
            yield number, shop_of(seed + number)
        except AssertionError:
            print(f"  whistle {seed + number} did not reach its dry chord, and is left out")


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.glue", description=__doc__)
    parser.add_argument("--whistles", type=int, default=32)
    parser.add_argument("--seed", type=int, default=6000, help="of the first whistle")
    asked = parser.parse_args()
    counts = {case: Count() for case in CASES}
    for number, shop in dried(asked.whistles, asked.seed):
        for at, (case, count) in enumerate(counts.items()):
            count.take(shop, case, LETTERS[number % len(LETTERS)], np.random.default_rng([asked.seed + number, at]))
    print(f"{asked.whistles} whistles of four chambers from seed {asked.seed}, two dry chords each:")
    for case, count in counts.items():
        print(f"  {case:14}{count.named_text(case)} a sound plug accused in {count.accused} of {count.whistles}"
              f" whistles, {count.accused_small} of them told to be left; further blows"
              f" {count.extra_blows / count.whistles:.2f}")


if __name__ == "__main__":
    main()
