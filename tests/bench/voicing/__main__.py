"""Run by hand: python -m tests.bench.voicing [--whistles N] [--seed S]"""
from __future__ import annotations

import argparse

import numpy as np

from tests.bench.voicing.leaks import WAYS, judged

BLOWS = (3, 5)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.voicing", description=__doc__)
    parser.add_argument("--whistles", type=int, default=200, help="of four chambers, for each row (default 200)")
    parser.add_argument("--seed", type=int, default=11)
    parser.add_argument("--quick", action="store_true", help="40 whistles")
    options = parser.parse_args()
    n_whistles = 40 if options.quick else options.whistles
    print(f"leak suspected before any check: {n_whistles} whistles of four, a fifth of the plugs leaking, seed "
          f"{options.seed}")
    for n_blows in BLOWS:
        plugs = list(judged(n_whistles, options.seed, n_blows))
        n_leaking = sum(plug.leaks for plug in plugs)
        print(f"after {n_blows} blows on one seating: {n_leaking} leaking plugs, {len(plugs) - n_leaking} sound ones")
        for at, way in enumerate(WAYS):
            shares = [np.mean([plug.suspected[at] for plug in plugs if plug.leaks is leaks]) for leaks in (True, False)]
            print(f"  {way:34} leaking suspected {100 * shares[0]:5.1f} %   sound suspected {100 * shares[1]:5.1f} %")


if __name__ == "__main__":
    main()
