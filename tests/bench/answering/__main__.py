"""Run by hand: python -m tests.bench.answering [--readings N] [--minutes M]

Advice for a whistle of six chambers in this process; `hear` on a long invented recording as a command, at a terminal.
"""
from __future__ import annotations

import argparse
import os
import platform
import statistics
import time

from tests.bench.answering.recording import measure_hear
from tests.bench.answering.six_chambers import records_of, six_chambers


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.answering", description=__doc__)
    parser.add_argument("--readings", type=int, default=100, help="readings in the whistle's journal (default 100)")
    parser.add_argument("--runs", type=int, default=15, help="how often advice is asked for (default 15)")
    parser.add_argument("--minutes", type=float, default=10.0, help="length of the recording; 0 for none (default 10)")
    options = parser.parse_args()
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    measure_advice(options.readings, options.runs)
    if options.minutes:
        measure_hear(options.minutes)


def measure_advice(n_readings: int, runs: int) -> None:
    """The model alone, and all that the walk does between a blow and its sentence."""
    from acoustics.tuning import Policy, Priors, advise, fit
    from app.evidence import evidence, standing
    from app.place import place
    from app.whistle import to_plan

    hidden, whistle = six_chambers()
    records, plan = records_of(hidden, whistle, n_readings), to_plan(whistle)
    seen = evidence(records)
    model_ms, place_ms = [], []
    for _ in range(runs + 1):
        began_s = time.perf_counter()
        advise(fit(plan, seen.observations, Priors()), Policy(), seen.closures)
        between_s = time.perf_counter()
        place(plan, standing(records), Policy(), Priors())
        model_ms.append(1000.0 * (between_s - began_s))
        place_ms.append(1000.0 * (time.perf_counter() - between_s))
    print(f"\n{len(whistle.chambers)} chambers, {len(seen.observations)} readings, {runs} runs: median (worst) ms")
    for words, times_ms in (("fit and advise", model_ms[1:]), ("the whole place of the walk", place_ms[1:])):
        print(f"  {words:28}{statistics.median(times_ms):7.1f} ({max(times_ms):.1f})")
    print(f"  load of the machine {os.getloadavg()[0]:.1f}", flush=True)


if __name__ == "__main__":
    main()
