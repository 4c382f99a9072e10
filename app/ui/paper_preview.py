"""Third page: every sheet of the whistle as it will lie on the table, on the paper that is chosen once for all."""
from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.paper.model import PAGE_SIZES
from app.ui.sheet import asked, said
from app.ui.whistle_fields import row_of

if TYPE_CHECKING:
    from app.paper.model import Sheet as PaperSheet

PAPERS = (  # name of the sheet, how it is called, what it is for
    ("template", "Drilling template", "The plug end at true size, and the windows to wrap round the body."),
    ("cuts", "Cut list", "What to saw, from which stock, with spares and saw cuts counted."),
    ("steps", "Step by step", "The work in order, a box to tick, each caution beside its step."),
    ("record", "Record", "What was blown and cut, and room to write at the bench."),
    ("card", "Gift card", "Four cards: chord, notes, care, ears and small children."),
    ("depths", "The same again", "Every size and depth of this whistle, for the next of its pattern."),
)
AT_SIZE = (
    "Print at 100 % (“actual size”), never “fit to page”, and measure the bars on the page first."
)
DOCUMENT = "The whistle document holds every size, to be opened here or by command, and handed on."
MOST_NAME = 40  # characters that the card has room for
DOTS_PER_MM = 5.0  # of the preview, before it is fitted to its place


class PaperFields(QWidget):
    """Which sheet, on which paper, for whom.

    Signals: `touched()`; `print_asked()`, `save_asked()`, `all_asked()`, `document_asked()`; `size_chosen(str)`: of
    the page.
    """

    touched = Signal()
    print_asked = Signal()
    save_asked = Signal()
    all_asked = Signal()
    document_asked = Signal()
    size_chosen = Signal(str)

    def __init__(self, page_size: str) -> None:
        super().__init__()
        self.paper, self.size = QComboBox(), QComboBox()
        for name, words, _ in PAPERS:
            self.paper.addItem(words, name)
        for size in PAGE_SIZES:
            self.size.addItem(size, size)
        self.size.setCurrentText(page_size)
        self.given_to, self.maker, self.day = QLineEdit(), QLineEdit(), QLineEdit()
        for field in (self.given_to, self.maker, self.day):
            field.setMaxLength(MOST_NAME)
        self.purpose = said("", "muted")
        self.printing, self.saving = QPushButton("P&rint…"), QPushButton("Keep as P&DF…")
        self.saving_all, self.document = QPushButton("&Keep all papers…"), QPushButton("Keep the document: Ctrl+S")
        self._lay_out()
        self._connect()
        self._show_purpose()

    def name(self) -> str:
        return str(self.paper.currentData())

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(asked("&Paper", self.paper, "Which paper"))
        column.addWidget(self.purpose)
        column.addLayout(asked("&Size of the page", self.size, "Size of the page"))
        self._card = QWidget()
        self._card.setLayout(row_of(
            asked("Made &for", self.given_to, "Name on the card"), asked("&Made by", self.maker, "Maker on the card"),
            asked("D&ay", self.day, "Day on the card"),
        ))  # fmt: skip
        self._card.layout().setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._card)
        column.addWidget(said(AT_SIZE, "strong"))
        keys = ((self.printing, "Print this paper"), (self.saving, "Keep this paper as a PDF file"))
        column.addLayout(_in_a_row(keys))
        column.addLayout(_in_a_row(((self.saving_all, "Keep all papers as PDF files in a folder"),)))
        column.addWidget(said(DOCUMENT, "muted"))
        column.addLayout(_in_a_row(((self.document, "Keep the whistle document as a file"),)))

    def _connect(self) -> None:
        self.printing.clicked.connect(self.print_asked)
        self.saving.clicked.connect(self.save_asked)
        self.saving_all.clicked.connect(self.all_asked)
        self.document.clicked.connect(self.document_asked)
        for box in (self.paper, self.size):
            box.currentIndexChanged.connect(self._show_purpose)
        self.size.currentTextChanged.connect(self.size_chosen)
        for field in (self.given_to, self.maker, self.day):
            field.textEdited.connect(self.touched)

    def _show_purpose(self) -> None:
        self.purpose.setText(PAPERS[self.paper.currentIndex()][2])
        self._card.setVisible(self.name() == "card")
        self.touched.emit()


def _in_a_row(buttons: tuple[tuple[QPushButton, str], ...]) -> QHBoxLayout:
    row = QHBoxLayout()
    for button, name in buttons:
        button.setAccessibleName(name)
        button.setAutoDefault(False)
        row.addWidget(button)
    row.addStretch(1)
    return row


class PaperPreview(QWidget):
    """One page at a time, and the keys that turn it."""

    def __init__(self) -> None:
        super().__init__()
        self.picture = _PagePicture()
        self.place = said("", "muted")
        self.earlier, self.later = QPushButton("&Back"), QPushButton("&Next page")
        self._sheet: PaperSheet | None = None
        self._at = 0
        row = QHBoxLayout()
        for button, name, step in ((self.earlier, "Page before", -1), (self.later, "Next page", 1)):
            button.setAccessibleName(name)
            button.setAutoDefault(False)
            button.clicked.connect(lambda _=False, by=step: self.turn(by))
            row.addWidget(button)
        row.addWidget(self.place, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row)
        column.addWidget(self.picture, 1)

    def show_sheet(self, sheet: PaperSheet | None, refusal: str = "") -> None:
        """All its pages, from the one that is shown now where there still is one; or why there is none."""
        same = self._sheet is not None and sheet is not None and self._sheet.name == sheet.name
        self._sheet, self._at = sheet, self._at if same else 0
        self._refusal = refusal
        self.turn(0)

    def turn(self, by: int) -> None:
        pages = self._sheet.pages if self._sheet else ()
        self._at = min(max(self._at + by, 0), max(len(pages) - 1, 0))
        self.earlier.setEnabled(self._at > 0)
        self.later.setEnabled(self._at + 1 < len(pages))
        self.place.setText(f"page {self._at + 1} of {len(pages)}" if pages else self._refusal)
        self.picture.show_page(pages[self._at] if pages else None, self._sheet.title if self._sheet else "")


class _PagePicture(QWidget):
    """White whatever the theme: this is paper."""

    def __init__(self) -> None:
        super().__init__()
        self._pixmap: QPixmap | None = None
        self.setMinimumSize(QSize(320, 450))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("The page as it will be printed")

    def show_page(self, page: object, title: str) -> None:
        from app.paper.model import Page, Words
        from app.paper.painter import picture_of

        self._pixmap = None
        if isinstance(page, Page):
            self._pixmap = QPixmap.fromImage(picture_of(page, DOTS_PER_MM))
            words = " ".join(mark.words for mark in page.marks if isinstance(mark, Words))
            self.setAccessibleDescription(f"{title}: {words}")
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self._pixmap is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        fitted = self._pixmap.scaled(
            self.size() * self.devicePixelRatioF(), Qt.AspectRatioMode.KeepAspectRatio,
            Qt.TransformationMode.SmoothTransformation,
        )
        fitted.setDevicePixelRatio(self.devicePixelRatioF())
        width_px = round(fitted.width() / self.devicePixelRatioF())
        left_px = (self.width() - width_px) // 2
        painter.drawPixmap(left_px, 0, fitted)
        painter.setPen(Qt.GlobalColor.darkGray)
        painter.drawRect(left_px, 0, width_px - 1, round(fitted.height() / self.devicePixelRatioF()) - 1)
        painter.end()
