"""Tables of the journal, one a record type, and the steps that bring an older file up to date.

A published step is never edited: files written by it exist. A change is a new step at the end of `MIGRATIONS`.
"""
from __future__ import annotations

import sqlite3
from collections.abc import Callable
from typing import Final, get_args

from app.records import Record

APPLICATION_ID: Final = 0x57574A4C  # "WWJL", in the header of the file
RECORD_TYPES: Final[dict[str, type]] = {}  # by table name

for _kind in get_args(Record):
    _name = "".join(f"_{c.lower()}" if c.isupper() else c for c in _kind.__name__).lstrip("_")
    RECORD_TYPES[_name] = _kind

_V1_COLUMNS: Final = {
    "whistle_filed": "revision TEXT NOT NULL, document_json TEXT NOT NULL",
    "blow_taken": """
        letter TEXT NOT NULL, stop TEXT NOT NULL, closure_id TEXT NOT NULL,
        depth_mm REAL NOT NULL, depth_sd_mm REAL NOT NULL, depth_measured INTEGER NOT NULL,
        sitting_id TEXT NOT NULL, set_id TEXT NOT NULL, seating INTEGER NOT NULL, voicing_epoch INTEGER NOT NULL,
        neighbours_shut INTEGER NOT NULL, mouthpiece_on INTEGER NOT NULL, cap_on INTEGER NOT NULL,
        blower TEXT NOT NULL, temperature_c REAL, relative_humidity REAL, at_s REAL NOT NULL,
        verdict TEXT NOT NULL, usable INTEGER NOT NULL, warm_up INTEGER NOT NULL,
        frequency_hz REAL, heard_hz REAL, standard_error_cents REAL, spread_cents REAL,
        level_dbfs REAL, breath_db REAL, attack_ms REAL, findings TEXT NOT NULL, duration_s REAL NOT NULL,
        lost_frames INTEGER NOT NULL, sound_file TEXT, reader_version TEXT NOT NULL, model_version TEXT NOT NULL""",
    "plug_set": """
        letter TEXT NOT NULL, stop TEXT NOT NULL, how TEXT NOT NULL, length_mm REAL,
        proud_mm REAL NOT NULL, recess_mm REAL NOT NULL, depth_mm REAL NOT NULL, depth_measured INTEGER NOT NULL,
        depth_sd_mm REAL NOT NULL, asked_mm REAL, said_by TEXT NOT NULL""",
    "voice_changed": "letter TEXT NOT NULL, note TEXT NOT NULL",
    "step_taken": "step TEXT NOT NULL, letter TEXT, text TEXT NOT NULL, value REAL",
    "voided": "voids_id TEXT NOT NULL, why TEXT NOT NULL",
}


_V2_CHORD_COLUMNS: Final = """
    faces TEXT NOT NULL, sitting_id TEXT NOT NULL, mouthpiece_on INTEGER NOT NULL, cap_on INTEGER NOT NULL,
    blower TEXT NOT NULL, temperature_c REAL, at_s REAL NOT NULL, verdict TEXT NOT NULL, usable INTEGER NOT NULL,
    warm_up INTEGER NOT NULL, duration_s REAL NOT NULL, lost_frames INTEGER NOT NULL, sound_file TEXT,
    reader_version TEXT NOT NULL""" + "".join(
    f", {letter}_heard TEXT, {letter}_hz REAL, {letter}_standard_error_cents REAL, {letter}_level_db REAL"
    for letter in "abcdef"
)


def create_version_1(connection: sqlite3.Connection) -> None:
    """Six tables that can be added to, whose facts can be neither changed nor deleted."""
    for table, columns in _V1_COLUMNS.items():
        _create_table(connection, table, columns)


def create_version_2(connection: sqlite3.Connection) -> None:
    """One table more, for blows of the whole whistle."""
    _create_table(connection, "chord_taken", _V2_CHORD_COLUMNS)


def create_version_3(connection: sqlite3.Connection) -> None:
    """Blows with a finger over the plug; no blow of an older file was one."""
    connection.execute("DROP TRIGGER blow_taken_keeps_from_update")
    connection.execute("DROP TRIGGER blow_taken_keeps_from_delete")
    connection.execute("ALTER TABLE blow_taken ADD COLUMN covered INTEGER NOT NULL DEFAULT 0")
    _guard(connection, "blow_taken")


def _create_table(connection: sqlite3.Connection, table: str, columns: str) -> None:
    connection.execute(
        f"CREATE TABLE {table} (sequence INTEGER NOT NULL UNIQUE, id TEXT NOT NULL PRIMARY KEY,"
        f" at_utc TEXT NOT NULL, whistle_id TEXT NOT NULL, {columns})"
    )
    connection.execute(f"CREATE INDEX {table}_of_whistle ON {table} (whistle_id)")
    _guard(connection, table)


def _guard(connection: sqlite3.Connection, table: str) -> None:
    """Every fact that the table has now can be neither changed nor deleted."""
    facts = ", ".join(name for name in column_names(connection, table) if name != "sequence")
    for event in ("DELETE", f"UPDATE OF {facts}"):
        connection.execute(
            f"CREATE TRIGGER {table}_keeps_from_{event.split()[0].lower()} BEFORE {event} ON {table}"
            " BEGIN SELECT RAISE(ABORT, 'the journal is only ever added to'); END"
        )


MIGRATIONS: Final[tuple[Callable[[sqlite3.Connection], None], ...]] = (
    create_version_1, create_version_2, create_version_3,
)
ADDED_COLUMNS: Final = {"blow_taken": 1}  # at the end of a table, since its first version: older rows end before them
CURRENT_VERSION: Final = len(MIGRATIONS)


def column_names(connection: sqlite3.Connection, table: str) -> tuple[str, ...]:
    """The columns the file has, in order."""
    return tuple(row[1] for row in connection.execute(f"PRAGMA table_info({table})"))


def migrate(connection: sqlite3.Connection) -> None:
    """Bring the file to the current version, each step and its number in one transaction.

    A step that fails leaves the file as it was before that step.
    """
    while True:
        connection.execute("BEGIN IMMEDIATE")
        try:
            # read inside the transaction: another start of the program may have migrated meanwhile
            version = connection.execute("PRAGMA user_version").fetchone()[0]
            if version >= CURRENT_VERSION:
                connection.execute("COMMIT")
                return
            MIGRATIONS[version](connection)
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.execute(f"PRAGMA user_version = {version + 1}")
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:  # a severe error may have ended the transaction already
                connection.execute("ROLLBACK")
            raise
