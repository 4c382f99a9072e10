"""Which whistle is meant, and putting its document into the journal."""
from __future__ import annotations

import uuid
from datetime import UTC, datetime
from pathlib import Path

from app.errors import WorldError
from app.journal import Journal
from app.records import WhistleFiled
from app.shelf import filed_whistles
from app.shelf_words import title
from app.whistle import Whistle, decode_whistle, dump_whistle, load_whistle, revision


def find_whistle(text: str, journal: Journal) -> Whistle:
    """A document by its path, or a whistle of the journal by id, number or name."""
    if text.endswith(".json") or Path(text).is_file():
        return load_whistle(Path(text))
    wanted, (filed, unread) = text.strip().casefold(), filed_whistles(journal)
    if wanted in unread:
        refused = next(one for one in journal.whistles() if one.whistle_id == wanted)
        return decode_whistle(refused.document_json, f"The journal's whistle {wanted}")  # says what is wrong with it
    for key in (lambda w: w.id, lambda w: w.name.casefold(), lambda w: "" if w.number is None else str(w.number)):
        found = [whistle for whistle in filed if wanted and key(whistle) == wanted]
        if len(found) > 1:
            raise WorldError(f"“{text}” is {len(found)} whistles; give an id: {', '.join(w.id for w in found)}.")
        if found:
            return found[0]
    known = ", ".join(title(whistle) for whistle in filed[:8]) or "none"
    raise WorldError(f"“{text[:60]}” is no whistle document and no whistle of the journal, which has: {known}.")


def filing(whistle: Whistle, journal: Journal) -> tuple[WhistleFiled, ...]:
    """The record that puts this revision on the bench; none when it lies there already."""
    mine = revision(whistle)
    if any(one.whistle_id == whistle.id and one.revision == mine for one in journal.whistles()):
        return ()
    return (WhistleFiled(new_id(), now_utc(), whistle.id, mine, dump_whistle(whistle).decode("utf-8")),)


def new_id() -> str:
    return str(uuid.uuid4())


def now_utc() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds")
