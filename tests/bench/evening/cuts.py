"""A club evening whose program is killed outright, and whose write-ahead log is cut at random bytes; then it goes on.

After each kill the journal itself loses a random part of what came after its last confirmation, as a power cut tears
what was not synced; and copies of it lose the log from any byte on, which must leave a sound beginning of the evening.

What this cannot show: that the disk keeps what it said was synced. That `synchronous` is FULL is asserted elsewhere.
"""
from __future__ import annotations

import json
import os
import random
import shutil
import sqlite3
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import msgspec

from app import records as kinds
from app.closeness import policy_of
from app.club_book import latest_evening
from app.journal import Journal
from app.records import Record
from app.session import Sitting
from app.whistle import Whistle
from app.workflow import begin
from tests.simulation.evening import SETTINGS, log_end

ROOT = Path(__file__).resolve().parents[3]
LINES_BEFORE_A_KILL = (20, 60)  # from the least to the most, for each whistle of the evening that has four chambers
COPIES = 8  # of the journal, each with its log cut anywhere
State = list[Any]


@dataclass
class Evening:
    """What the killed programs said, and what was found afterwards."""

    folder: Path
    n_whistles: int
    confirmed: list[Record] = field(default_factory=list)
    states: dict[tuple[int, int], State] = field(default_factory=dict)  # by number and count of its records
    last: dict[int, tuple[int, State]] = field(default_factory=dict)  # by number: the last said, and after how many
    log_bytes: int = 0  # where the log ended at the last confirmation
    n_kills: int = 0
    n_kills_in_an_append: int = 0  # something had been written that was not confirmed
    n_bytes_torn: int = 0
    n_copies: int = 0
    n_copies_short: int = 0  # in which records were truly missing, so that the cut did cut
    n_resumed: int = 0  # whistles whose place was held against what was said last
    finished: bool = False
    faults: list[str] = field(default_factory=list)

    @property
    def path(self) -> Path:
        return self.folder / "journal.sqlite"

    @property
    def log(self) -> Path:
        return self.path.with_name(self.path.name + "-wal")


def held(folder: Path, n_whistles: int, n_kills: int, seed: int) -> Evening:
    """The whole evening; `faults` says all that was wrong."""
    chance, evening = random.Random(seed), Evening(folder, n_whistles)
    for kill in range(n_kills):
        low, high = (n_whistles * each // n_kills for each in LINES_BEFORE_A_KILL)
        _run(evening, f"{seed}.{kill}", 3 * chance.randrange(low, high), chance)
        if evening.finished:
            evening.faults.append(f"kill {kill + 1}: the evening had ended before it")
        evening.n_kills += 1
        for _ in range(COPIES):
            _check_copy(evening, chance)
        _tear(evening, chance)
        check(evening, evening.path)
    _run(evening, f"{seed}.end", None, chance)
    check(evening, evening.path)
    if not evening.finished:
        evening.faults.append("the evening did not come to its end")
    return evening


def _run(evening: Evening, seed: str, n_lines: int | None, chance: random.Random) -> None:
    """Let the program run, killed after so many lines at a moment of no fixed length; None lets it come to its end."""
    command = [sys.executable, "-m", "tests.simulation.evening", str(evening.folder), seed, str(evening.n_whistles)]
    environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT, env=environment) as child:
        assert child.stdout is not None
        for n, line in enumerate(child.stdout, 1):
            _hear(evening, line)
            if n_lines is not None and n >= n_lines and "about_to_keep" in line:
                break
        if n_lines is not None:
            for _ in range(chance.randrange(60_000)):  # some ms, so that most kills fall inside an append
                pass
            child.kill()
        for line in child.stdout:
            if line.endswith("\n"):  # the last may be torn
                _hear(evening, line)
    if n_lines is None and child.returncode != 0:
        evening.faults.append(f"the program ended with code {child.returncode}")


