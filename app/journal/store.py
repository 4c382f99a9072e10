"""The journal file: facts are appended, each in its own committed transaction, and read back in order."""
from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Self

from app.errors import WorldError
from app.evidence import standing
from app.journal.rows import field_names, record_of, row_of, table_of
from app.journal.salvage import salvage
from app.journal.schema import APPLICATION_ID, CURRENT_VERSION, RECORD_TYPES, migrate
from app.journal.trouble import NewerJournalError, fault_of, plain_trouble
from app.records import Record, WhistleFiled

BUSY_WAIT_S = 5.0  # another command may be writing; a write takes milliseconds
HEADER = b"SQLite format 3\0"


class Journal:
    """Opens the file, or makes it. Everything that goes wrong outside is a WorldError of one sentence."""

    def __init__(self, path: Path) -> None:
        self.path = Path(path)
        with plain_trouble(self.path):
            self._db = _open(self.path)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, _: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; what was appended is on the disk already."""
        self._db.close()

    def append(self, record: Record) -> None:
        """Keep one record; it is on the disk when this returns, and not kept at all when it raises."""
        self.append_all((record,))

    def append_all(self, records: Iterable[Record]) -> None:
        """Keep all of these records or none, in this order."""
        with plain_trouble(self.path), self.transaction():
            for place, record in enumerate(records, self.last_place() + 1):
                self.insert(record, place)

    def records(self, whistle_id: str | None = None) -> tuple[Record, ...]:
        """A read: every record of one whistle, or of all, in order, tombstones and what they void left in."""
        with plain_trouble(self.path):
            return tuple(record for _, record in self.places(whistle_id))

    def standing(self, whistle_id: str) -> tuple[Record, ...]:
        """A read: the records of one whistle that count, tombstones applied."""
        return standing(self.records(whistle_id))

    def whistles(self) -> tuple[WhistleFiled, ...]:
        """A read: the latest standing revision of every whistle, in the order they first came to the bench."""
        latest: dict[str, WhistleFiled] = {}
        for record in standing(self.records()):
            if isinstance(record, WhistleFiled):
                latest[record.whistle_id] = record
        return tuple(latest.values())

    def places(self, whistle_id: str | None = None) -> list[tuple[int, Record]]:
        """A read: records with their place in the order."""
        found: list[tuple[int, Record]] = []
        for table in RECORD_TYPES:
            where, values = (" WHERE whistle_id = ?", (whistle_id,)) if whistle_id is not None else ("", ())
            cursor = self._db.execute(f"SELECT * FROM {table}{where}", values)
            names = [column[0] for column in cursor.description]
            for row in cursor:
                named = dict(zip(names, row, strict=True))
                try:
                    found.append((named["sequence"], record_of(table, named)))
                except ValueError as fault:
                    raise fault_of(sqlite3.SQLITE_CORRUPT, self.path) from fault
        return sorted(found, key=lambda pair: pair[0])

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """Everything inside is committed together, or nothing is."""
        self._db.execute("BEGIN IMMEDIATE")
        try:
            yield
            self._db.execute("COMMIT")
        except BaseException:
            if self._db.in_transaction:  # a full disk may have ended it already
                self._db.execute("ROLLBACK")
            raise

    def insert(self, record: Record, place: int) -> None:
        """Inside a transaction: add one record at this place in the order."""
        table = table_of(record)
        names = ("sequence", *field_names(table))
        marks = ", ".join(f":{name}" for name in names)
        row = row_of(record) | {"sequence": place}
        self._db.execute(f"INSERT INTO {table} ({', '.join(names)}) VALUES ({marks})", row)

    def move(self, record: Record, place: int) -> None:
        """Inside a transaction: give a record another place in the order (the fact itself never changes)."""
        self._db.execute(f"UPDATE {table_of(record)} SET sequence = ? WHERE id = ?", (place, record.id))

    def last_place(self) -> int:
        """The highest place given so far."""
        tops = " UNION ALL ".join(f"SELECT max(sequence) AS top FROM {table}" for table in RECORD_TYPES)
        return self._db.execute(f"SELECT max(top) FROM ({tops})").fetchone()[0] or 0


def _open(path: Path) -> sqlite3.Connection:
    """A connection to a journal of the current version."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with _lost_head_told(path):
        refuse_other_files(path, path)
    db = sqlite3.connect(path, timeout=BUSY_WAIT_S, isolation_level=None)
    try:
        with _lost_head_told(path):
            refuse_other_databases(db, path)
        db.execute("PRAGMA journal_mode = WAL")
        db.execute("PRAGMA synchronous = FULL")
        migrate(db)
    except BaseException:
        db.close()
        raise
    return db


@contextmanager
def _lost_head_told(path: Path) -> Iterator[None]:
    """What does not look like a journal and yet holds records was one: then it is damage, not another's file."""
    try:
        yield
    except NewerJournalError:
        raise
    except WorldError as refusal:
        if path.is_file() and salvage(path):
            raise fault_of(sqlite3.SQLITE_NOTADB, path) from refusal
        raise


def refuse_other_files(path: Path, named: Path) -> None:
    """WorldError for what is no database at all; `named` is the file as a sentence should call it."""
    if not path.exists():
        return
    if path.is_dir():
        raise WorldError(f"{named} is a folder; the journal is a file.")
    with path.open("rb") as file:
        header = file.read(len(HEADER))
    if header and header != HEADER:
        raise WorldError(f"{named} is no journal and was left as it is: move it away, and a new one will be made.")


def refuse_other_databases(db: sqlite3.Connection, path: Path) -> None:
    """An unknown or newer database is not touched."""
    application = db.execute("PRAGMA application_id").fetchone()[0]
    version = db.execute("PRAGMA user_version").fetchone()[0]
    tables = db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    if application != APPLICATION_ID and (application or version or tables):
        raise WorldError(f"{path} is a database of another program, and it was left as it is.")
    if version > CURRENT_VERSION:
        raise NewerJournalError(
            f"{path} is from a newer Whistlewright (journal version {version}, this one reads {CURRENT_VERSION}):"
            " update the program; the journal was left as it is."
        )
