"""Where papers go: the system's own print dialog, one PDF file, or all of them in a folder."""
from __future__ import annotations

import re
from pathlib import Path

import pytest
from PySide6.QtGui import QPageRanges
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit, QMessageBox, QPushButton, QWidget

from app.context import Context
from app.evidence import standing
from app.home import journal_path
from app.paper.job import job_of
from app.paper.model import LETTER
from app.paper.sheets import SHEETS
from app.settings import Settings
from app.ui import paper_out
from app.ui.desk import Desk
from app.ui.lay_out_pages import PAPERS
from app.ui.session_door import page_of
from app.ui.sheets import Sheets
from app.ui.whistle_form import WhistleForm
from tests.ui.club_cases import evening_in
from tests.ui.quiet_source import SilentMicrophone
from tests.ui.session_cases import sessions
from tests.ui.sheet_cases import harbour

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


@pytest.fixture
def form(qtbot) -> WhistleForm:
    form = WhistleForm(Settings(units="mm", page_size="Letter"), harbour())
    qtbot.addWidget(form)
    with qtbot.waitExposed(form):
        form.show()
    form.turn_to(PAPERS)
    return form


def dialog_on(form: QWidget, kind: type):
    found = [each for each in form.findChildren(kind) if each.isVisible()]
    assert len(found) == 1, f"{len(found)} dialogs are open"
    return found[0]


def media_boxes(path: Path) -> list[bytes]:
    """published: ISO 32000-1, 14.11.2: /MediaBox is the page's size in points of 1/72 in."""
    return re.findall(rb"/MediaBox \[([^\]]+)\]", path.read_bytes())


def typed_print(form: QWidget, path: Path) -> None:
    """Print to a file, as a maker without a printer does in the dialog."""
    dialog = dialog_on(form, QPrintDialog)
    dialog.findChild(QLineEdit, "filename").setText(str(path))
    next(key for key in dialog.findChildren(QPushButton) if key.text() == "&Print").click()
    QApplication.processEvents()


def test_the_print_key_opens_the_systems_dialog_and_the_paper_is_printed(form, tmp_path: Path) -> None:
    form.pages.papers.printing.click()
    typed_print(form, tmp_path / "out.pdf")
    assert form.trouble.text() == f"{tmp_path / 'out.pdf'} is written."
    boxes = media_boxes(tmp_path / "out.pdf")
    assert len(boxes) == len(SHEETS["template"](job_of(harbour(), size=LETTER)).pages)
    # published: ANSI/ASME Y14.1, size A: 8 1/2 by 11 in, 612 by 792 points
    assert [float(figure) for figure in boxes[0].split()] == pytest.approx([0, 0, 612, 792], abs=0.5)


def test_where_no_printer_is_the_file_that_would_be_printed_is_named_as_every_system_takes_it(form) -> None:
    form.pages.papers.printing.click()
    dialog = dialog_on(form, QPrintDialog)
    named = Path(dialog.findChild(QLineEdit, "filename").text())
    assert named == Path.home() / "tidewick-harbour-whistle-drilling-template.pdf"
    assert dialog.printer().docName() == named.stem
    dialog.reject()


def test_a_dialog_that_is_left_prints_nothing(form, tmp_path: Path) -> None:
    form.pages.papers.printing.click()
    dialog_on(form, QPrintDialog).reject()
    QApplication.processEvents()
    assert [each for each in form.findChildren(QPrintDialog) if each.isVisible()] == []
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("page_size", ["A4", "Letter"])
def test_the_session_is_printed_on_the_size_that_was_chosen_for_all_papers(qtbot, tmp_path: Path, page_size) -> None:
    records = standing(sessions()["whole"])
    page = page_of(harbour(), records, Settings(units="mm", page_size=page_size))
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()
    page.print.click()
    typed_print(page, tmp_path / "out.pdf")
    wanted_pt = {"A4": [0, 0, 595, 842], "Letter": [0, 0, 612, 792]}[page_size]  # published: as above, and ISO 216
    assert [float(figure) for figure in media_boxes(tmp_path / "out.pdf")[0].split()] == pytest.approx(wanted_pt, abs=1)
    saving = page.ask_for_file("pdf")
    assert saving.selectedNameFilter() == f"PDF on {page_size} (*.pdf)"
    saving.reject()


