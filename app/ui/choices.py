"""One of a few: radio buttons with words, in a column or a row."""
from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QRadioButton, QVBoxLayout, QWidget


class Choices(QWidget):
    """Radio buttons that answer with a word.

    Signals: `chosen(str)` when the maker picked another one.
    """

    chosen = Signal(str)

    def __init__(self, question: str, answers: Iterable[tuple[str, str]], value: str, *, upright: bool = True) -> None:
        super().__init__()
        self.setAccessibleName(question)
        self.buttons: dict[str, QRadioButton] = {}
        self._group = QButtonGroup(self)
        layout = QVBoxLayout(self) if upright else QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        for answer, words in answers:
            button = QRadioButton(words)
            button.setAccessibleName(f"{question}: {words.replace('&', '')}")
            button.setChecked(answer == value)
            self._group.addButton(button)
            self.buttons[answer] = button
            layout.addWidget(button)
        if not upright:
            layout.addStretch(1)
            layout.setAlignment(Qt.AlignmentFlag.AlignLeft)
        self._group.buttonClicked.connect(lambda _button: self.chosen.emit(self.value()))

    def value(self) -> str:
        return next(answer for answer, button in self.buttons.items() if button.isChecked())

    def checked_button(self) -> QRadioButton:
        return self.buttons[self.value()]
