"""What the database library complains of, as one plain sentence each."""
from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from app.errors import WorldError
from app.whole_file import reason_of

CHECK = "run “whistlewright journal check --repair”, which sets the file aside and keeps all that can be read"
SENTENCES = {
    sqlite3.SQLITE_FULL: "the disk is full: make room; everything confirmed before is kept",
    sqlite3.SQLITE_READONLY: "the file or its folder may not be written to: change that or use another --home",
    sqlite3.SQLITE_CANTOPEN: "the file could not be opened: is the folder there, and may it be written to?",
    sqlite3.SQLITE_NOTADB: f"the file is not a readable database: {CHECK}",
    sqlite3.SQLITE_CORRUPT: f"the file is damaged: {CHECK}",
    sqlite3.SQLITE_BUSY: "another program is holding the file: close it and try again",
    sqlite3.SQLITE_LOCKED: "another program is holding the file: close it and try again",
    sqlite3.SQLITE_IOERR: "the disk did not take or give the data: is it still plugged in, and is there room?",
    sqlite3.SQLITE_PERM: "the system refused access to the file",
    sqlite3.SQLITE_TOOBIG: "one entry is larger than the file can hold",
    sqlite3.SQLITE_NOLFS: "the file is larger than this disk's format allows",
    sqlite3.SQLITE_PROTOCOL: "another program is holding the file: close it and try again",
}


class DamagedJournalError(WorldError):
    """What can still be read of this journal can be had back: `app.journal.checking.check` with `repair`."""


class NewerJournalError(WorldError):
    """A sound journal that a later version wrote; not to be repaired."""


def fault_for(error: sqlite3.Error, path: Path) -> WorldError | None:
    """What the world did, in one sentence; None when the fault is the program's own."""
    primary = getattr(error, "sqlite_errorcode", 0) & 0xFF  # the extended code's low byte is the family
    if not primary and "decode" in str(error).lower():  # Python's own complaint of text that is no text
        primary = sqlite3.SQLITE_CORRUPT
    return fault_of(primary, path) if primary in SENTENCES else None


def fault_of(code: int, path: Path) -> WorldError:
    """The fault for one of the library's codes."""
    sentence = SENTENCES[code]
    kind = DamagedJournalError if code in (sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT) else WorldError
    return kind(f"The journal {path}: {sentence}{'' if sentence.endswith('?') else '.'}")


@contextmanager
def plain_trouble(path: Path) -> Iterator[None]:
    """Turn the world's faults into WorldError; the program's own pass through."""
    try:
        yield
    except sqlite3.Error as error:
        fault = fault_for(error, path)
        if fault is None:
            raise
        raise fault from error
    except UnicodeDecodeError as error:  # the library quotes what it found, and that is no text
        raise fault_of(sqlite3.SQLITE_CORRUPT, path) from error
    except OSError as error:
        reason = reason_of(error)
        raise WorldError(f"The journal {path} could not be opened: {reason}.") from error
