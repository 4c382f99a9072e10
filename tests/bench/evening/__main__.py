"""``python -m tests.bench.evening [--whistles 12] [--kills 3] [--seed 1]``: an evening with power cuts."""
from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path

from tests.bench.evening.cuts import held
from tests.bench.evening.sheets import check_sheets


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--whistles", type=int, default=12)
    parser.add_argument("--kills", type=int, default=3, help="times the program is killed and its log cut")
    parser.add_argument("--seed", type=int, default=1, help="of the order of whistles, the moments and the bytes")
    asked = parser.parse_args()
    began_s = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        evening = held(Path(folder), asked.whistles, asked.kills, asked.seed)
        papers = check_sheets(evening.path, evening.confirmed)
    print(f"{asked.whistles} whistles, {evening.n_kills} kills, seed {asked.seed}, "
          f"{time.perf_counter() - began_s:.0f} s")
    print(f"  records confirmed                       {len(evening.confirmed)}")
    print(f"  kills inside an append                  {evening.n_kills_in_an_append}, "
          f"{evening.n_bytes_torn} bytes torn off the log")
    print(f"  copies with the log cut at any byte     {evening.n_copies}, records missing in {evening.n_copies_short}")
    print(f"  places held against what was said last  {evening.n_resumed}")
    print(f"  record sheets {papers.n_sheets}, figures on them held against the tables {papers.n_figures}, "
          f"rows of the evening's table {papers.n_rows}, pages in one file {papers.n_pages}")
    print(f"  faults                                  {len(evening.faults) + len(papers.faults)}")
    for fault in (*evening.faults, *papers.faults):
        print(f"    {fault}")


if __name__ == "__main__":
    main()
