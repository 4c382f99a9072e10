"""A small field in the bench itself for a length off the calipers: length, and how the plug sits."""
from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLabel, QLineEdit, QPushButton, QWidget

from app.errors import WorldError
from app.events import Typed
from app.lengths import parse_length_mm


class LengthField(QWidget):
    """Enter keeps what was typed, Escape leaves it; what cannot be read is said in one sentence."""

    def __init__(self, typed: Callable[[Typed], None]) -> None:
        super().__init__()
        self.setAccessibleName("Type a length")
        self.setObjectName("length_field")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._typed = typed
        self.units = "mm"
        self.length = _edit("Length of the plug, longest")
        self.shortest = _edit("Shortest, if the face is not square")
        self.proud = _edit("How far it stands proud")
        self.recess = _edit("How far it is recessed")
        self.is_depth = QCheckBox("this is a depth")
        self.is_depth.setAccessibleName("What was typed is the depth of the inner face, not the plug's length")
        self.keep = QPushButton("keep")
        self.keep.setAccessibleName("Keep this length")
        self.refusal = QLabel("")
        self.refusal.setWordWrap(True)
        self.refusal.setAccessibleName("What cannot be read")
        self._lay_out()
        for edit in (self.length, self.shortest, self.proud, self.recess):
            edit.returnPressed.connect(self.take)
        self.keep.clicked.connect(self.take)
        self.hide()

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(10, 6, 10, 6)
        words = (("length", self.length), ("shortest", self.shortest), ("proud", self.proud), ("recess", self.recess))
        for column, (word, edit) in enumerate(words):
            label = QLabel(word)
            label.setBuddy(edit)
            grid.addWidget(label, 0, column)
            grid.addWidget(edit, 1, column)
            grid.setColumnStretch(column, 2 if column == 0 else 1)
        grid.addWidget(self.is_depth, 1, 4)
        grid.addWidget(self.keep, 1, 5)
        grid.addWidget(self.refusal, 2, 0, 1, 6)
        self.refusal.hide()

    def open_with(self, text: str) -> None:
        """Empty but for `text`, ready to type on."""
        for edit in (self.shortest, self.proud, self.recess):
            edit.clear()
        self.is_depth.setChecked(False)
        self.refusal.hide()
        self.length.setText(text)
        self.length.setPlaceholderText("2 17/64" if self.units == "inch" else "57.6 or 2 17/64 in")
        self.show()
        self.length.setFocus()
        self.length.deselect()
        self.length.end(False)

    def take(self) -> None:
        """Hand on what was typed, or say what cannot be read."""
        try:
            typed = self._read()
        except WorldError as refusal:
            self.refusal.setText(str(refusal))
            self.refusal.show()
            self.updateGeometry()
            return
        self.hide()
        self._typed(typed)

    def _read(self) -> Typed:
        length_mm = parse_length_mm(self.length.text(), self.units)
        shortest_mm = self._optional(self.shortest)
        if shortest_mm is not None and shortest_mm > length_mm:
            raise WorldError(
                f"The shortest, {shortest_mm:g} mm, is more than the length, {length_mm:g} mm: are the two swapped?")
        return Typed(length_mm, self._optional(self.proud) or 0.0, self._optional(self.recess) or 0.0,
                     self.is_depth.isChecked(), shortest_mm)

    def _optional(self, edit: QLineEdit) -> float | None:
        return parse_length_mm(edit.text(), self.units) if edit.text().strip() else None


def _edit(name: str) -> QLineEdit:
    edit = QLineEdit()
    edit.setAccessibleName(name)
    edit.setToolTip(name)
    edit.setMinimumWidth(40)
    return edit
