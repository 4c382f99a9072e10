"""Print the tables: ``python -m tests.bench.like [--quick] [--seed S]``. Every chord is made again from the seed."""
from __future__ import annotations

import argparse
import platform
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from importlib.metadata import version

import numpy as np

from acoustics.errors import NoSolutionError
from acoustics.like import Doubt, LikedChord, hear_like
from tests.bench.like.chords import FAMILIES, HIDING_STEPS, RATE_HZ, STEPS, Mixed, Rng, invented, recorded
from tests.bench.like.no_chords import ONE_NOTE, REFUSED
from tests.soundfont import GENERAL_MIDI

SAME_CENTS = 40.0  # a note that lies this near a true one is that note
INVENTED = "invented horns"
STOPPED = "recorded stopped pipes"
SHAKY = {Doubt.TOO_NEAR, Doubt.SWELLS}
Make = Callable[[Sequence[int], Rng, float], Mixed]


@dataclass
class Score:
    """What became of some chords; errors of intervals in cents, apart where a note's level swells or has a rival."""

    n: int = 0
    right: int = 0
    more: int = 0  # chords with a note that is not there
    less_said: int = 0  # chords with a note missed, and it was said that one could hide, or that one is in doubt
    less_unsaid: int = 0
    refused: int = 0
    errors: list[float] = field(default_factory=list)
    shaky: list[float] = field(default_factory=list)
    within: list[bool] = field(default_factory=list)  # two standard errors

    def add(self, mixed: Mixed, reading: LikedChord | None, wandering: bool) -> None:
        self.n += 1
        if reading is None:
            self.refused += 1
            return
        heard = [note.frequency_hz for note in reading.notes]
        true = list(mixed.near_hz)
        if any(min(abs(cents(hz, one)) for one in true) > SAME_CENTS for hz in heard):
            self.more += 1
        elif len(heard) < len(true):
            self.less_said += not reading.is_sure
            self.less_unsaid += reading.is_sure
        else:
            self.right += 1
            self._measure(mixed, reading, wandering)

    def _measure(self, mixed: Mixed, reading: LikedChord, wandering: bool) -> None:
        true_hz = mixed.mean_hz if wandering else mixed.true_hz
        span_s = reading.start_s, reading.end_s
        off = [cents(note.frequency_hz, true_hz(at, *span_s)) for at, note in enumerate(reading.notes)]
        first, *rest = zip(reading.notes, off, strict=True)
        for note, error in rest:
            shaky = SHAKY & ({*note.doubts} | {*first[0].doubts})
            (self.shaky if shaky else self.errors).append(error - first[1])
            both = float(np.hypot(note.standard_error_cents, first[0].standard_error_cents))
            self.within.append(abs(error - first[1]) < 2.0 * both + 0.3)  # 0.3: what the two references differ by

    def line(self, name: str) -> str:
        words = f"{name:38} right {self.right:3}/{self.n:<3} false note {self.more:2}, missed {self.less_said:2} said "
        words += f"{self.less_unsaid:2} unsaid, refused {self.refused:2};"
        return f"  {words} {quantiles(self.errors)}; shaky {quantiles(self.shaky)}; in 2 s.e. {share(self.within)}"


def cents(measured_hz: float, true_hz: float) -> float:
    return 1200.0 * float(np.log2(measured_hz / true_hz))


def quantiles(errors: Sequence[float]) -> str:
    if not errors:
        return "-"
    middle, most, largest = np.quantile(np.abs(errors), [0.5, 0.95, 1.0])
    return f"{middle:.2f}/{most:.2f}/{largest:.2f} of {len(errors)}"


def share(told: Sequence[bool]) -> str:
    return f"{100 * float(np.mean(told)):.0f} %" if told else "-"


def read(mixed: Mixed) -> LikedChord | None:
    try:
        return hear_like(mixed.samples, RATE_HZ)
    except NoSolutionError:
        return None


def kinds() -> Iterator[tuple[str, Make, bool]]:
    """Name, maker, and whether Praat's mean is its truth (a wandering note has no one frequency)."""
    for family in FAMILIES if GENERAL_MIDI.exists() else ():
        yield family, lambda steps, rng, db, family=family: recorded(family, steps, rng, db), family != STOPPED
    yield INVENTED, invented, False


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.like", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a quarter of the chords")
    parser.add_argument("--seed", type=int, default=19, help="the chords are made from it")
    options = parser.parse_args()
    n = 5 if options.quick else 20
    versions = ", ".join(f"{name} {version(name)}" for name in ("numpy", "praat-parselmouth"))
    print(f"seed {options.seed}; {platform.machine()}, Python {platform.python_version()}, {versions}")
    print("interval errors in cents, absolute: median/95 %/largest; shaky: a note that swells or has a rival")
    by_number(n, options.seed)
    by_noise(n, options.seed)
    no_chords(n, options.seed)


def by_number(n: int, seed: int) -> None:
    print("\n== notes 40 dB over white noise")
    for kind, (name, make, wandering) in enumerate(kinds()):
        for n_notes, sets in (*STEPS.items(), (0, HIDING_STEPS)):
            score = Score()
            for number in range(n):
                rng = np.random.default_rng([seed, 1, kind, n_notes, number])
                mixed = make(sets[number % len(sets)], rng, 40.0)
                score.add(mixed, read(mixed), wandering)
            print(score.line(f"{name}, {n_notes}" if n_notes else f"{name}, with octave or twelfth"), flush=True)


def by_noise(n: int, seed: int) -> None:
    print("\n== three and four notes, by noise")
    for kind, (name, make, wandering) in enumerate(kinds()):
        for noise_db in (20.0, 10.0, 5.0, 0.0, -5.0, -10.0):
            score = Score()
            for number in range(n // 2):
                rng = np.random.default_rng([seed, 2, kind, number])
                sets = STEPS[3 + number % 2]
                mixed = make(sets[number // 2 % len(sets)], rng, noise_db)
                score.add(mixed, read(mixed), wandering)
            print(score.line(f"{name}, {noise_db:.0f} dB"), flush=True)


def no_chords(n: int, seed: int) -> None:
    print("\n== no chord: refused, or so many notes")
    for kind, (name, make) in enumerate({**REFUSED, **ONE_NOTE}.items()):
        said: Counter[str] = Counter()
        for number in range(n):
            made = make(np.random.default_rng([seed, 3, kind, number]))
            try:
                said[f"{len(hear_like(getattr(made, 'samples', made), RATE_HZ).notes)} notes"] += 1
            except NoSolutionError as refusal:
                said[str(refusal).partition(":")[0].split(",")[0]] += 1
        print(f"  {name:24}", "; ".join(f"{word}: {count}" for word, count in said.most_common()), flush=True)


if __name__ == "__main__":
    main()
