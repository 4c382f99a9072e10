"""Is the journal sound, and if not, what can still be read? Nothing is written unless a repair is asked for."""
from __future__ import annotations

import os
import sqlite3
import tempfile
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from app.errors import WorldError
from app.journal.exchange import copy_with_log
from app.journal.rows import checked_record, field_types, table_of
from app.journal.schema import RECORD_TYPES
from app.journal.store import Journal, refuse_other_databases, refuse_other_files
from app.journal.trouble import plain_trouble
from app.records import BlowTaken, ChordTaken, Record

SMALLEST_ROW_BYTES = 100  # two UUIDs and a time are longer
MOST_BYTES = 1_000_000_000  # a larger size in a damaged header is damage itself
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
        faults, readable = _look(copy, path)
    set_aside = _repair(path, readable) if faults and repair else None
    counts = dict.fromkeys(RECORD_TYPES, 0)
    for _, record in readable:
        counts[table_of(record)] += 1
    return Check(tuple(faults), counts, _missing_sounds(path, readable), set_aside)


def _look(copy: Path, path: Path) -> tuple[list[str], list[tuple[int, Record]]]:
    """The faults of a copy and the records that can be read, with their places."""
    with plain_trouble(path):
        refuse_other_files(copy, path)
        missing = _fill_up(copy)
        with closing(sqlite3.connect(copy, isolation_level=None)) as db:
            try:
                refuse_other_databases(db, path)
                faults = [row[0] for row in db.execute("PRAGMA integrity_check(10)") if row[0] != "ok"]
            except sqlite3.DatabaseError as error:
                faults = [str(error)]
            faults = missing + faults
            if not faults:
                db.close()
                with Journal(copy) as journal:  # brings an older file up to date, on the copy
                    return [], journal.places()
            found = [pair for table in RECORD_TYPES for pair in _readable_rows(db, table)]
            return faults, sorted(found, key=lambda pair: pair[0])


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
            for key, hint in field_types(table).items():
                if hint is bool and named.get(key) in (0, 1):
                    named[key] = bool(named[key])
            found.append((int(named["sequence"]), checked_record(table, named, table)))
        except (sqlite3.Error, UnicodeDecodeError, WorldError, TypeError, ValueError):
            continue  # this row is lost
    return found


def _last_row_number(db: sqlite3.Connection, table: str) -> int:
    try:
        return db.execute(f"SELECT max(rowid) FROM {table}").fetchone()[0] or 0
    except sqlite3.Error:
        pass  # the end of the table is damaged: try as many rows as the file could hold
    try:
        pages, page_bytes = (db.execute(f"PRAGMA {name}").fetchone()[0] for name in ("page_count", "page_size"))
    except sqlite3.Error:
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


def _missing_sounds(path: Path, readable: list[tuple[int, Record]]) -> tuple[str, ...]:
    named = (record.sound_file for _, record in readable if isinstance(record, BlowTaken | ChordTaken))
    return tuple(sound for sound in named if sound and not (path.parent / sound).is_file())
