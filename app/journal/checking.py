"""Is the journal sound, and if not, what can still be read? Nothing is written unless a repair is asked for."""
from __future__ import annotations

import os
import shutil
import sqlite3
import tempfile
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from app.errors import WorldError
from app.journal.rows import checked_record, plain_values, table_of
from app.journal.salvage import salvage
from app.journal.schema import RECORD_TYPES
from app.journal.sounds import missing_sounds
from app.journal.store import Journal, refuse_other_databases, refuse_other_files
from app.journal.trouble import NewerJournalError, plain_trouble
from app.records import Record

SMALLEST_ROW_BYTES = 100  # two UUIDs and a time are longer
MOST_BYTES = 1_000_000_000  # a larger size in a damaged header is damage itself
HEAD = "its head is damaged"  # as a fault, which is part of a sentence
LOG_ENDINGS = ("-wal", "-shm")


@dataclass(frozen=True)
class Check:
    """What was found. `n_records` by table counts what can be read."""

    faults: tuple[str, ...]
    n_records: dict[str, int]
    missing_sounds: tuple[str, ...]
    set_aside: Path | None = None  # where the damaged file lies after a repair

    @property
    def sound(self) -> bool:
        return not self.faults


def check(path: Path, *, repair: bool = False) -> Check:
    """Look at a copy of the journal; with `repair`, put what can be read of a damaged one into a new file."""
    if not path.exists():
        raise WorldError(f"There is no journal at {path} yet.")
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / path.name
        copy_with_log(path, copy)
        faults, readable = read_copy(copy, path)
    set_aside = _repair(path, readable) if faults and repair else None
    counts = dict.fromkeys(RECORD_TYPES, 0)
    for _, record in readable:
        counts[table_of(record)] += 1
    missing = missing_sounds(path.parent, (record for _, record in readable))
    return Check(tuple(faults), counts, missing, set_aside)


def copy_with_log(path: Path, copy: Path) -> None:
    """Copy a database together with its write-ahead log, which may hold the latest records."""
    with plain_trouble(path):
        shutil.copyfile(path, copy)
        log = path.with_name(path.name + "-wal")
        if log.exists():
            shutil.copyfile(log, copy.with_name(copy.name + "-wal"))


def read_copy(copy: Path, path: Path) -> tuple[list[str], list[tuple[int, Record]]]:
    """The faults of a copy and the records that can be read, with their places; `path` is what sentences call it."""
    with plain_trouble(path):
        missing = _fill_up(copy)
        bare = copy.with_name("bare")  # the library changes what it opens
        copy_with_log(copy, bare)
        try:
            refuse_other_files(copy, path)
            faults, found = _by_library(copy, path)
        except NewerJournalError:
            raise
        except WorldError:
            found = salvage(bare)
            if not found:
                raise
            return [*missing, HEAD], found
        if not (missing or faults):
            return [], found
        once: dict[str, tuple[int, Record]] = {}
        for pair in (*found, *salvage(bare)):
            once.setdefault(pair[1].id, pair)
        return [*missing, *faults], sorted(once.values(), key=lambda pair: pair[0])


def _by_library(copy: Path, path: Path) -> tuple[list[str], list[tuple[int, Record]]]:
    """What the database library finds wrong and what it can read; WorldError when it takes this for no journal."""
    with closing(sqlite3.connect(copy, isolation_level=None)) as db:
        try:
            refuse_other_databases(db, path)
            found = [line for (told,) in db.execute("PRAGMA integrity_check(10)") for line in told.splitlines()]
            faults = [line for line in found if line != "ok" and not line.startswith("***")]
        except sqlite3.DatabaseError as error:
            faults = [f"its tables are not whole ({error})"]
        except UnicodeDecodeError:
            faults = ["its list of tables is no text"]
        if not faults:
            db.close()
            try:
                with Journal(copy) as journal:  # brings an older file up to date, on the copy
                    return [], journal.places()
            except (WorldError, sqlite3.Error, UnicodeDecodeError):
                faults = ["some rows hold what this program never writes"]
    with closing(sqlite3.connect(copy, isolation_level=None)) as db:
        return faults, [pair for table in RECORD_TYPES for pair in _readable_rows(db, table)]


def _fill_up(copy: Path) -> list[str]:
    """The library reads nothing of a file that was cut short: give it back its length, and the rows before the cut."""
    with copy.open("r+b") as file:
        header = file.read(32)
        page_bytes = int.from_bytes(header[16:18], "big")  # SQLite's file format, section 1.3; 1 stands for 65536
        whole_bytes = int.from_bytes(header[28:32], "big") * (65_536 if page_bytes == 1 else page_bytes)
        there_bytes = file.seek(0, os.SEEK_END)
        if not 0 < there_bytes < whole_bytes <= MOST_BYTES:
            return []
        file.truncate(whole_bytes)
        return [f"the file is cut short: {there_bytes} of {whole_bytes} bytes are there"]


def _readable_rows(db: sqlite3.Connection, table: str) -> list[tuple[int, Record]]:
    """Row by row, so that one bad page costs its own rows only; no row is ever deleted, so numbers have no gaps."""
    found = []
    for row_number in range(1, _last_row_number(db, table) + 1):
        try:
            cursor = db.execute(f"SELECT * FROM {table} WHERE rowid = ?", (row_number,))
            row = cursor.fetchone()
            if row is None:
                continue
            named = dict(zip((column[0] for column in cursor.description), row, strict=True))
            found.append((int(named["sequence"]), checked_record(table, plain_values(table, named), table)))
        except (sqlite3.Error, UnicodeDecodeError, WorldError, TypeError, ValueError):
            continue  # this row is lost
    return found


def _last_row_number(db: sqlite3.Connection, table: str) -> int:
    try:
        return db.execute(f"SELECT max(rowid) FROM {table}").fetchone()[0] or 0
    except (sqlite3.Error, UnicodeDecodeError):
        pass  # the end of the table is damaged: try as many rows as the file could hold
    try:
        pages, page_bytes = (db.execute(f"PRAGMA {name}").fetchone()[0] for name in ("page_count", "page_size"))
    except (sqlite3.Error, UnicodeDecodeError):
        return 0
    return pages * page_bytes // SMALLEST_ROW_BYTES


def _repair(path: Path, readable: list[tuple[int, Record]]) -> Path:
    """A new journal with what could be read, in the same order; the damaged one keeps its bytes under another name."""
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%S%fZ")
    new, aside = (path.with_name(f"{path.name}.{word}-{stamp}") for word in ("new", "damaged"))
    with Journal(new) as journal:
        journal.append_all(record for _, record in readable)
    with plain_trouble(path):
        for ending in ("", *LOG_ENDINGS):
            old = path.with_name(path.name + ending)
            if old.exists():
                os.replace(old, aside.with_name(aside.name + ending))
        os.replace(new, path)
    return aside
