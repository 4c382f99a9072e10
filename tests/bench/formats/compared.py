"""The same blows before and after a change: what was still read, and how far the reading moved."""
from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from tests.bench.formats.changes import Change, Codec, all_changes
from tests.bench.reading import peers, sets
from tests.bench.reading.invented import Recording
from tests.bench.reading.run import Heard, listen

GROSS_CENTS = 50.0
Few = dict[str, int]  # how many of the sounds each peer is asked about
PEERS = {"praat": peers.praat, "yin": peers.yin, "pyin": peers.pyin}


@dataclass(frozen=True)
class Row:
    """One reading before and after."""

    before: Heard
    after: Heard

    def moved_cents(self) -> float | None:
        """None unless it was read both times."""
        was, is_ = (h.best() for h in (self.before, self.after))
        if was is None or is_ is None or was.frequency_hz is None or is_.frequency_hz is None:
            return None
        return 1200.0 * float(np.log2(is_.frequency_hz / was.frequency_hz))

    def verdicts(self) -> tuple[str, str]:
        was, is_ = (h.best() for h in (self.before, self.after))
        return _word(was), _word(is_)


def _word(blow: object) -> str:
    return "none" if blow is None else str(blow.verdict.value) + ("" if blow.usable else "*")  # type: ignore[attr-defined]


def changed(made: Recording, change: Change) -> Recording:
    """The recording after the change; its truth stays."""
    samples, rate_hz = change(made.samples.astype(np.float64), made.rate_hz)
    return replace(made, samples=samples.astype(np.float32), rate_hz=rate_hz)


def print_changes(seed: int, n: int, peers_n: Few) -> None:
    """Sets A and B, every change; each peer on the first few of the same sounds."""
    for name, maker in (("A", sets.set_a), ("B", sets.set_b)):
        made = list(maker(n, np.random.default_rng([seed, ord(name)])))
        before = [listen(one) for one in made]
        print(f"\n== set {name} changed: {n} recordings; peers on the first {peers_n}; * not usable")
        print(f"  {'':25s} from the truth {'':31s} | moved | verdicts changed")
        print(f"  {'':25s}    read   median     95 %     worst gross |  95 %   worst |")
        print_rows("as made", [Row(one, one) for one in before])
        print_peers(made, peers_n)
        for word, change in all_changes().items():
            print_change(word, change, made, before, peers_n)


def print_change(word: str, change: Change, made: list[Recording], before: list[Heard], peers_n: Few) -> None:
    """One change: the reader's line, then its peers'. A codec's line tells what its files weighed."""
    try:
        after = [changed(one, change) for one in made]
    except LookupError as trouble:
        print(f"  {word:25s} left out: {trouble}")
        return
    weight = f", {change.kbit_per_s:.0f} kbit/s" if isinstance(change, Codec) else ""
    print_rows(word + weight, [Row(one, listen(two)) for one, two in zip(before, after, strict=True)])
    print_peers(after, peers_n)


def sizes(errors: Iterable[float | None]) -> str:
    """Share read, then median, 95 % and worst size, and gross errors in percent of all."""
    every = list(errors)
    size = np.abs([e for e in every if e is not None])
    if len(size) == 0:
        return f"{0:5.1f} % {'-':>8s} {'-':>8s} {'-':>9s} {'-':>5s}"
    gross = 100.0 * float(np.sum(size > GROSS_CENTS)) / len(every)
    middle, most, worst = np.median(size), np.quantile(size, 0.95), np.max(size)
    return f"{100 * len(size) / len(every):5.1f} % {middle:8.4f} {most:8.4f} {worst:9.3f} {gross:4.1f}%"


def print_rows(word: str, rows: list[Row]) -> None:
    """The reader's line."""
    moved = np.abs([m for row in rows if (m := row.moved_cents()) is not None])
    told = f"{np.quantile(moved, 0.95):7.4f} {np.max(moved):7.3f}" if len(moved) else f"{'-':>7s} {'-':>7s}"
    turned = Counter(pair for row in rows if (pair := row.verdicts())[0] != pair[1])
    ways = ", ".join(f"{a} > {b} {n}" for (a, b), n in turned.most_common(3))
    print(f"  {word:25s} {sizes(row.after.error_cents() for row in rows)} | {told} | {sum(turned.values())}  {ways}")


def print_peers(made: list[Recording], peers_n: Few) -> None:
    """The general libraries, told where the blow is: median, 95 %, gross errors."""
    told = []
    for name, n in peers_n.items():
        read = [(PEERS[name](one), one.true_hz) for one in made[:n]]
        size = np.abs([1200.0 * np.log2(f / true) for f, true in read if f and true])
        if len(size):
            gross = 100.0 * float(np.mean(size > GROSS_CENTS))
            told.append(f"{name} {np.median(size):.3f} / {np.quantile(size, 0.95):.2f}, gross {gross:.0f} %")
    if told:
        print("      " + "; ".join(told))