def _hear(evening: Evening, line: str) -> None:
    told = json.loads(line)
    if "kind" in told:
        evening.confirmed.append(msgspec.convert(told["record"], type=getattr(kinds, told["kind"])))
        evening.log_bytes = told["log_bytes"]
    elif "state" in told:
        evening.states[told["number"], told["n_records"]] = told["state"]
        evening.last[told["number"]] = (told["n_records"], told["state"])
    evening.finished = evening.finished or "finished" in told


def _tear(evening: Evening, chance: random.Random) -> None:
    """What was written after the last confirmation may be lost from any byte on."""
    if not evening.log.exists():
        return
    begin, end = evening.log_bytes, log_end(evening.log)
    if end < begin:  # it began anew meanwhile: all that was confirmed is in the file itself
        begin = 0
    evening.n_kills_in_an_append += end > begin
    keep = chance.randint(begin, min(end, evening.log.stat().st_size))
    os.truncate(evening.log, keep)
    evening.n_bytes_torn += end - keep
    evening.path.with_name(evening.path.name + "-shm").unlink(missing_ok=True)  # memory, gone with the power


def _check_copy(evening: Evening, chance: random.Random) -> None:
    """A copy whose log ends anywhere opens, is sound, and is a beginning of the evening in which every place agrees."""
    folder = evening.folder / "copy"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    shutil.copyfile(evening.path, folder / evening.path.name)
    if evening.log.exists():
        data = evening.log.read_bytes()
        (folder / evening.log.name).write_bytes(data[: chance.randrange(len(data) + 1)])
    evening.n_copies += 1
    check(evening, folder / evening.path.name, cut=True)


def check(evening: Evening, path: Path, *, cut: bool = False) -> None:
    """Nothing confirmed is missing or other than it was said, and every whistle stands where it was."""
    name = f"after kill {evening.n_kills}{', a cut copy' if cut else ''}"
    try:
        with Journal(path) as journal:
            kept = journal.records()
            whistles = latest_evening(journal).whistles
        with sqlite3.connect(path) as plain:
            sound = plain.execute("PRAGMA integrity_check").fetchone()
        plain.close()
    except Exception as fault:  # whatever it is, the evening could not go on
        evening.faults.append(f"{name}: did not open: {fault}")
        return
    if sound != ("ok",):
        evening.faults.append(f"{name}: {sound}")
    said = {record.id: record for record in evening.confirmed}
    beginning = [record for record in kept if record.id in said]
    evening.n_copies_short += cut and len(beginning) < len(evening.confirmed)
    wanted = evening.confirmed[: len(beginning)] if cut else evening.confirmed
    if beginning != wanted:
        evening.faults.append(f"{name}: {len(wanted) - len(beginning)} of {len(wanted)} confirmed records are missing, "
                              "or others came in their place")
    for whistle in whistles:
        _check_place(evening, whistle, [r for r in kept if r.whistle_id == whistle.id], name, cut)


def _check_place(evening: Evening, whistle: Whistle, kept: list[Record], name: str, cut: bool) -> None:
    """Held against what the walk said when it had so many of the records."""
    number = whistle.number or 0
    last = evening.last.get(number)
    if last is None or (cut and len(kept) < last[0]):
        told = max((n for one, n in evening.states if one == number and n <= len(kept)), default=0)
        last = (told, evening.states[number, told]) if told else None
    if last is None:
        return
    n_records, state = last
    if place_of(whistle, kept[:n_records]) != state:
        evening.faults.append(f"{name}: no. {number} does not stand where it was, {state}")
    evening.n_resumed += 1


def place_of(whistle: Whistle, kept: list[Record]) -> State:
    """Where the walk begins with these records, in another process than the one that was killed."""
    state, _effects = begin(whistle, kept, Sitting("another", SETTINGS.units), policy_of(SETTINGS))
    request = state.request
    stop = request.stop.value if request.stop else None
    return [state.place.stage.value, request.task.value, request.letter, stop, request.depth_mm, request.amount_mm,
            request.text]
