"""Where the program writes: one folder, with the journal, its sounds, the settings and a log without sound."""
from __future__ import annotations

import logging
import logging.handlers
import os
import sys
from pathlib import Path
from types import TracebackType
from typing import IO, Self

from app.errors import WorldError
from app.whole_file import reason_of

APP_NAME = "whistlewright"
JOURNAL_NAME = "journal.sqlite"
PRACTICE_FOLDER = "practice"  # an invented whistle never gets into the maker's own journal
LOG_NAME = "whistlewright.log"
LOG_BYTES, LOG_FILES = 500_000, 3


def home_folder(chosen: str | None) -> Path:
    """The folder that `--home` names, or the one this system keeps for programs; made when missing."""
    from platformdirs import user_data_path

    if chosen is not None and not chosen.strip():
        raise WorldError("--home is empty: name a folder, or leave it out.")
    home = Path(chosen).expanduser() if chosen else user_data_path(APP_NAME, appauthor=False)
    try:
        home.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = reason_of(error)
        raise WorldError(f"The folder {home} could not be made: {reason}; choose another with --home.") from error
    return home.resolve()


def journal_path(home: Path, practice: bool = False) -> Path:
    """The journal; sounds named in it lie relative to its folder."""
    return (home / PRACTICE_FOLDER if practice else home) / JOURNAL_NAME


class _Log(logging.handlers.RotatingFileHandler):
    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802 - the library's name
        """A full disk or a missing folder is told by whoever writes something that matters."""


def start_log(home: Path) -> None:
    """Log to a file that never grows past a few hundred kilobytes; nothing heard is written into it."""
    handler = _Log(home / LOG_NAME, maxBytes=LOG_BYTES, backupCount=LOG_FILES - 1, encoding="utf-8", delay=True)
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    stop_log()  # one run, one log
    logging.getLogger().addHandler(handler)
    logging.getLogger().setLevel(logging.INFO)


def stop_log() -> None:
    """Close the log; nothing more is written into it."""
    for handler in _log_handlers():
        logging.getLogger().removeHandler(handler)
        handler.close()


def log_path() -> str | None:
    """Where this run logs; None when it could not."""
    return next((handler.baseFilename for handler in _log_handlers()), None)


def _log_handlers() -> list[_Log]:
    return [each for each in logging.getLogger().handlers if isinstance(each, _Log)]


class HomeLock:
    """Held while a window or a walk is open on this home: two would each ask for the next blow.

    The system lets go of it when the program ends in any way, so a stale one cannot lock the maker out.
    """

    def __init__(self, home: Path) -> None:
        self._path = home / "open.lock"
        self._file: IO[bytes] | None = None

    def __enter__(self) -> Self:
        try:
            self._file = self._path.open("a+b")
        except OSError as error:
            reason = reason_of(error)
            raise WorldError(f"The folder {self._path.parent} cannot be written to: {reason}.") from error
        try:
            _lock(self._file)
        except OSError:
            self._file.close()
            raise WorldError(
                f"Whistlewright is open already on {self._path.parent}: go to its window, or use another --home."
            ) from None
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, _: TracebackType | None) -> None:
        if self._file is not None:
            self._file.close()


def _lock(file: IO[bytes]) -> None:
    """Take the lock at once or raise OSError; it goes when the file is closed."""
    if sys.platform == "win32":
        import msvcrt

        file.seek(0)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
    os.set_inheritable(file.fileno(), False)
