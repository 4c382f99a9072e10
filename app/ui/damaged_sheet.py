"""A damaged journal: set it aside, and go on with what can be read of it."""
from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.journal.checking import Check
from app.settings import Settings
from app.shelf_words import damage_lines, set_aside_key
from app.ui.sheet import Sheet, said
from app.ui.sheet_style import paper_for


class DamagedSheet(Sheet):
    """Signals: `repair_asked()`: what “journal check --repair” does."""

    repair_asked = Signal()

    def __init__(self, found: Check, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__("The journal is damaged", paper_for(settings), parent)
        n_records = sum(found.n_records.values())
        fault, left = damage_lines(found.faults[0], n_records)
        self.body.addWidget(said(fault))
        self.body.addWidget(said(left, "strong"))
        self.body.addStretch(1)
        self.leave = self.add_button("&Leave it", "Leave the damaged journal as it is")
        self.buttons.addStretch(1)
        words = set_aside_key(n_records)
        self.repair = self.add_button(words, words.replace("&", ""), default=True)
        self.leave.clicked.connect(self.reject)
        self.repair.clicked.connect(self._repair)

    def _repair(self) -> None:
        self.accept()
        self.repair_asked.emit()
