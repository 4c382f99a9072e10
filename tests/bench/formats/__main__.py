"""Print the tables."""
from __future__ import annotations

import argparse
import platform
from importlib.metadata import version

from tests.bench.formats.compared import print_changes
from tests.bench.formats.others import print_instruments, print_recorded
from tests.bench.formats.pipes import print_pipes


def main() -> None:
    """Run the parts that were asked for."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.formats", description=__package__)
    parser.add_argument("--quick", action="store_true", help="a few of each, no slow peer")
    parser.add_argument("--seed", type=int, default=41, help="the invented blows and the tunes are made from it")
    parser.add_argument("--parts", default="pcir", help="as above")
    parser.add_argument("--blows", type=int, default=80, help="of each set that are changed")
    options = parser.parse_args()
    print(f"seed {options.seed}; {platform.machine()}, Python {platform.python_version()}, "
          f"numpy {version('numpy')}, soundfile {version('soundfile')}, soxr {version('soxr')}")
    if "p" in options.parts:
        print_pipes(options.seed)
    if "c" in options.parts:
        few = {"praat": 12, "yin": 12}
        some = {"praat": 40, "yin": 40, "pyin": 8}
        print_changes(options.seed, 12 if options.quick else options.blows, few if options.quick else some)
    if "i" in options.parts:
        print_instruments(options.seed, options.quick)
    if "r" in options.parts:
        print_recorded(options.seed, 0.05 if options.quick else 1.0)


if __name__ == "__main__":
    main()
