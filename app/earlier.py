"""The whistles of a journal that came to the bench before one: what memory is read from, in one place for all."""
from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Protocol

from app.errors import WorldError
from app.evidence import standing
from app.learned import Learned, learned
from app.records import Record, StepTaken, WhistleFiled
from app.settings import Settings
from app.whistle import Whistle, decode_whistle


class AllRecords(Protocol):
    """As much of a journal as memory needs."""

    def records(self) -> tuple[Record, ...]: ...


def recall(journal: AllRecords, whistle: Whistle, settings: Settings) -> Learned:
    """What earlier whistles taught about this one: the same for the window, the terminal and `advise`."""
    if not settings.memory:
        return Learned(switched_off=True)
    earlier, unread = earlier_whistles(journal.records(), whistle.id)
    known = learned(whistle, earlier, settings.blower)
    return replace(known, unread=(*unread, *known.unread))


def earlier_whistles(
    records: Iterable[Record], whistle_id: str
) -> tuple[list[tuple[Whistle, Sequence[Record]]], tuple[str, ...]]:
    """Finished or begun, in the order they first came to the bench; and the documents that could not be read.

    Whistles that came later are left out whatever their dates: the same journal always teaches the same.
    """
    of_whistle: dict[str, list[Record]] = {}
    order: dict[str, None] = {}
    for record in records:
        of_whistle.setdefault(record.whistle_id, []).append(record)
        if isinstance(record, WhistleFiled):
            order.setdefault(record.whistle_id)
    found: list[tuple[Whistle, Sequence[Record]]] = []
    unread: list[str] = []
    for other_id in order:
        if other_id == whistle_id:
            break
        counted = standing(of_whistle[other_id])
        filed = [record for record in counted if isinstance(record, WhistleFiled)]
        if not filed or not any(isinstance(record, StepTaken) and record.step == "accepted" for record in counted):
            continue  # nothing in it could teach
        try:
            found.append((decode_whistle(filed[-1].document_json, f"The journal's whistle {other_id}"), counted))
        except WorldError:
            unread.append(other_id)
    return found, tuple(unread)
