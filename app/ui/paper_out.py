"""Where a paper goes: on the system's printer, into a PDF file, or all of them into one folder."""
from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QFileDialog, QMessageBox, QWidget

from app.errors import WorldError

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

    from app.paper.model import Sheet as PaperSheet

Tell = Callable[[str], None]
PDF_FILES = "PDF (*.pdf)"
NO_PRINTER = "This system has no printer that can be used: keep the paper as a PDF, and print it elsewhere."
NO_SUCH_PAGES = "This paper has no such page: nothing was printed."


def ask_to_print(parent: QWidget, sheet: PaperSheet, tell: Tell) -> QWidget | None:
    """The system's own dialog; then the sheet on that printer. `tell` hears one sentence either way."""
    from PySide6.QtPrintSupport import QPrintDialog, QPrinter, QPrinterInfo

    from app.paper.painter import page_layout

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    if not printer.isValid():
        tell(NO_PRINTER)
        return None
    printer.setPageLayout(page_layout(sheet.pages[0].size))
    printer.setDocName(file_stem(sheet))  # some systems make a file's name of it
    if not QPrinterInfo.availablePrinterNames():  # the dialog prints to a file then, and names but a folder for it
        printer.setOutputFileName(str(Path.home() / file_name(sheet)))
    dialog = QPrintDialog(printer, parent)
    dialog.setWindowTitle(f"Print: {sheet.title}")
    dialog.setMinMax(1, len(sheet.pages))
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.accepted.connect(lambda: _print_on(printer, sheet, tell))
    QDialog.open(dialog)  # the print dialog's own open() wants a receiver and hides this one
    return dialog


def _print_on(printer: QPrinter, sheet: PaperSheet, tell: Tell) -> None:
    """The pages that were chosen in the dialog: all, unless it says which."""
    from app.paper.painter import paint_on

    chosen = printer.pageRanges()
    pages = [page for number, page in enumerate(sheet.pages, 1) if chosen.isEmpty() or chosen.contains(number)]
    if not pages:
        tell(NO_SUCH_PAGES)
        return
    try:
        paint_on(printer, pages)
    except WorldError as trouble:
        tell(str(trouble))
    else:
        to_file = printer.outputFileName()
        tell(f"{to_file} is written." if to_file else f"{sheet.title}: sent to {printer.printerName()}.")


def ask_for_pdf(parent: QWidget, sheet: PaperSheet, tell: Tell) -> QFileDialog:
    """Where to keep it; then the file. `tell` hears one sentence either way."""
    dialog = QFileDialog(parent, f"Keep as PDF: {sheet.title}", str(Path.home() / file_name(sheet)), PDF_FILES)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setDefaultSuffix("pdf")
    dialog.selectFile(file_name(sheet))
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.fileSelected.connect(lambda path: _keep({Path(path): sheet}, tell))
    dialog.open()
    return dialog


def ask_for_folder(parent: QWidget, sheets: Sequence[PaperSheet], tell: Tell) -> QFileDialog:
    """Into which folder all of these go; asks once more before a file there is written over."""
    dialog = QFileDialog(parent, "Keep all papers in a folder", str(Path.home()))
    dialog.setFileMode(QFileDialog.FileMode.Directory)
    dialog.setOption(QFileDialog.Option.ShowDirsOnly)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.fileSelected.connect(lambda folder: keep_all(parent, Path(folder), sheets, tell))
    dialog.open()
    return dialog


def keep_all(parent: QWidget, folder: Path, sheets: Sequence[PaperSheet], tell: Tell) -> QMessageBox | None:
    """All of them as PDF files; the question that is asked first where some lie there already."""
    files = {folder / file_name(sheet): sheet for sheet in sheets}
    there = [path for path in files if path.exists()]
    if not there:
        _keep(files, tell)
        return None
    question = QMessageBox(parent)
    question.setWindowTitle("Write over them?")
    question.setText(f"{there[0].name} {_and_more(len(there) - 1)} in that folder already. Write over?")
    question.setStandardButtons(QMessageBox.StandardButton.Yes | QMessageBox.StandardButton.Cancel)
    question.setDefaultButton(QMessageBox.StandardButton.Cancel)
    question.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    question.accepted.connect(lambda: _keep(files, tell))
    question.open()
    return question


def _and_more(n_others: int) -> str:
    return f"and {n_others} other{'' if n_others == 1 else 's'} lie" if n_others else "lies"


def file_stem(sheet: PaperSheet) -> str:
    """The sheet's title, as every file system takes it."""
    return re.sub(r"[^\w]+", "-", sheet.title.lower()).strip("-") or sheet.name


def file_name(sheet: PaperSheet) -> str:
    return f"{file_stem(sheet)}.pdf"


def _keep(files: dict[Path, PaperSheet], tell: Tell) -> None:
    """All are drawn before the first is written."""
    from app.paper.painter import pdf_of
    from app.whole_file import write_whole

    try:
        drawn = {path: pdf_of(sheet) for path, sheet in files.items()}
        for path, data in drawn.items():
            write_whole(path, data, replace=True, what="the paper")
    except WorldError as trouble:
        tell(str(trouble))
    else:
        first = next(iter(files))
        tell(f"{first} is written." if len(files) == 1 else f"{len(files)} papers are written in {first.parent}.")
