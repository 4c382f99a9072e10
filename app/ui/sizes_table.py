"""Bore and window sizes in a table: one row for all chambers, or one for each."""
from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from app.description import SIZES
from app.whistle import LETTERS

QUESTIONS = {
    "bore_mm": "Bo&re, across",
    "bore_length_mm": "Bore &length, fipple's inner face to plug end",
    "window_width_mm": "&Window, across",
    "window_height_mm": "Window, &fipple to lip",
}


class SizesTable(QWidget):
    """Length fields by chamber and size.

    Signals: `touched()` whenever a text or the number of rows changed.
    """

    touched = Signal()

    def __init__(self, n_chambers: int, texts: Mapping[str, tuple[str, ...]] | None = None) -> None:
        super().__init__()
        texts = texts or {}
        self._n_chambers = n_chambers
        self._fields: dict[tuple[str, int], QLineEdit] = {}
        self._letters = [QLabel(letter) for letter in LETTERS]
        self.own = QCheckBox("Each chamber has si&zes of its own")
        self.own.setAccessibleName("Each chamber has sizes of its own")
        self.own.setChecked(any(len(of_chamber) > 1 for of_chamber in texts.values()))
        self._lay_out()
        for key in SIZES:
            given = texts.get(key) or ("",)
            for index in range(len(LETTERS)):
                self._fields[key, index].setText(given[min(index, len(given) - 1)])
        self.own.toggled.connect(self._show_rows)
        self._show_rows()

    def texts(self) -> dict[str, tuple[str, ...]]:
        """What stands in the fields: one text for all chambers, or one for each."""
        n_rows = self._n_chambers if self.own.isChecked() else 1
        return {key: tuple(self._fields[key, index].text() for index in range(n_rows)) for key in SIZES}

    def take_own(self, key: str, texts: Sequence[str]) -> None:
        """Each chamber its own size of this kind."""
        for index, text in enumerate(texts):
            self._fields[key, index].setText(text)
        self.own.setChecked(True)
        self.touched.emit()

    def set_chambers(self, n_chambers: int) -> None:
        self._n_chambers = n_chambers
        self._show_rows()

    def field(self, name: str) -> QLineEdit | None:
        """The field that a refusal names: "bore_mm", or "bore_mm C"."""
        key, _, letter = name.partition(" ")
        return self._fields.get((key, LETTERS.index(letter) if letter else 0))

    def _lay_out(self) -> None:
        grid = QGridLayout()
        for row, letter in enumerate(self._letters):
            letter.setObjectName("strong")
            grid.addWidget(letter, row + 1, 0)
            for column, key in enumerate(SIZES):
                grid.addWidget(self._new_field(key, row), row + 1, column + 1)
        for column, key in enumerate(SIZES):
            question = QLabel(QUESTIONS[key])
            question.setWordWrap(True)
            question.setBuddy(self._fields[key, 0])
            grid.addWidget(question, 0, column + 1, Qt.AlignmentFlag.AlignBottom)
            grid.setColumnStretch(column + 1, 1)
        column_of_all = QVBoxLayout(self)
        column_of_all.setContentsMargins(0, 0, 0, 0)
        column_of_all.addLayout(grid)
        column_of_all.addWidget(self.own)

    def _new_field(self, key: str, row: int) -> QLineEdit:
        field = QLineEdit()
        field.textEdited.connect(lambda: self._edited(key, row))
        self._fields[key, row] = field
        return field

    def _edited(self, key: str, row: int) -> None:
        """What is typed for all chambers is where each one starts when sizes of its own are asked for."""
        if not self.own.isChecked() and row == 0:
            for index in range(1, len(LETTERS)):
                self._fields[key, index].setText(self._fields[key, 0].text())
        self.touched.emit()

    def _show_rows(self) -> None:
        n_rows = self._n_chambers if self.own.isChecked() else 1
        for row, letter in enumerate(self._letters):
            letter.setVisible(row < n_rows)
            letter.setText(LETTERS[row] if n_rows > 1 else "all")
        for (key, row), field in self._fields.items():
            field.setVisible(row < n_rows)
            whose = f"chamber {LETTERS[row]}" if n_rows > 1 else "all chambers"
            field.setAccessibleName(f"{SIZES[key].capitalize()} of {whose}")
        self.touched.emit()
