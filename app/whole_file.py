"""A file is written whole or not at all: a full disk or a pulled plug never leaves half of one."""
from __future__ import annotations

import os
from pathlib import Path

from app.errors import WorldError


def reason_of(error: Exception) -> str:
    """What the system said, fit for the middle of a sentence."""
    return (error.strerror or str(error)).lower() if isinstance(error, OSError) else str(error)


def write_whole(path: Path, data: bytes, *, replace: bool, what: str) -> None:
    """Write under a passing name, sync, rename. `what` is how a sentence calls the file: "the settings"."""
    if not replace and path.exists():
        raise WorldError(f"{path} exists already and was left as it is: choose another name for {what}.")
    passing = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            with passing.open("wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            os.replace(passing, path)
        except BaseException:
            passing.unlink(missing_ok=True)
            raise
    except OSError as error:
        reason = reason_of(error)
        raise WorldError(f"{what[:1].upper()}{what[1:]} could not be written to {path}: {reason}.") from error
