"""``python -m tests.bench.journal [--kills 200] [--cuts 200] [--seed 1]``: is anything that was confirmed ever lost?"""
from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

from tests.bench.journal.kills import kill_and_cut
from tests.bench.journal.sizes import print_sizes


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200, help="times the appending program is killed")
    parser.add_argument("--cuts", type=int, default=200, help="copies whose write-ahead log is cut at a random byte")
    parser.add_argument("--seed", type=int, default=1, help="of the moments and the bytes")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        tally = kill_and_cut(Path(folder), options.kills, options.cuts, options.seed)
    print(f"{tally.n_kills} kills, seed {options.seed}: {tally.n_confirmed} records were confirmed before them")
    print(f"  journals that did not open again        {tally.n_not_opened}")
    print(f"  confirmed records missing afterwards    {tally.n_lost}")
    print(f"{tally.n_cuts} write-ahead logs cut at a random byte")
    print(f"  did not open                            {tally.n_cut_not_opened}")
    print(f"  unsound, or a gap in the order          {tally.n_cut_out_of_order}")
    print_sizes()


if __name__ == "__main__":
    main()
