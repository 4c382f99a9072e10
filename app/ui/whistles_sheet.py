"""The journal's whistles, to lay an earlier one on the bench again."""
from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from app.club import Standing
from app.settings import Settings
from app.shelf_words import whistle_row
from app.ui.sheet import Sheet, said
from app.ui.sheet_style import LETTER_PX, paper_for

HINT = "Enter lays the chosen one on the bench, just where it was left. Who was touched last stands first."
NATURAL_SIZE_PX = (1100, 760)
LEAST_ROWS = 4


class WhistlesSheet(Sheet):
    """Signals: `chosen(Whistle)`: this one to the bench; `document_asked()`: one that comes from a file."""

    chosen = Signal(object)
    document_asked = Signal()

    def __init__(
        self, standings: Sequence[Standing], on_bench: str | None, settings: Settings, parent: QWidget | None = None
    ) -> None:
        super().__init__("Open a whistle", paper_for(settings), parent)
        self._whistles = [each.whistle for each in standings]
        self.list = QListWidget()
        self.list.setObjectName("choices")
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setAccessibleName("Whistles of the journal")
        self.list.setMinimumHeight(LEAST_ROWS * round(2.2 * LETTER_PX * self.paper.text_scale))
        for each in standings:
            self.list.addItem(QListWidgetItem(whistle_row(each, here=each.whistle.id == on_bench)))
        elsewhere = [row for row, each in enumerate(self._whistles) if each.id != on_bench]
        self.list.setCurrentRow(elsewhere[0] if elsewhere else 0)
        self.body.addWidget(said(HINT, "muted"))
        self.body.addWidget(self.list, 1)
        self._add_buttons()
        self.fit_to_screen(NATURAL_SIZE_PX)
        self.list.itemActivated.connect(lambda _item: self._lay())
        self.list.setFocus()

    def _add_buttons(self) -> None:
        self.leave = self.add_button("&Cancel", "Back to the bench; nothing is changed")
        self.buttons.addStretch(1)
        self.ready = self.add_button("&Lay it on the bench", "Lay the chosen whistle on the bench", default=True)
        self.file = self.add_button("From a &document…", "Open a whistle from its document")
        self.leave.clicked.connect(self.reject)
        self.ready.clicked.connect(self._lay)
        self.file.clicked.connect(self._from_document)

    def _lay(self) -> None:
        self.accept()
        self.chosen.emit(self._whistles[self.list.currentRow()])

    def _from_document(self) -> None:
        self.accept()
        self.document_asked.emit()
