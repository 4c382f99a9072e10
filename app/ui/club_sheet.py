"""All whistles of a club evening: where each stands, what it waits for, and whose turn it is. Numbers, no names."""
from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QWidget,
)

from app.club import Standing, queue
from app.club_words import nobody_text, row_text
from app.settings import Settings
from app.ui.sheet import Sheet, said
from app.ui.sheet_style import LETTER_PX, paper_for

NONE_YET = "None yet. Add so many of one pattern: each gets its number, and is tuned when its turn comes."
ON_BENCH = "on the bench"
NATURAL_SIZE_PX = (1240, 780)
LEAST_ROWS = 4
NUMBER_WIDE = 5  # letters, for two figures and the field's own edges
HINT = "Enter calls it to the microphone; the one that stands there keeps everything."


class _Rows(QListWidget):
    """Leaves digits to the sheet."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.text().isdigit():
            event.ignore()
        else:
            super().keyPressEvent(event)


class ClubSheet(Sheet):
    """A digit goes to the field of the number, wherever the keyboard is.

    Signals: `called(int)`: this number to the microphone; `back_told(int)`: its maker is back and waits; `add_asked`,
    `names_asked`; `papers_asked(str)`: "pdf" or "print".
    """

    called = Signal(int)
    back_told = Signal(int)
    add_asked = Signal()
    names_asked = Signal()
    papers_asked = Signal(str)

    def __init__(self, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__("Club evening", paper_for(settings), parent)
        self._next: int | None = None
        self.turn = said("", "large")
        self.number = QLineEdit()
        self.number.setMaxLength(2)
        self.list = _Rows()
        self.list.setObjectName("choices")
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setAccessibleName("Whistles of this evening")
        self.list.setMinimumHeight(LEAST_ROWS * round(2.2 * LETTER_PX * self.paper.text_scale))
        self.next = self._button("Call the &next", "Call the next in turn", lambda: self.called.emit(self._next))
        self._add_call()
        self.body.addWidget(self.list, 1)
        self._add_buttons()
        self.fit_to_screen(NATURAL_SIZE_PX)
        self.number.returnPressed.connect(self._call_number)
        self.list.itemActivated.connect(lambda item: self.called.emit(item.data(Qt.ItemDataRole.UserRole)))

    def show_whistles(self, standings: Sequence[Standing], on_bench: Standing | None) -> None:
        """These, in the order of their numbers; the chosen row stays chosen."""
        chosen = self._chosen()
        waiting = [each.number for each in queue(standings, on_bench.whistle.id if on_bench else None)]
        self._next = waiting[0] if waiting else None
        many = len({each.whistle.name for each in standings}) > 1
        self.list.clear()
        for each in sorted(standings, key=lambda each: each.number):
            before = waiting.index(each.number) if each.number in waiting else None
            here = f" · {ON_BENCH}" if on_bench is not None and each.number == on_bench.number else ""
            item = QListWidgetItem(row_text(each, before, named=many) + here)
            item.setData(Qt.ItemDataRole.UserRole, each.number)
            self.list.addItem(item)
            if each.number == chosen:
                self.list.setCurrentItem(item)
        said_next = f"Next in turn: {self._next}" if waiting else nobody_text(standings) if standings else NONE_YET
        self.turn.setText(said_next)
        self.next.setText(f"Call the &next: {self._next}" if waiting else "Call the &next")
        self.next.setEnabled(bool(waiting))
        for button in (self.back, self.names, self.pdf, self.print):
            button.setEnabled(bool(standings))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.text().isdigit():
            self.number.setFocus()
            self.number.setText(event.text())
        else:
            super().keyPressEvent(event)

    def _add_call(self) -> None:
        """Whose turn it is and the button for it stand first: in sight however large the letters are."""
        turn = QHBoxLayout()
        turn.addWidget(self.turn, 1)
        turn.addWidget(self.next)
        question, number = QLabel("Call n&umber"), QHBoxLayout()
        question.setBuddy(self.number)
        self.number.setAccessibleName("Number to call")
        self.number.setAccessibleDescription(HINT)
        self.number.setFixedWidth(round(NUMBER_WIDE * LETTER_PX * self.paper.text_scale))
        for widget in (question, self.number):
            number.addWidget(widget)
        number.addWidget(said(HINT, "muted"), 1)
        self.body.addLayout(turn)
        self.body.addLayout(number)

    def _add_buttons(self) -> None:
        self.back = self._button("Is bac&k and waits", "The chosen or typed number is back and waits", self._tell_back)
        self.add = self._button("&Add whistles…", "Add whistles to the evening", self.add_asked.emit)
        self.names = self._button("Na&mes, if wanted…", "Names for the numbers", self.names_asked.emit)
        self.pdf = self._button("All sheets as PD&F…", "Table, record sheets and cards of all in one PDF",
                                lambda: self.papers_asked.emit("pdf"))
        self.print = self._button("&Print all sheets…", "Print table, record sheets and cards of all",
                                  lambda: self.papers_asked.emit("print"))
        grid = QGridLayout()
        n_columns = 3 if self.paper.text_scale < 1.5 else 2
        for place, button in enumerate((self.back, self.add, self.names, self.pdf, self.print)):
            grid.addWidget(button, place // n_columns, place % n_columns)
        self.body.addLayout(grid)
        self.buttons.addStretch(1)
        self.leave = self.add_button("Back to the &bench", "Back to the bench")
        self.leave.clicked.connect(self.reject)

    def _button(self, text: str, name: str, do: object) -> QPushButton:
        button = QPushButton(text)
        button.setAccessibleName(name)
        button.setAutoDefault(False)  # Enter belongs to the number
        button.clicked.connect(do)
        return button

    def _typed(self) -> int | None:
        text = self.number.text().strip()
        return int(text) if text.isascii() and text.isdigit() else None

    def _chosen(self) -> int | None:
        item = self.list.currentItem()
        return int(item.data(Qt.ItemDataRole.UserRole)) if item is not None else None

    def _call_number(self) -> None:
        number = self._typed()
        if number is not None:
            self.called.emit(number)
        elif self._next is not None and not self.number.text():
            self.called.emit(self._next)
        else:
            self.say_trouble("Which number? It is pencilled on the whistle.")

    def _tell_back(self) -> None:
        number = self._typed() if self.number.text() else self._chosen()
        if number is None:
            self.say_trouble("Which one is back? Type its number, or choose it in the list.")
            return
        self.number.clear()
        self.back_told.emit(number)
