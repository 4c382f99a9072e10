"""The three pages of the lay-out sheet, the keys that turn them, and where each page's side stands."""
from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.description import Description
from app.ui.lay_out_sides import SoundSide, WoodSide
from app.ui.lay_out_wood import WoodFields
from app.ui.paper_preview import PaperFields, PaperPreview
from app.ui.sheet_style import Paper
from app.ui.whistle_fields import WhistleFields

SOUND, WOOD, PAPERS = range(3)
TITLES = ("&1  The sound", "&2  The wood", "&3  The papers")
NAMES = ("Page 1: the sound", "Page 2: the wood", "Page 3: the papers")
SHARES = ((3, 2), (3, 2), (2, 3))  # of the width: fields, side


class PageKeys(QWidget):
    """A key for each page, in the order of the work; the one that is open is pressed in.

    Signals: `page_chosen(int)`.
    """

    page_chosen = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self._group = QButtonGroup(self)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for number, title in enumerate(TITLES):
            key = QPushButton(title)
            key.setObjectName("page")
            key.setCheckable(True)
            key.setAutoDefault(False)
            key.setAccessibleName(NAMES[number])
            self._group.addButton(key, number)
            row.addWidget(key)
        row.addStretch(1)
        self._group.button(SOUND).setChecked(True)
        self._group.idPressed.connect(self.choose)  # a letter clicks a tenth of a second late: typing would go astray

    def choose(self, page: int) -> None:
        if self._group.checkedId() != page:
            self._group.button(page).setChecked(True)
            self.page_chosen.emit(page)

    def chosen(self) -> int:
        return self._group.checkedId()


class Pages:
    """Fields go into the sheet's body; sides beside it where there is room, else below the fields."""

    def __init__(self, body: QVBoxLayout, middle: QHBoxLayout) -> None:
        self._body, self._middle = body, middle
        self._inner: QWidget | None = None
        self.side_scroll = QScrollArea()
        self.side_scroll.setWidgetResizable(True)
        self.side_scroll.setFrameShape(QFrame.Shape.NoFrame)
        self.side_scroll.setObjectName("side")
        self.side_scroll.setAccessibleName("What the fields come to")
        middle.addWidget(self.side_scroll, 2)
        self._beside = True
        self._page = SOUND

    def fill(self, start: Description, units: str, page_size: str, paper: Paper) -> None:
        """New fields and sides; the old ones go."""
        if self._inner is not None:
            for old in (self._inner, self._side):
                old.setParent(None)  # at once: a widget that waits to be deleted would still be seen and counted
                old.deleteLater()
        self._inner, self._side = QWidget(), QWidget()
        self.sound, self.wood = WhistleFields(start, units), WoodFields(start, units)
        self.papers = PaperFields(page_size)
        self.sound_side, self.wood_side, self.preview = SoundSide(), WoodSide(), PaperPreview()
        self._fields = (self.sound, self.wood, self.papers)
        self._sides = (self.sound_side, self.wood_side, self.preview)
        for holder, parts in ((self._inner, self._fields), (self._side, self._sides)):
            column = QVBoxLayout(holder)
            column.setContentsMargins(0, 0, 0 if holder is self._inner else round(10 * paper.text_scale), 0)
            for part in parts:
                column.addWidget(part, 0 if holder is self._inner else 1)
        self.sound.chord.chambers_changed.connect(self.wood.drift.set_chambers)
        for side in (self.sound_side, self.wood_side):
            side.wear(paper)
        self._body.addWidget(self._inner)
        self._body.addStretch(1)
        self._take_side()
        self._beside = True
        self.side_scroll.show()
        self.show_page(self._page)

    def show_page(self, page: int) -> None:
        self._page = page
        for number, (fields, side) in enumerate(zip(self._fields, self._sides, strict=True)):
            fields.setVisible(number == page)
            side.setVisible(number == page)
        for at, share in enumerate(SHARES[page]):
            self._middle.setStretch(at, share)
        self.side_scroll.verticalScrollBar().setValue(0)

    def place(self, *, beside: bool) -> None:
        """The side beside the fields, in a scroll of its own, or below them in theirs."""
        if beside == self._beside:
            return
        self._beside = beside
        if beside:
            self._body.removeWidget(self._side)
            self._take_side()
        else:
            self._body.insertWidget(1, self.side_scroll.takeWidget())
        self._side.show()
        self.side_scroll.setVisible(beside)

    def _take_side(self) -> None:
        """A scroll fills what it holds with the system's colour: this one lets the paper show."""
        self.side_scroll.setWidget(self._side)
        for widget in (self._side, self.side_scroll.viewport()):
            widget.setAutoFillBackground(False)

    def first_field(self, page: int) -> QWidget:
        return (self.sound.name, self.wood.wood, self.papers.paper)[page]

    def field(self, name: str) -> tuple[int, QLineEdit | None]:
        """The page and the field that a refusal names."""
        on_sound = self.sound.field(name)
        return (SOUND, on_sound) if on_sound is not None else (WOOD, self.wood.field(name))

    def page(self) -> int:
        return self._page
