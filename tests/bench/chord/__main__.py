"""Print the tables: ``python -m tests.bench.chord [--quick] [--seed S]``. Every chord is made again from the seed."""
from __future__ import annotations

import argparse
import platform
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from importlib.metadata import version

import numpy as np

from acoustics.blow import BlowEnded, BlowFinder
from acoustics.chord import ChordReading, ExpectedVoice, read_chord
from acoustics.errors import NoSolutionError
from tests.bench.chord.invented import CHORDS, LETTERS, Case, Chord, Rng, blown, drawn
from tests.bench.chord.peers import PEERS

GROSS_CENTS = 50.0
Errors = list[float | None]


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.chord", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a tenth of the chords")
    parser.add_argument("--seed", type=int, default=31, help="the chords are made from it")
    options = parser.parse_args()
    n = 8 if options.quick else 80
    versions = ", ".join(f"{name} {version(name)}" for name in ("numpy", "librosa"))
    print(f"seed {options.seed}; {platform.machine()}, Python {platform.python_version()}, {versions}")
    print("errors in cents, absolute: median / 95 % / largest; over 50 cents or none is gross")
    by_chord(n, options.seed)
    by_noise(n, options.seed)
    by_guess(n, options.seed)
    through_the_finder(n, options.seed)
    confusion(2 * n, options.seed)
    near_voices(n // 2, options.seed)


# ---- reading one case ------------------------------------------------------------------------------------------
def cents(measured_hz: float, true_hz: float) -> float:
    return 1200.0 * float(np.log2(measured_hz / true_hz))


def guesses_of(case: Case, off_cents: float, rng: Rng) -> list[float]:
    """Where the chambers are said to be: their true pitch, missed by up to `off_cents`."""
    off = rng.uniform(-off_cents, off_cents, len(case.planned_hz))
    return [case.true_hz(at) * 2.0 ** (float(cents) / 1200.0) for at, cents in enumerate(off)]


def read(case: Case, guesses_hz: Sequence[float], within_cents: float = 100.0) -> ChordReading | None:
    voices = [ExpectedVoice(letter, hz, within_cents) for letter, hz in zip(LETTERS, guesses_hz, strict=False)]
    try:
        return read_chord(case.samples, case.rate_hz, voices)
    except NoSolutionError:
        return None


def errors_of(case: Case, reading: ChordReading | None) -> tuple[Errors, Errors]:
    """Against the mean over the stretch that was read, and over the whole steady part; silent chambers left out."""
    sounding = [at for at in range(len(case.planned_hz)) if at not in case.silent]
    if reading is None:
        return [None] * len(sounding), [None] * len(sounding)
    heard = [(at, reading.voices[at].frequency_hz) for at in sounding]
    over = [None if hz is None else cents(hz, case.true_hz(at, reading.start_s, reading.end_s)) for at, hz in heard]
    whole = [None if hz is None else cents(hz, case.true_hz(at)) for at, hz in heard]
    return over, whole


def line(name: str, errors: Iterable[float | None]) -> str:
    told = list(errors)
    sizes = [abs(error) for error in told if error is not None]
    gross = sum(size > GROSS_CENTS for size in sizes) + len(told) - len(sizes)
    if not sizes:
        return f"  {name:44} nothing read of {len(told)}"
    middle, most, largest = np.quantile(sizes, [0.5, 0.95, 1.0])
    return f"  {name:44} {middle:7.3f} / {most:7.3f} / {largest:8.3f}   gross {gross} of {len(told)}"


# ---- tables ----------------------------------------------------------------------------------------------------
def by_chord(n: int, seed: int) -> None:
    """Harmonic to noise 15 to 30 dB, guesses missed by up to 60 cents; peers on the same sound."""
    print("\n== by chord, 15 to 30 dB of tone over noise")
    for name in CHORDS:
        over: Errors = []
        whole: Errors = []
        peers: dict[str, Errors] = {peer: [] for peer in PEERS}
        for number in range(n):
            rng = np.random.default_rng([seed, 1, sorted(CHORDS).index(name), number])
            case = blown(drawn(name, rng), rng)
            guesses_hz = guesses_of(case, 60.0, rng)
            stretch, all_of_it = errors_of(case, read(case, guesses_hz))
            over, whole = over + stretch, whole + all_of_it
            for peer, ask in PEERS.items():
                peers[peer] += [cents(hz, case.true_hz(at)) for at, hz in enumerate(ask(case, guesses_hz))]
        print(f" {name}")
        print(line("this reader, over the stretch it read", over))
        print(line("this reader, over the whole steady part", whole))
        for peer, errors in peers.items():
            print(line(f"{peer}, told the steady part", errors))


def by_noise(n: int, seed: int) -> None:
    print("\n== by noise, major sixth: over the stretch it read")
    for noise_db in (30.0, 20.0, 15.0, 10.0, 5.0, 0.0):
        over: Errors = []
        for number in range(n // 2):
            rng = np.random.default_rng([seed, 2, number])
            case = blown(drawn("major sixth", rng, noise_db), rng)
            over += errors_of(case, read(case, guesses_of(case, 60.0, rng)))[0]
        print(line(f"{noise_db:3.0f} dB of tone over noise", over))


def by_guess(n: int, seed: int) -> None:
    print("\n== by how far the guesses miss, close cluster (two semitones apart): over the stretch it read")
    for off_cents in (0.0, 30.0, 60.0, 80.0, 99.0):
        over: Errors = []
        for number in range(n // 2):
            rng = np.random.default_rng([seed, 3, number])
            case = blown(drawn("close cluster", rng), rng)
            over += errors_of(case, read(case, guesses_of(case, off_cents, rng)))[0]
        print(line(f"up to {off_cents:.0f} cents", over))


def through_the_finder(n: int, seed: int) -> None:
    """As `hear-chord` does it: the blow finder cuts the blow out first."""
    print("\n== through the blow finder, all chords: over the stretch it read")
    over: Errors = []
    verdicts: Counter[str] = Counter()
    for number in range(n):
        rng = np.random.default_rng([seed, 4, number])
        case = blown(drawn(list(CHORDS)[number % len(CHORDS)], rng), rng)
        guesses_hz = guesses_of(case, 60.0, rng)
        finder = BlowFinder(case.rate_hz)
        ended = [one for one in [*finder.feed(case.samples), *finder.finish()] if isinstance(one, BlowEnded)]
        verdicts.update([one.blow.verdict.value for one in ended] or ["none"])
        if not ended:
            over += [None] * len(case.planned_hz)
            continue
        longest = max(ended, key=lambda one: one.blow.end_s - one.blow.start_s)
        reading = read(replace(case, samples=longest.samples), guesses_hz)
        if reading is not None:
            start_s = longest.samples_start_s
            reading = replace(reading, start_s=reading.start_s + start_s, end_s=reading.end_s + start_s)
        over += errors_of(case, reading)[0]
    print(line("all", over))
    print("  verdicts of the single-blow reader:", dict(verdicts))


def confusion(n: int, seed: int) -> None:
    """One chamber silent (its bore still hisses) or faded; what is said of it and of the others."""
    print("\n== a chamber silent or faint: what is said of it (rows), and of the others")
    table: dict[str, Counter[str]] = {}
    for number in range(n):
        rng = np.random.default_rng([seed, 5, number])
        chord = drawn(list(CHORDS)[number % len(CHORDS)], rng)
        at = int(rng.integers(len(chord.planned_hz)))
        fade_db = (None, None, None, 6.0, 20.0)[number // len(CHORDS) % 5]
        if fade_db is None:
            chord = replace(chord, silent=frozenset({at}))
        else:
            chord = replace(chord, fade_db=tuple(fade_db if one == at else 0.0 for one in range(len(chord.planned_hz))))
        case = blown(chord, rng)
        reading = read(case, guesses_of(case, 60.0, rng))
        for one in range(len(chord.planned_hz)):
            row = "the others" if one != at else "silent" if fade_db is None else f"{fade_db:.0f} dB down"
            word = "nothing read" if reading is None else reading.voices[one].heard.value
            table.setdefault(row, Counter())[word] += 1
    for row in sorted(table):
        print(f"  {row:16}", ", ".join(f"{word} {count}" for word, count in table[row].most_common()))


def near_voices(n: int, seed: int) -> None:
    print("\n== two chambers near each other, roots 520 to 1000 Hz, guesses missed alike: what is said, and errors")
    for apart_cents in (6, 12, 18, 25, 35, 50, 75, 100):
        said: Counter[str] = Counter()
        over: Errors = []
        for number in range(n):
            rng = np.random.default_rng([seed, 6, apart_cents, number])
            low_hz = float(rng.uniform(520.0, 1000.0))
            planned = (low_hz, low_hz * 2.0 ** (apart_cents / 1200.0), low_hz * 1.5)
            length_s = float(rng.uniform(0.9, 1.6))
            case = blown(Chord(planned, (0.0, 0.0, 0.0), float(rng.uniform(15.0, 30.0)), length_s), rng)
            off = 2.0 ** (rng.uniform(-40.0, 40.0) / 1200.0)
            reading = read(case, [hz * off for hz in planned])
            pair = ["nothing read"] * 2 if reading is None else [voice.heard.value for voice in reading.voices[:2]]
            said["both heard" if pair == ["heard"] * 2 else " and ".join(pair)] += 1
            over += [error for error in errors_of(case, reading)[0][:2] if error is not None]
        words = ", ".join(f"{word} {count}" for word, count in said.most_common())
        print(line(f"{apart_cents:3} cents: {words}", over) if over else f"  {apart_cents:3} cents: {words}")


if __name__ == "__main__":
    main()
