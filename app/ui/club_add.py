"""Whistles for a club evening: so many of one pattern in one go, or the one on the bench as it is."""
from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QLineEdit, QPushButton, QWidget

from app.club import MOST_WHISTLES
from app.club_book import Evening
from app.errors import WorldError
from app.settings import Settings
from app.ui.sheet import Sheet, asked, said
from app.ui.sheet_style import paper_for
from app.ui.whistle_file import ask_for_file
from app.whistle import Whistle, load_whistle

ABOUT = (
    "Each is a whistle of its own, with its number pencilled on the wood. A whistle that is begun already keeps its "
    "readings: lay it on the bench and let it join; it goes on where it stands."
)
USUAL = "12"  # a club's evening, after the guild's custom


class ClubAdd(Sheet):
    """Signals: `added(Whistle, int, bool)`: so many of this pattern, in a new evening or not; `joined()`."""

    added = Signal(object, int, bool)
    joined = Signal()

    def __init__(
        self, settings: Settings, pattern: Whistle | None, evening: Evening, may_join: bool,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__("Add whistles to the evening", paper_for(settings), parent)
        self.pattern = pattern
        self.told = said("", "large")
        self.file = QPushButton("Another pattern, from its d&ocument…")
        self.file.setAccessibleName("Choose the document of another pattern")
        self.file.setAutoDefault(False)
        self.file.clicked.connect(self._ask)
        self.count = QLineEdit(USUAL)
        self.count.setMaxLength(2)
        self.anew = QCheckBox("Begin a new evenin&g, numbered from 1")
        self.anew.setAccessibleName("Begin a new evening, numbered from 1")
        self.anew.setVisible(bool(evening.whistles))
        self._lay_fields(evening)
        self.join = self.add_button("The one on the bench &joins", "Let the whistle on the bench join the evening")
        self.join.setVisible(may_join)
        self.join.clicked.connect(self.joined.emit)
        self.buttons.addStretch(1)
        self.leave = self.add_button("&Cancel", "Leave; nothing is added")
        self.leave.clicked.connect(self.reject)
        self.ready = self.add_button("&Add them", "Add so many whistles of this pattern", default=True)
        self.ready.clicked.connect(self._add)
        self.take(pattern)

    def take(self, pattern: Whistle | None) -> None:
        """This pattern is meant."""
        self.pattern = pattern
        self.told.setText(f"Pattern: {pattern.name}" if pattern else "Which pattern? Choose its document.")

    def open_document(self, path: Path) -> None:
        try:
            self.take(load_whistle(path))
        except WorldError as trouble:
            self.say_trouble(str(trouble))
        else:
            self.say_trouble("")

    def _lay_fields(self, evening: Evening) -> None:
        numbered = f"They are numbered on from {evening.next_number}." if evening.whistles else "Numbered from 1."
        self.body.addWidget(self.told)
        self.body.addWidget(self.file)
        self.body.addLayout(asked("&How many", self.count, "How many whistles", numbered))
        self.body.addWidget(self.anew)
        self.body.addWidget(said(ABOUT, "muted"))
        self.body.addStretch(1)

    def _ask(self) -> None:
        path = ask_for_file(self)
        if path is not None:
            self.open_document(path)

    def _add(self) -> None:
        text = self.count.text().strip()
        if self.pattern is None:
            self.say_trouble("Of which pattern? Choose its document.")
        elif not (text.isascii() and text.isdigit() and int(text) >= 1):
            self.say_trouble(f"How many is “{text}”? A number from 1 to {MOST_WHISTLES}.")
        else:
            self.added.emit(self.pattern, int(text), self.anew.isChecked())
