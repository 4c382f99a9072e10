"""Makes every recording of this folder and its index: ``python -m sample_audio.make`` from the project's root.

All sound is invented (`acoustics.synthesis`); each file has a seed of its own, printed and kept in the index, so that
the same versions of the program and of numpy make the same samples again.
"""
from __future__ import annotations

import csv
import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from acoustics.synthesis import (
    BlowRecipe,
    Samples,
    breathy,
    clipped,
    hum,
    overblown,
    render_blow,
    room_noise,
    several,
    two_toots,
)
from app.invented import HiddenChamber, HiddenWhistle

HERE = Path(__file__).resolve().parent
RATE_HZ = 48_000
ROOM_DBFS = -72.0
LICENCE = "MIT"
RECIPE = "the recipe's mean pitch from the end of the attack to the start of the release"
COLUMNS = ("file", "true_hz", "how_known", "licence", "what", "verdict", "seed")
Chance = np.random.Generator
GOOD = BlowRecipe(703.2, duration_s=1.1, level_dbfs=-20.0, breath_db=-26.0)


@dataclass(frozen=True)
class Sample:
    """One recording: `true_hz` is what sounds, one figure for each blow; `verdict` what a good reader should say."""

    name: str
    seed: int
    make: Callable[[Chance], Samples]
    true_hz: tuple[float, ...]
    how_known: str
    what: str
    verdict: str


def quiet(duration_s: float, rng: Chance) -> Samples:
    return room_noise(round(duration_s * RATE_HZ), RATE_HZ, ROOM_DBFS, rng)


def in_room(sound: Samples, rng: Chance, before_s: float = 0.6, after_s: float = 0.4) -> Samples:
    """The sound with quiet room before, under and after it."""
    begin = round(before_s * RATE_HZ)
    heard = quiet(before_s + after_s + len(sound) / RATE_HZ, rng)
    heard[begin:begin + len(sound)] += sound
    return heard


def one(recipe: BlowRecipe) -> Callable[[Chance], Samples]:
    return lambda rng: in_room(render_blow(recipe, RATE_HZ, rng), rng)


def over_hum(rng: Chance) -> Samples:
    heard = one(GOOD)(rng)
    return heard + hum(len(heard), RATE_HZ, -40.0, rng, fundamental_hz=100.0)


def overdriven(rng: Chance) -> Samples:
    return clipped(one(replace(GOOD, duration_s=0.8))(rng), over_db=9.0)


def toots(rng: Chance) -> Samples:
    return in_room(two_toots(GOOD, RATE_HZ, rng), rng, after_s=0.8)


def two_chambers(rng: Chance) -> Samples:
    parts = [render_blow(replace(GOOD, frequency_hz=hz), RATE_HZ, rng) for hz in TWO_HZ]
    return in_room(several(parts), rng)


def fan(rng: Chance) -> Samples:
    """A collector's blades: 57.5 turns a second times 6, in the range of the notes (worked out, not recorded)."""
    n_samples = 2 * RATE_HZ
    return quiet(2.0, rng) + hum(n_samples, RATE_HZ, -34.0, rng, 345.0, (0.0, -9.0, -16.0, -22.0))


def chatter(rng: Chance) -> Samples:
    """Something like speech: buzzing syllables whose pitch glides, shaped by three passing formants."""
    syllables = []
    while sum(map(len, syllables)) < 1.9 * RATE_HZ:
        n_samples = round(float(rng.uniform(0.10, 0.25)) * RATE_HZ)
        share = np.arange(n_samples) / n_samples
        glide_hz = float(rng.uniform(110.0, 210.0)) * (1.0 + float(rng.uniform(-0.2, 0.2)) * share)
        phase = 2.0 * math.pi * np.cumsum(glide_hz) / RATE_HZ
        formants_hz = [float(rng.uniform(*band)) for band in ((300.0, 800.0), (900.0, 2200.0), (2300.0, 3000.0))]
        wave = np.zeros(n_samples)
        for number in range(1, 25):
            gain = sum(1.0 / (1.0 + ((number * 150.0 - hz) / 120.0) ** 2) for hz in formants_hz)
            wave += gain / number**0.5 * np.sin(number * phase)
        syllables += [0.03 * wave * np.sin(math.pi * share), np.zeros(round(float(rng.uniform(0.02, 0.12)) * RATE_HZ))]
    return in_room(np.concatenate(syllables).astype(np.float32), rng, before_s=0.4, after_s=0.3)


