"""How far each bore came out from its place at the plug end: outward, and clockwise as one faces it."""
from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from app.ui.sheet import said
from app.whistle import LETTERS
from app.wood_said import DRIFT_NAMES

QUESTIONS = {"drift_outward_mm": "O&utward", "drift_clockwise_mm": "Clockwise"}
HINT = "Facing the plug end, mark up. A minus sign for inward and for anticlockwise; empty while not measured."


class DriftTable(QWidget):
    """Two fields for every chamber.

    Signals: `touched()`.
    """

    touched = Signal()

    def __init__(self, n_chambers: int, texts: Mapping[str, str]) -> None:
        super().__init__()
        self._letters = [QLabel(letter) for letter in LETTERS]
        self._fields: dict[str, QLineEdit] = {}
        grid = QGridLayout()
        for column, (key, name) in enumerate(DRIFT_NAMES.items(), start=1):
            for row, letter in enumerate(LETTERS, start=1):
                grid.addWidget(self._new_field(f"{key} {letter}", f"{letter}'s {name}", texts), row, column)
            question = QLabel(QUESTIONS[key])
            question.setBuddy(self._fields[f"{key} A"])
            grid.addWidget(question, 0, column)
            grid.setColumnStretch(column, 1)
        for row, label in enumerate(self._letters, start=1):
            label.setObjectName("strong")
            grid.addWidget(label, row, 0)
        column_of_all = QVBoxLayout(self)
        column_of_all.setContentsMargins(0, 0, 0, 0)
        column_of_all.addLayout(grid)
        column_of_all.addWidget(said(HINT, "muted"))
        self.set_chambers(n_chambers)

    def texts(self) -> dict[str, str]:
        """What stands in the fields of the chambers there are."""
        return {name: field.text() for name, field in self._fields.items() if name[-1] in self._shown()}

    def field(self, name: str) -> QLineEdit | None:
        return self._fields.get(name)

    def set_chambers(self, n_chambers: int) -> None:
        self._n_chambers = n_chambers
        for name, field in self._fields.items():
            field.setVisible(name[-1] in self._shown())
        for label in self._letters:
            label.setVisible(label.text() in self._shown())

    def _shown(self) -> str:
        return LETTERS[: self._n_chambers]

    def _new_field(self, name: str, accessible: str, texts: Mapping[str, str]) -> QLineEdit:
        field = QLineEdit(texts.get(name, ""))
        field.setAccessibleName(accessible)
        field.textEdited.connect(self.touched)
        self._fields[name] = field
        return field
