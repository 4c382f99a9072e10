"""Names for the numbers, only if wanted: they stand in the room view when a number is called, and nowhere else."""
from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QWidget

from app.club_names import MOST_CHARACTERS
from app.settings import Settings
from app.ui.sheet import Sheet, said
from app.ui.sheet_style import paper_for
from app.whistle import Whistle

ABOUT = (
    "A number is enough. A name is shown beside it in the room view when it is called, never on a page that says what "
    "went wrong, and on no paper. Names lie in a file of their own, not in the journal, and can be deleted here."
)


class ClubNames(Sheet):
    """Signals: `named(dict)`: by the whistle's id; those left empty have none."""

    named = Signal(object)

    def __init__(
        self, settings: Settings, whistles: Sequence[Whistle], names: dict[str, str], parent: QWidget | None = None
    ) -> None:
        super().__init__("Names for the numbers", paper_for(settings), parent)
        self.fields: dict[str, QLineEdit] = {}
        self.body.addWidget(said(ABOUT, "muted"))
        grid = QGridLayout()
        for row, whistle in enumerate(whistles):
            field = QLineEdit(names.get(whistle.id, ""))
            field.setMaxLength(MOST_CHARACTERS)
            field.setAccessibleName(f"Name for number {whistle.number}")
            label = QLabel(str(whistle.number))
            label.setObjectName("strong")
            grid.addWidget(label, row, 0)
            grid.addWidget(field, row, 1)
            self.fields[whistle.id] = field
        self.body.addLayout(grid)
        self.body.addStretch(1)
        self.forget = self.add_button("&Delete all names", "Delete all names")
        self.forget.clicked.connect(lambda: self.named.emit({}))
        self.buttons.addStretch(1)
        self.leave = self.add_button("&Cancel", "Leave the names as they were")
        self.leave.clicked.connect(self.reject)
        self.ready = self.add_button("&Keep them", "Keep these names", default=True)
        self.ready.clicked.connect(lambda: self.named.emit({key: each.text() for key, each in self.fields.items()}))