HARBOUR_B = HiddenWhistle("Harbour", 20.0, 1.2, 0.0, (
    HiddenChamber("B", 880.0, 12.7, 130.0, 130.0, 10.0, 6.0, window_mm=13.1, attack_ms=45.0, breath_db=-27.0),))
HARBOUR_B_HZ = tuple(
    HARBOUR_B.resonance_hz("B", 0.0, 21.5) * 2.0 ** (cents / 1200.0) for cents in (-2.4, 0.7, 1.9)
)
TWO_HZ = (560.0, 706.0)


def three_blows(rng: Chance) -> Samples:
    soft = replace(GOOD, duration_s=0.7, level_dbfs=-30.0, breath_db=-34.0)
    blows = [render_blow(replace(soft, frequency_hz=hz), RATE_HZ, rng) for hz in HARBOUR_B_HZ]
    return np.concatenate([in_room(blow, rng, 0.35, 0.0) for blow in blows] + [quiet(0.3, rng)])


SAMPLES = (
    Sample("clean", 1, one(GOOD), (703.2,), RECIPE, "one good blow in a quiet room", "steady"),
    Sample("breathy", 2, one(breathy(GOOD)), (703.2,), RECIPE, "more breath than tone", "breathy"),
    Sample("overblown", 3, one(overblown(GOOD)), (703.2 * 3.04,), f"{RECIPE}: 3.04 times the chamber's own 703.2 Hz",
           "a chamber that jumped to its second note", "overblown"),
    Sample("drifting", 4, one(replace(GOOD, drift_cents_per_s=25.0, wander_cents=3.0)), (703.2,), RECIPE,
           "the pitch climbs by 25 cents a second", "steady"),
    Sample("chirp-first", 5, one(replace(GOOD, chirp_ms=60.0, attack_ms=80.0)), (703.2,), RECIPE,
           "starts on its second note for 60 ms, then speaks", "steady"),
    Sample("thin", 6, one(replace(GOOD, harmonics_db=(0.0, -14.0, 8.0, -12.0, 2.0, -20.0))), (703.2,), RECIPE,
           "the fundamental 8 dB under its third partial", "steady"),
    Sample("over-hum", 7, over_hum, (703.2,), RECIPE, "100 Hz hum and its harmonics before and through the blow",
           "steady"),
    Sample("clipped", 8, overdriven, (703.2,), RECIPE, "the microphone overdriven by 9 dB", "clipped"),
    Sample("two-toots", 9, toots, (), "no reading is to be taken", "the sign for “done”", ""),
    Sample("harbour-b-three-blows", 10, three_blows, HARBOUR_B_HZ,
           "a quarter-wave of invented physics, then each recipe's mean pitch",
           "a set of three on chamber B of the harbour whistle, a flat scrap on its end", "steady"),
    Sample("two-chambers", 11, two_chambers, TWO_HZ, "two recipes at once", "two chambers speak at once", "several"),
    Sample("chatter", 12, chatter, (), "no whistle in it", "something like speech", "not_a_whistle"),
    Sample("fan", 13, fan, (), "no whistle in it", "a steady hum at 345 Hz, in the range of the notes", "hum"),
    Sample("quiet", 14, lambda rng: quiet(2.0, rng), (), "no whistle in it", "the room alone", ""),
)


def main() -> None:
    """Write every file and the index."""
    import soundfile

    with (HERE / "index.csv").open("w", newline="", encoding="utf-8") as file:
        index = csv.writer(file, lineterminator="\n")
        index.writerow(COLUMNS)
        for sample in SAMPLES:
            path = HERE / f"{sample.name}.flac"
            soundfile.write(path, sample.make(np.random.default_rng(sample.seed)), RATE_HZ, subtype="PCM_16")
            true_hz = " ".join(f"{hz:.3f}" for hz in sample.true_hz)
            index.writerow((path.name, true_hz, sample.how_known, LICENCE, sample.what, sample.verdict, sample.seed))
            print(f"{path.name}: seed {sample.seed}, {path.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
