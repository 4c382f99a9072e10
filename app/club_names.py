"""Names for the numbers of a club evening: only if wanted, in a file of their own that can be deleted whole.

They are never in the journal, which keeps all it is told, nor in anything that is exported from it.
"""
from __future__ import annotations

import json
from pathlib import Path

from app.errors import WorldError
from app.whole_file import reason_of, write_whole

FILE_NAME = "club-names.json"
MOST_CHARACTERS = 20  # read across a room


def load_names(path: Path) -> dict[str, str]:
    """By the whistle's id; empty when there is no file. A file that cannot be read is a WorldError."""
    try:
        raw = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError, RecursionError) as error:
        raise WorldError(f"The names in {path} could not be read: {reason_of(error)}.") from error
    if not isinstance(raw, dict):
        raise WorldError(f"The names in {path} could not be read: it is not a JSON object.")
    return {str(key): value[:MOST_CHARACTERS] for key, value in raw.items() if isinstance(value, str) and value}


def save_names(path: Path, names: dict[str, str]) -> None:
    """Write all of them; without any the file is deleted."""
    kept = {whistle_id: name.strip() for whistle_id, name in names.items() if name.strip()}
    long = next((name for name in kept.values() if len(name) > MOST_CHARACTERS), None)
    if long is not None:
        raise WorldError(f"“{long[:40]}” has {len(long)} characters; a name may have {MOST_CHARACTERS}: shorten it.")
    if not kept:
        forget_names(path)
        return
    write_whole(path, json.dumps(kept, ensure_ascii=False, indent=1).encode("utf-8"), replace=True, what="the names")


def forget_names(path: Path) -> None:
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise WorldError(f"The names in {path} could not be deleted: {reason_of(error)}.") from error