def test_the_clubs_papers_are_printed_on_the_size_that_was_chosen(qtbot, tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr("app.microphone.Microphone", SilentMicrophone)
    evening_in(journal_path(tmp_path), 3)
    desk = Desk(Context(tmp_path, Settings(page_size="Letter", keep_sound=False), journal_path(tmp_path)))
    qtbot.addWidget(desk.window)
    sheets = Sheets(desk)
    desk.window.show()
    sheets.club.show_list()
    sheets.open_sheet.print.click()
    typed_print(sheets.open_sheet, tmp_path / "out.pdf")
    boxes = media_boxes(tmp_path / "out.pdf")
    assert len(boxes) == 1 + 3 + 1  # the table, a record sheet each, four cards to a page
    assert [float(figure) for figure in boxes[0].split()] == pytest.approx([0, 0, 612, 792], abs=0.5)
    desk.clear()


def printer_to(path: Path) -> QPrinter:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    return printer


@pytest.mark.parametrize(("chosen", "n_pages"), [("2", 1), ("9", 0)])
def test_only_the_pages_that_were_chosen_are_printed(tmp_path: Path, qapp, chosen, n_pages) -> None:
    printer, heard = printer_to(tmp_path / "out.pdf"), []
    printer.setPageRanges(QPageRanges.fromString(chosen))
    paper_out._print_on(printer, SHEETS["steps"](job_of(harbour())), heard.append)
    assert heard == [f"{tmp_path / 'out.pdf'} is written." if n_pages else paper_out.NO_SUCH_PAGES]
    assert (len(media_boxes(tmp_path / "out.pdf")) if n_pages else 0) == n_pages
    assert (tmp_path / "out.pdf").exists() == bool(n_pages)


@pytest.mark.qt_log_ignore("QPainter::begin", "propagateSizeHints")
def test_a_printer_that_gives_up_is_told_in_a_sentence(tmp_path: Path, qapp) -> None:
    heard: list[str] = []
    printer = printer_to(tmp_path / "no such folder" / "out.pdf")
    paper_out._print_on(printer, SHEETS["card"](job_of(harbour())), heard.append)
    (sentence,) = heard
    assert "could not be begun" in sentence


def test_without_a_printer_that_is_said_and_what_else_to_do(form, monkeypatch) -> None:
    monkeypatch.setattr(QPrinter, "isValid", lambda _self: False)
    form.pages.papers.printing.click()
    assert form.trouble.text() == paper_out.NO_PRINTER


def keep_all_in(form: WhistleForm, folder: Path) -> None:
    form.pages.papers.saving_all.click()
    dialog = dialog_on(form, QFileDialog)
    dialog.fileSelected.emit(str(folder))  # the system's dialog cannot be typed into everywhere
    dialog.reject()
    QApplication.processEvents()


def test_all_papers_go_into_one_folder(form, tmp_path: Path) -> None:
    keep_all_in(form, tmp_path)
    files = sorted(tmp_path.iterdir())
    assert len(files) == len(SHEETS)
    assert form.trouble.text() == f"{len(SHEETS)} papers are written in {tmp_path}."
    for file in files:
        assert file.read_bytes().startswith(b"%PDF")
        assert [float(figure) for figure in media_boxes(file)[0].split()] == pytest.approx([0, 0, 612, 792], abs=0.5)


@pytest.mark.parametrize("yes", [True, False])
def test_papers_that_lie_there_are_written_over_only_when_that_is_wanted(form, tmp_path: Path, yes) -> None:
    old = tmp_path / "tidewick-harbour-whistle-record-sheet.pdf"
    old.write_bytes(b"of last week")
    keep_all_in(form, tmp_path)
    question = dialog_on(form, QMessageBox)
    assert old.name in question.text()
    kind = QMessageBox.StandardButton.Yes if yes else QMessageBox.StandardButton.Cancel
    question.button(kind).click()
    QApplication.processEvents()
    assert (old.read_bytes() == b"of last week") is not yes
    assert len(list(tmp_path.iterdir())) == (len(SHEETS) if yes else 1)


def test_a_folder_that_takes_nothing_is_told(form, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    keep_all_in(form, tmp_path / "file")
    assert "could not be written" in form.trouble.text()


def test_the_size_of_the_page_is_told_once_and_kept(form) -> None:
    assert form.pages.papers.size.currentText() == "Letter"
    told: list[str] = []
    form.page_size_chosen.connect(told.append)
    form.pages.papers.size.setCurrentText("A4")
    assert (told, form.settings.page_size) == (["A4"], "A4")
