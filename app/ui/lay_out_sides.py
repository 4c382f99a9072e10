"""Beside the fields: what the wood can play, and how the body comes out, in sentences and pictures."""
from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QLabel, QListWidget, QListWidgetItem, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from app.choices_of_chord import ChordChoice
from app.lay_out_words import choice_text
from app.ui.body_picture import BodyPicture
from app.ui.lay_out_length import LengthPicture
from app.ui.sheet import said
from app.ui.sheet_style import Paper
from app.ui.theme import Dress
from app.whistle import Whistle
from app.whole_plan import WorkPlan

LIST_ROWS = 6
CHOICE = Qt.ItemDataRole.UserRole


class SoundSide(QWidget):
    """What this wood can play.

    Signals: `grading_asked()`: windows by the ratio rule; `choice_taken(ChordChoice)`.
    """

    grading_asked = Signal()
    choice_taken = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.reach, self.more = said(""), said("")
        self.grade = QPushButton("&Grade the windows")
        self.grade.setAccessibleName("Give each chamber the window that the ratio rule asks for")
        self.grade.setAutoDefault(False)
        self.grade.clicked.connect(self.grading_asked)
        self.others = QListWidget()
        self.others.setAccessibleName("Everything this wood can play")
        self.others.setWordWrap(True)
        self.others.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.others.setObjectName("choices")
        self.others.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.others.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.others.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.others.itemActivated.connect(self._take)
        self.others.itemClicked.connect(self._take)
        label = QLabel("Everything this wood can &play")
        label.setObjectName("strong")
        label.setWordWrap(True)
        label.setBuddy(self.others)
        column = _column(self)
        for widget in (said("What the wood can play", "strong"), self.reach, self.more, self.grade, label):
            column.addWidget(widget)
        column.addWidget(self.others, 1)

    def show_words(self, reach: Sequence[str], more: Sequence[str]) -> None:
        _fill(self.reach, reach)
        _fill(self.more, more)
        self.grade.setVisible(bool(more))

    def show_choices(self, choices: Sequence[ChordChoice]) -> None:
        texts = [choice_text(choice) for choice in choices]
        if texts == [self.others.item(row).text() for row in range(self.others.count())]:
            return
        self.others.clear()
        for text, choice in zip(texts, choices, strict=True):
            item = QListWidgetItem(text, self.others)
            item.setData(CHOICE, choice)

    def wear(self, paper: Paper) -> None:
        self.others.setMinimumHeight(round(LIST_ROWS * 34 * paper.text_scale))

    def _take(self, item: QListWidgetItem) -> None:
        self.choice_taken.emit(item.data(CHOICE))


class WoodSide(QWidget):
    """Plug end and length to scale, then what to change, to mind and to know."""

    def __init__(self) -> None:
        super().__init__()
        self.plug_end, self.length = BodyPicture(), LengthPicture()
        self.verdict, self.sizes = said("", "strong"), said("")
        column = _column(self)
        for widget in (self.plug_end, self.verdict, self.length, self.sizes):
            column.addWidget(widget)
        self.plug_end.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        column.setStretch(0, 3)
        column.setStretch(2, 2)

    def show_plan(self, plan: WorkPlan | None, whistle: Whistle | None, units: str) -> None:
        self.plug_end.show_plan(plan, units)
        self.length.show_plan(plan, whistle, units)

    def show_words(self, remarks: Sequence[str], sizes: Sequence[str]) -> None:
        _fill(self.verdict, remarks)
        _fill(self.sizes, sizes)

    def wear(self, paper: Paper) -> None:
        dress = Dress(paper.palette, 1.0, paper.text_scale)
        for picture, least_px in ((self.plug_end, QSize(330, 380)), (self.length, QSize(330, 170))):
            picture.wear(dress)
            picture.setMinimumSize(least_px.width(), round(least_px.height() * (0.4 + 0.6 * paper.text_scale)))


def _column(widget: QWidget) -> QVBoxLayout:
    column = QVBoxLayout(widget)
    column.setContentsMargins(0, 0, 0, 0)
    return column


def _fill(label: QLabel, lines: Sequence[str]) -> None:
    """Paragraphs; an empty label takes no room."""
    label.setText("\n\n".join(filter(None, lines)))
    label.setAccessibleName(label.text())
    label.setVisible(bool(label.text()))
