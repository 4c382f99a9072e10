"""Third page: every sheet of the whistle as it will lie on the table, printed at true size or kept as a PDF."""
from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QPagedPaintDevice, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import (
    QComboBox,
    QFileDialog,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.errors import WorldError
from app.ui.sheet import asked, said
from app.ui.whistle_fields import row_of

if TYPE_CHECKING:
    from app.paper.job import Job
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
MOST_NAME = 40  # characters that the card has room for
DOTS_PER_MM = 5.0  # of the preview, before it is fitted to its place
PDF_FILES = "PDF (*.pdf)"


class PaperFields(QWidget):
    """Which sheet, on which paper, for whom.

    Signals: `touched()`; `print_asked()`, `save_asked()`.
    """

    touched = Signal()
    print_asked = Signal()
    save_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.paper, self.size = QComboBox(), QComboBox()
        for name, words, _ in PAPERS:
            self.paper.addItem(words, name)
        for size in ("A4", "Letter"):
            self.size.addItem(size, size)
        self.given_to, self.maker, self.day = QLineEdit(), QLineEdit(), QLineEdit()
        for field in (self.given_to, self.maker, self.day):
            field.setMaxLength(MOST_NAME)
        self.purpose = said("", "muted")
        self.printing, self.saving = QPushButton("P&rint…"), QPushButton("Keep as P&DF…")
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
        keys = QHBoxLayout()
        for button, name in ((self.printing, "Print this paper"), (self.saving, "Keep this paper as a PDF file")):
            button.setAccessibleName(name)
            button.setAutoDefault(False)
            keys.addWidget(button)
        keys.addStretch(1)
        column.addLayout(keys)

    def _connect(self) -> None:
        self.printing.clicked.connect(self.print_asked)
        self.saving.clicked.connect(self.save_asked)
        for box in (self.paper, self.size):
            box.currentIndexChanged.connect(self._show_purpose)
        for field in (self.given_to, self.maker, self.day):
            field.textEdited.connect(self.touched)

    def _show_purpose(self) -> None:
        self.purpose.setText(PAPERS[self.paper.currentIndex()][2])
        self._card.setVisible(self.name() == "card")
        self.touched.emit()


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


def sheet_of(name: str, job: Job) -> PaperSheet:
    from app.paper.sheets import SHEETS

    return SHEETS[name](job)


def ask_to_print(parent: QWidget, sheet: PaperSheet, tell: Callable[[str], None]) -> QWidget:
    """The system's own dialog; then the sheet on that printer. `tell` hears a sentence when that fails."""
    from PySide6.QtPrintSupport import QPrintDialog, QPrinter

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setFullPage(True)
    printer.setDocName(sheet.title)
    dialog = QPrintDialog(printer, parent)
    dialog.setWindowTitle(f"Print: {sheet.title}")
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.accepted.connect(lambda: _print_on(printer, sheet, tell))
    dialog.open()
    return dialog


def _print_on(printer: QPagedPaintDevice, sheet: PaperSheet, tell: Callable[[str], None]) -> None:
    from app.paper.painter import paint_on

    try:
        paint_on(printer, sheet.pages)
    except WorldError as trouble:
        tell(str(trouble))


def ask_for_pdf(parent: QWidget, sheet: PaperSheet, tell: Callable[[str], None]) -> QFileDialog:
    """Where to keep it; then the file. `tell` hears one sentence either way."""
    dialog = QFileDialog(parent, f"Keep as PDF: {sheet.title}", str(Path.home() / file_name(sheet)), PDF_FILES)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setDefaultSuffix("pdf")
    dialog.selectFile(file_name(sheet))
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.fileSelected.connect(lambda path: _keep(Path(path), sheet, tell))
    dialog.open()
    return dialog


def file_name(sheet: PaperSheet) -> str:
    """The sheet's title, as every file system takes it."""
    plain = re.sub(r"[^\w]+", "-", sheet.title.lower()).strip("-")
    return f"{plain or sheet.name}.pdf"


def _keep(path: Path, sheet: PaperSheet, tell: Callable[[str], None]) -> None:
    from app.paper.painter import pdf_of
    from app.whole_file import write_whole

    try:
        write_whole(path, pdf_of(sheet), replace=True, what="the paper")
    except WorldError as trouble:
        tell(str(trouble))
    else:
        tell(f"{path} is written.")
