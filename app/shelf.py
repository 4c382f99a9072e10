"""What the journal knows while a whistle is laid out: its own records, and what earlier whistles taught."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from app.earlier import recall
from app.evidence import standing
from app.journal import Journal
from app.learned import Learned
from app.place import memory_aside
from app.records import Record
from app.settings import Settings
from app.whistle import Whistle


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
