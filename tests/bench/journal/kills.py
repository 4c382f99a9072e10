"""A program that keeps records is killed again and again; then its journal is read by another one.

What this cannot show: a power cut. A killed program leaves the system's own memory of the file whole, so syncing to
the disk is not put to the test; that `synchronous` is FULL is asserted elsewhere.
"""
from __future__ import annotations

import random
import shutil
import sqlite3
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path

from app.journal import Journal

ROOT = Path(__file__).resolve().parents[3]
WHISTLE_ID = "00000000-0000-4000-8000-000000000001"
CHILD = """
import sys, uuid
from pathlib import Path
print("open", flush=True)
from app.journal import Journal
from app.records import StepTaken
with Journal(Path(sys.argv[1])) as journal:
    while True:
        record = StepTaken(str(uuid.uuid4()), "2026-01-01T00:00:00+00:00", sys.argv[2], "stage", None, "Trim" * 50, 1.0)
        journal.append(record)
        print(record.id, flush=True)
"""


@dataclass
class Tally:
    """What was seen over all kills and cuts."""

    n_kills: int = 0
    n_cuts: int = 0
    n_confirmed: int = 0
    n_lost: int = 0
    n_not_opened: int = 0
    n_cut_not_opened: int = 0
    n_cut_out_of_order: int = 0
    confirmed: list[str] = field(default_factory=list)


def kill_and_cut(folder: Path, n_kills: int, n_cuts: int, seed: int) -> Tally:
    """Kill `n_kills` times, and cut copies of the write-ahead log `n_cuts` times in all."""
    chance, tally, path = random.Random(seed), Tally(), folder / "journal.sqlite"
    for kill in range(n_kills):
        tally.confirmed += _run_and_kill(path, chance)
        tally.n_kills += 1
        for _ in range(n_cuts * (kill + 1) // n_kills - tally.n_cuts):
            _cut_log(path, folder / "cut", chance, tally)
        _read_again(path, tally)
    tally.n_confirmed = len(tally.confirmed)
    return tally


def _run_and_kill(path: Path, chance: random.Random) -> list[str]:
    """Ids confirmed before the kill, which falls after a random number of them: anywhere in opening or appending."""
    child = subprocess.Popen(
        [sys.executable, "-c", CHILD, str(path), WHISTLE_ID], stdout=subprocess.PIPE, text=True, cwd=ROOT
    )
    assert child.stdout is not None
    n_lines = chance.choice((1, 1 + chance.randrange(4), chance.randrange(1, 200)))
    lines = [child.stdout.readline() for _ in range(n_lines)]
    for _ in range(chance.randrange(200_000)):  # a wait of no fixed length, so that the kill falls inside an append too
        pass
    child.kill()
    lines += child.stdout.readlines()
    child.wait()
    child.stdout.close()
    assert lines[0] == "open\n", "the child did not start"
    return [line.strip() for line in lines[1:] if line.endswith("\n")]


def _read_again(path: Path, tally: Tally) -> None:
    try:
        with Journal(path) as journal:
            kept = {record.id for record in journal.records(WHISTLE_ID)}
    except Exception:
        tally.n_not_opened += 1
        return
    tally.n_lost += sum(record_id not in kept for record_id in tally.confirmed)


def _cut_log(path: Path, folder: Path, chance: random.Random, tally: Tally) -> None:
    """A copy whose log ends at a random byte must open, be sound, and hold the first so many records without a gap."""
    log = path.with_name(path.name + "-wal")
    if not path.exists() or not log.exists():
        return
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    copy = folder / path.name
    shutil.copyfile(path, copy)
    data = log.read_bytes()
    (folder / log.name).write_bytes(data[: chance.randrange(len(data) + 1)])
    tally.n_cuts += 1
    try:
        with Journal(copy) as journal:
            places = [place for place, _ in journal.places()]
            ids = [record.id for record in journal.records(WHISTLE_ID)]
        with sqlite3.connect(copy) as plain:
            sound = plain.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        plain.close()
    except Exception:
        tally.n_cut_not_opened += 1
        return
    in_order = places == list(range(1, len(places) + 1)) and _is_beginning(ids, tally.confirmed)
    tally.n_cut_out_of_order += not (sound and in_order)


def _is_beginning(ids: list[str], confirmed: list[str]) -> bool:
    """Confirmed ids appear in the order of confirmation, and none is missing before one that is there."""
    kept = [record_id for record_id in ids if record_id in set(confirmed)]
    return kept == confirmed[: len(kept)]
