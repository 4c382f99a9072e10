"""The whistles of the journal: what it knows while one is laid out, where each stands, and whose glue is due."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from app.club import Standing, evening_of
from app.club_book import Evening, standings
from app.earlier import recall
from app.errors import WorldError
from app.evidence import standing
from app.glue_due import glue_due_utc
from app.journal import Journal
from app.learned import Learned
from app.place import memory_aside
from app.records import Record, StepTaken
from app.settings import Settings
from app.shelf_words import title
from app.whistle import Whistle, decode_whistle


@dataclass
class Shelf:
    """Read once, when the sheet is opened; asked again at every key, so each pattern is fitted once."""

    kept: tuple[Record, ...] = ()
    settings: Settings = field(default_factory=Settings)
    _known: dict[tuple[object, ...], Learned] = field(default_factory=dict)

    @classmethod
    def of_journal(cls, path: Path, settings: Settings) -> Shelf:
        with Journal(path) as journal:
            return cls(journal.records(), settings)

    def records(self, whistle_id: str | None = None) -> tuple[Record, ...]:
        """All of them, or one whistle's."""
        return tuple(one for one in self.kept if whistle_id is None or one.whistle_id == whistle_id)

    def standing(self, whistle_id: str) -> Sequence[Record]:
        return standing(self.records(whistle_id))

    def learned(self, whistle: Whistle) -> Learned:
        """What earlier whistles taught of this one; nothing where its maker set that aside."""
        if memory_aside(self.standing(whistle.id)):
            return Learned()
        known = any(one.whistle_id == whistle.id for one in self.kept)
        sizes = tuple((c.bore_mm, c.window_width_mm, c.window_height_mm) for c in whistle.chambers)
        key = (sizes, whistle.id if known else "")
        if key not in self._known:
            self._known[key] = recall(self, whistle, self.settings)
        return self._known[key]


def filed_whistles(journal: Journal) -> tuple[tuple[Whistle, ...], tuple[str, ...]]:
    """Every whistle of the journal as it was described last, in the order they came; ids of those that cannot be read.

    One such document, of a later program on another laptop, keeps no other whistle off the bench.
    """
    found, unread = [], []
    for filed in journal.whistles():
        try:
            found.append(decode_whistle(filed.document_json, f"The journal's whistle {filed.whistle_id}"))
        except WorldError:
            unread.append(filed.whistle_id)
    return tuple(found), tuple(unread)


def journal_standings(path: Path, settings: Settings) -> tuple[tuple[Standing, ...], tuple[str, ...]]:
    """Where every whistle of the journal stands, who was touched last first; ids of those that cannot be read."""
    with Journal(path) as journal:
        whistles, unread = filed_whistles(journal)
        found = standings(journal, Evening("", whistles), settings)
    return tuple(sorted(found, key=lambda each: each.since_utc, reverse=True)), unread


def glue_elsewhere(journal: Journal, on_bench: Whistle) -> tuple[tuple[str, str], ...]:
    """When glue asks for its chord again and the whistle's title, the earliest first, without the one on the bench.

    Nor those of the same club evening: they are called by number.
    """
    kept = journal.records()
    glued = {record.whistle_id for record in kept if isinstance(record, StepTaken) and record.step == "glued"}
    if not glued - {on_bench.id}:
        return ()
    here, found = evening_of(journal.standing(on_bench.id)), []
    for whistle in filed_whistles(journal)[0]:
        if whistle.id not in glued:
            continue
        records = journal.standing(whistle.id)
        due_utc = glue_due_utc([chamber.letter for chamber in whistle.chambers], records)
        if due_utc and whistle.id != on_bench.id and not (here and evening_of(records) == here):
            found.append((due_utc, title(whistle)))
    return tuple(sorted(found))
