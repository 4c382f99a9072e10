"""How long keeping and reading takes, on this machine's temporary folder."""
from __future__ import annotations

import statistics
import tempfile
import time
import uuid
from pathlib import Path

from app.journal import Journal
from app.records import StepTaken

WHISTLE_ID = "00000000-0000-4000-8000-000000000001"


def print_sizes() -> None:
    """Median and 95th percentile of one append, and opening and reading with 100 and 10,000 records."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "journal.sqlite"
        with Journal(path) as journal:
            times_ms = sorted(_timed_ms(lambda: journal.append(_record())) for _ in range(500))
        print(f"one append: median {statistics.median(times_ms):.2f} ms, 95 % under {times_ms[474]:.2f} ms")
        for n_records in (1_000, 10_000):
            with Journal(path) as journal:
                journal.append_all(_record() for _ in range(n_records - len(journal.records())))
            print(f"open and read {n_records} records: {_timed_ms(lambda: _open_and_read(path)):.0f} ms, "
                  f"{path.stat().st_size / 1000:.0f} kB")


def _record() -> StepTaken:
    return StepTaken(str(uuid.uuid4()), "2026-01-01T00:00:00+00:00", WHISTLE_ID, "stage", None, "Trim", 1.0)


def _open_and_read(path: Path) -> None:
    with Journal(path) as journal:
        journal.records(WHISTLE_ID)


def _timed_ms(action: object) -> float:
    began_s = time.perf_counter()
    action()  # type: ignore[operator]
    return (time.perf_counter() - began_s) * 1000
