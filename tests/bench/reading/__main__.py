"""Print the tables. Sets are made again from the printed seed; nothing is kept."""
from __future__ import annotations

import argparse
import platform
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from importlib.metadata import version

import numpy as np

from acoustics.blow import Finding, Verdict
from tests.bench.reading import nothing, peers, sets
from tests.bench.reading.bound import bound_cents
from tests.bench.reading.invented import Recording
from tests.bench.reading.run import Heard, listen
from tests.bench.reading.workshop import workshop

GROSS_CENTS = 50.0
MAKERS = {
    "A": (sets.set_a, 400),
    "B": (sets.set_b, 400),
    "C": (sets.set_c, 200),
    "D": (sets.set_d, 400),
    "E": (sets.set_e, 100),
}
MINUTES_A_KIND = 10.0
FALSE = {
    "F": lambda share, rng: nothing.set_f(60.0 * MINUTES_A_KIND * len(nothing.KINDS) * share, rng),
    "W": lambda share, rng: iter([workshop(600.0 * share, rng)]),
    "N": lambda share, rng: sets.breath_only(round(1000 * share), rng),
}


def main() -> None:
    """Run every set and print what was found."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.reading", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a tenth of the recordings, no slow peer")
    parser.add_argument("--seed", type=int, default=20, help="the sets are made from it")
    parser.add_argument("--sets", default="ABCDEFNWT", help="which sets, e.g. AB")
    parser.add_argument("--no-peers", action="store_true", help="leave the general libraries out")
    options = parser.parse_args()
    share = 0.1 if options.quick else 1.0
    print(f"seed {options.seed}; {platform.machine()}, Python {platform.python_version()}, numpy {version('numpy')}")
    everything: list[Heard] = []
    for name in options.sets:
        rng = np.random.default_rng([options.seed, ord(name)])
        everything += run_set(name, share, rng, not options.no_peers, options.quick)
    print_confusion(everything)


def run_set(name: str, share: float, rng: np.random.Generator, with_peers: bool, quick: bool) -> list[Heard]:
    """One set: made, heard, printed; what was heard, without the sound."""
    if name == "T":
        print_toots(round(500 * share), rng)
        return []
    if name in FALSE:
        return print_false(name, FALSE[name](share, rng))
    maker, n = MAKERS[name]
    made = list(maker(round(n * share), rng))
    heard = [listen(recording) for recording in made]
    print(f"\n== set {name}: {len(made)} recordings")
    print_verdicts(heard)
    if name in "ABC":
        print_errors("this reader", [h.error_cents() for h in heard])
        print_details(heard)
        if with_peers:
            print_peers(made[: 40 if quick else 120], quick)
    print_speed(heard)
    return [without_sound(one) for one in heard]


def print_verdicts(heard: Iterable[Heard]) -> None:
    """How often each verdict was given, by kind."""
    table: dict[str, Counter[str]] = {}
    for one in heard:
        blow = one.best()
        word = "none" if blow is None else blow.verdict.value + ("" if blow.usable else " (not usable)")
        table.setdefault(one.recording.kind, Counter())[word] += 1
    for kind, counts in table.items():
        total = sum(counts.values())
        print(f"  {kind:4s} " + ", ".join(f"{word} {100 * n / total:.1f} %" for word, n in counts.most_common()))


def print_errors(who: str, errors: list[float | None]) -> None:
    """Median, 95 % and gross errors of what was read."""
    size = np.abs([e for e in errors if e is not None])
    if len(size) == 0:
        print(f"  {who}: read none")
        return
    gross, read = 100 * np.mean(size > GROSS_CENTS), 100 * len(size) / len(errors)
    print(f"  {who:34s} read {read:5.1f} %  median {np.median(size):8.4f}  95 % {np.quantile(size, 0.95):8.4f}", end="")
    print(f"  worst {np.max(size):8.3f} cents  gross {gross:.1f} %")


def print_details(heard: list[Heard]) -> None:
    """Against the bound, the stated error, glimpses, delay."""
    read = [(h.error_cents(), h.best(), h) for h in heard]
    fine = [(abs(e), b, h) for e, b, h in read if e is not None and b is not None and abs(e) < GROSS_CENTS]
    over = [e / bound_cents(h.recording) for e, b, h in fine]
    stated = [e / b.standard_error_cents for e, b, h in fine if b.standard_error_cents]
    print(f"  median |error| over the bound's {np.median(over) / 0.6745:.2f}; ", end="")
    print(f"over the stated standard error: median {np.median(stated):.2f}, 95 % {np.quantile(stated, 0.95):.2f}")
    for by_s in (0.10, 0.15, 0.25, 0.50):
        errors = [e for h in heard if (e := h.glimpse_error_cents(by_s)) is not None]
        within = sum(abs(e) <= 3.0 for e in errors) / max(1, len(heard))
        middle = f"median {np.median(np.abs(errors)):.2f} cents of {len(errors)}" if errors else "none yet"
        print(f"  glimpse by {1000 * by_s:.0f} ms: within 3 cents {100 * within:.1f} % of all, {middle}")
    delays = [d for h in heard if (d := h.delay_ms()) is not None]
    print(f"  sound from end to told: median {np.median(delays):.0f} ms, ", end="")
    print(f"95 % {np.quantile(delays, 0.95):.0f} ms, worst {max(delays):.0f} ms")
    told = [(h.recording.chirps, Finding.CHIRPS_FIRST in b.findings) for h in heard if (b := h.best())]
    right, of = sum(a and b for a, b in told), sum(a for a, _ in told)
    print(f"  chirps told: {right} of {of}; falsely: {sum(b and not a for a, b in told)} of {len(told) - of}")
    split = sum(len(h.blows) > 1 for h in heard)
    print(f"  recordings with more than one blow told: {split}")


def print_peers(made: list[Recording], quick: bool) -> None:
    """The general libraries on the same recordings, told where the blow is."""
    for name, peer in peers.PEERS.items():
        if quick and name in peers.SLOW:
            continue
        read = [(peer(one), one.true_hz) for one in made]
        print_errors(name, [1200.0 * float(np.log2(f / true)) if f and true else None for f, true in read])


def print_speed(heard: list[Heard]) -> None:
    """Processor time per second of sound."""
    sound_s = sum(len(h.recording.samples) / h.recording.rate_hz for h in heard)
    spent_s = sum(h.spent_s for h in heard)
    print(f"  {spent_s / sound_s:.4f} s per s of sound, {sound_s / spent_s:.0f} x real time ({sound_s:.0f} s of sound)")


def print_false(name: str, made: Iterable[Recording]) -> list[Heard]:
    """Usable readings where there is no whistle, and the bound of their rate."""
    heard = [listen(recording) for recording in made]
    print(f"\n== set {name}: {len(heard)} recordings")
    seconds: Counter[str] = Counter()
    false: Counter[str] = Counter()
    toots: Counter[str] = Counter()
    for one in heard:
        kind = one.recording.kind
        seconds[kind] += len(one.recording.samples) / one.recording.rate_hz
        false[kind] += sum(b.usable for b in one.blows)
        toots[kind] += one.toots
    for kind, sound_s in seconds.items():
        print(f"  {kind:12s} {sound_s / 60:5.1f} min: {false[kind]} false readings, {toots[kind]} false toots")
    hours, n = sum(seconds.values()) / 3600, sum(false.values())
    print(f"  in all {hours:.2f} h: {n} false readings ({n / hours:.2f} an hour, 95 % below ", end="")
    print(f"{most_of(n) / hours:.2f}), {sum(toots.values())} false toots")
    print_speed(heard)
    return [without_sound(one) for one in heard]


def most_of(n: int) -> float:
    """Upper 95 % bound of the mean of a Poisson count: 3.0 for none, the rule of three."""
    from scipy.stats import chi2

    return float(chi2.ppf(0.95, 2 * (n + 1))) / 2.0


def without_sound(heard: Heard) -> Heard:
    """The same, light enough to be kept to the end."""
    return replace(heard, recording=replace(heard.recording, samples=heard.recording.samples[:0]))


def print_confusion(everything: list[Heard]) -> None:
    """Every blow told: rows what it truly was, columns what it was called; and good blows called overblown."""
    words = [v.value for v in Verdict]
    counts: dict[str, Counter[str]] = {}
    for one in everything:
        told = [b.verdict.value for b in one.blows] if one.recording.true_hz is None else [called(one)]
        counts.setdefault(one.recording.kind, Counter()).update(told)
    print("\n== what it was called (A to D3: the blow itself; else everything told)")
    print(f"  {'':12s}" + "".join(f"{word[:9]:>10s}" for word in [*words, "nothing"]))
    for kind, count in counts.items():
        print(f"  {kind:12s}" + "".join(f"{count[word] or '.':>10}" for word in [*words, "nothing"]))
    good = [called(h) for h in everything if h.recording.kind in ("A", "B", "C") and h.recording.range_hz]
    if good:
        share = 100 * np.mean([word == Verdict.OVERBLOWN.value for word in good])
        print(f"  good blows with a range called overblown: {share:.2f} % of {len(good)}")


def called(heard: Heard) -> str:
    """The verdict on the true blow."""
    blow = heard.best()
    return "nothing" if blow is None else blow.verdict.value


def print_toots(n: int, rng: np.random.Generator) -> None:
    """The gesture, and what must not be taken for it."""
    print(f"\n== set T: {n} recordings")
    right: dict[str, list[bool]] = {}
    for kind, made in sets.toots(n, rng):
        heard = listen(made)
        good = heard.toots == 1 and not heard.blows if kind == "two" else heard.toots == 0
        right.setdefault(kind, []).append(good)
    for kind, good in right.items():
        print(f"  {kind:6s} right in {100 * np.mean(good):.1f} % of {len(good)}")


if __name__ == "__main__":
    main()
