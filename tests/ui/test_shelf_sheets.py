"""The journal's whistles in the window: an earlier one back on the bench, its document as a file, glue that is due."""
from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog

from app.context import Context
from app.events import Key, Pressed, StageChosen
from app.home import journal_path
from app.journal import Journal
from app.records import PlugSet, StepTaken, WhistleFiled
from app.settings import Settings
from app.ui.desk import Desk
from app.ui.lay_out_pages import PAPERS
from app.ui.sheets import Sheets
from app.ui.whistle_file import ask_to_keep
from app.ui.whistles_sheet import WhistlesSheet
from app.view import Stage
from app.whistle import dump_whistle, load_whistle
from tests.app.journal_cases import chord, new_id
from tests.ui.quiet_source import SilentMicrophone
from tests.ui.sheet_cases import harbour
from tests.ui.sheet_checks import clipped, faint, missed_by_tab, same_mnemonics, unnamed
from tests.ui.shelf_cases import BELL, PILOT, many

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


@pytest.fixture
def sheets(qtbot, tmp_path: Path, monkeypatch):
    monkeypatch.setattr("app.microphone.Microphone", SilentMicrophone)
    desk = Desk(Context(tmp_path, Settings(theme="light", units="mm", keep_sound=False), journal_path(tmp_path)))
    qtbot.addWidget(desk.window)
    sheets = Sheets(desk)
    desk.window.show()
    yield sheets
    desk.clear()


def laid_in_turn(sheets: Sheets) -> None:
    """The bell first, and left at its chamber B; then the pilot's."""
    sheets.desk.lay(BELL)
    sheets.desk.post(StageChosen(Stage.FIRST_BLOW))
    sheets.desk.post(Pressed(Key.NEXT))
    sheets.desk.lay(PILOT)


def open_list(sheets: Sheets) -> WhistlesSheet:
    sheets.desk.window.open_asked.emit()
    assert isinstance(sheets.open_sheet, WhistlesSheet)
    return sheets.open_sheet


# ---- an earlier whistle ----------------------------------------------------------------------------------------------
def test_an_earlier_whistle_comes_back_to_the_bench_by_keys_alone(sheets) -> None:
    laid_in_turn(sheets)
    was_for = sheets.desk.bridge.session.request().letter
    sheet = open_list(sheets)
    assert [sheet.list.item(row).text().partition(" · ")[0] for row in range(2)] == ["Pilot's whistle (3 of 12)",
                                                                                    "Harbour bell"]
    QTest.keyClick(sheet.list, Qt.Key.Key_Return)
    assert sheets.desk.whistle == BELL
    assert sheets.open_sheet is None
    assert sheets.desk.bridge.session.request().letter == "B" != was_for
    with Journal(sheets.desk.context.journal_path) as journal:
        assert len(journal.whistles()) == 2


def test_the_list_says_stage_and_what_each_waits_for(sheets) -> None:
    laid_in_turn(sheets)
    sheet = open_list(sheets)
    rows = [sheet.list.item(row).text() for row in range(2)]
    assert rows[0] == "Pilot's whistle (3 of 12) · First blow · 0 of 4 on their note · on the bench"
    assert rows[1] == "Harbour bell · First blow · 0 of 4 on their note · waits for the microphone: chamber B"


def test_a_document_is_the_last_key_of_the_list(sheets, tmp_path, monkeypatch) -> None:
    laid_in_turn(sheets)
    path = tmp_path / "from a friend.json"
    friend = replace(harbour(), id=new_id(), name="Ferry")
    path.write_bytes(dump_whistle(friend))
    monkeypatch.setattr("app.ui.whistle_file.ask_for_file", lambda _parent: path)
    sheet = open_list(sheets)
    last = sheet.buttons.itemAt(sheet.buttons.count() - 1).widget()
    assert last is sheet.file
    last.click()
    assert sheets.desk.whistle == friend


def test_an_empty_journal_has_no_list_and_asks_for_a_document_at_once(sheets, monkeypatch) -> None:
    asked: list[object] = []
    monkeypatch.setattr("app.ui.whistle_file.ask_for_file", asked.append)
    sheets.desk.begin()
    sheets.desk.window.open_asked.emit()
    assert asked == [sheets.desk.window]
    assert sheets.open_sheet is None


@pytest.mark.parametrize("text_scale", [1.0, 2.0])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_list_owes_its_reader_what_every_sheet_does(qtbot, theme, text_scale) -> None:
    sheet = many(Settings(theme=theme, text_scale=text_scale))
    qtbot.addWidget(sheet)
    with qtbot.waitActive(sheet):
        sheet.show()
        sheet.activateWindow()
    for width_px, height_px in ((1280, 760), (round(min(860 * text_scale, 1280)), 760), (3840, 2160)):
        sheet.resize(width_px, height_px)
        assert clipped(sheet) == []
        assert sheet.width() == width_px
        assert sheet.scroll.horizontalScrollBar().maximum() == 0
    assert (unnamed(sheet), same_mnemonics(sheet), missed_by_tab(sheet), faint(sheet)) == ([], [], [], [])


# ---- its document ----------------------------------------------------------------------------------------------------
def test_the_whistle_on_the_bench_is_kept_as_a_file(sheets, tmp_path) -> None:
    laid_in_turn(sheets)
    sheets.desk.window.keep_asked.emit()
    (dialog,) = [each for each in sheets.desk.window.findChildren(QFileDialog) if each.isVisible()]
    assert Path(dialog.selectedFiles()[0]).name == "pilot-s-whistle.json"
    dialog.fileSelected.emit(str(tmp_path / "kept.json"))
    dialog.reject()
    assert load_whistle(tmp_path / "kept.json") == PILOT
    assert sheets.desk.window.view.trouble == f"{tmp_path / 'kept.json'} is written."


def test_the_form_keeps_what_stands_in_its_fields_and_lays_that_same_whistle(qtbot, sheets, tmp_path) -> None:
    sheets.describe_whistle()
    form = sheets.open_sheet
    qtbot.waitUntil(lambda: QApplication.activeWindow() is form)
    form.fields.name.setText("Lighter's whistle")
    QTest.keyClick(form.fields.name, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: bool(form.findChildren(QFileDialog)))  # a button's key clicks a tenth of a second late
    (dialog,) = [each for each in form.findChildren(QFileDialog) if each.isVisible()]
    dialog.fileSelected.emit(str(tmp_path / "kept.json"))
    dialog.reject()
    kept = load_whistle(tmp_path / "kept.json")
    form.ready.click()
    assert sheets.desk.whistle == kept
    assert kept.name == "Lighter's whistle"


def test_a_form_that_cannot_be_read_keeps_nothing_and_says_why(sheets) -> None:
    sheets.describe_whistle()
    form = sheets.open_sheet
    form.fields.chord.lowest.setText("H9")
    form.turn_to(PAPERS)
    form.pages.papers.document.click()
    assert "is not a note" in form.trouble.text()
    assert [each for each in form.findChildren(QFileDialog) if each.isVisible()] == []


def test_a_folder_that_takes_no_document_is_told(qtbot, sheets, tmp_path) -> None:
    (tmp_path / "file").write_text("no folder")
    told: list[str] = []
    ask_to_keep(sheets.desk.window, BELL, told.append).fileSelected.emit(str(tmp_path / "file" / "kept.json"))
    (sentence,) = told
    assert "could not be written" in sentence


@pytest.mark.parametrize("practising", [False, True])
def test_without_a_whistle_of_ones_own_there_is_no_document(sheets, practising) -> None:
    if practising:
        sheets.desk.practise()
    else:
        sheets.desk.begin()
    sheets.keep_document()
    assert sheets.desk.window.view.trouble
    assert [each for each in sheets.desk.window.findChildren(QFileDialog) if each.isVisible()] == []


# ---- glue that is due ------------------------------------------------------------------------------------------------
def glued(path: Path, hours_ago: float, glue: str = "water") -> None:
    """The bell with a plug in every bore and glue on each, so long ago."""
    at = datetime.now(UTC) - timedelta(hours=hours_ago)
    plugs = [PlugSet(new_id(), at.isoformat(), BELL.id, c.letter, "plug", "cut", 57.6, 0.0, 0.0, 57.6, True, 0.1, None,
                     "typed") for c in BELL.chambers]
    steps = [StepTaken(new_id(), at.isoformat(), BELL.id, *told, None) for told in (
        ("stage", None, Stage.GLUE.value), ("glue", None, glue), *(("glued", c.letter, glue) for c in BELL.chambers))]
    with Journal(path) as journal:
        journal.append_all([*plugs, *steps])


@pytest.mark.parametrize(("glue", "hours_ago", "due"), [
    ("water", 9.9, False), ("water", 10.1, True), ("epoxy", 23.9, False), ("epoxy", 24.1, True),
])
def test_glue_on_another_whistle_that_had_its_time_is_told_with_the_key(sheets, glue, hours_ago, due) -> None:
    # common practice, no source: water-based overnight, ten hours at the least; the others a day
    laid_in_turn(sheets)
    glued(sheets.desk.context.journal_path, hours_ago, glue)
    sheets.desk.begin()
    assert sheets.desk.whistle == PILOT
    line = "The glue of Harbour bell has had its time: ctrl+O lays it on the bench."
    assert (line in sheets.desk.window.view.asides) is due


def test_glue_that_comes_due_meanwhile_is_told_at_the_next_change(qtbot, sheets, monkeypatch) -> None:
    laid_in_turn(sheets)
    glued(sheets.desk.context.journal_path, 9.9)
    sheets.desk.begin()
    assert not any("has had its time" in aside for aside in sheets.desk.window.view.asides)
    monkeypatch.setattr("app.ui.desk.is_past", lambda due_utc, _now_utc: True)
    sheets.desk.post(Pressed(Key.DONE))
    qtbot.waitUntil(lambda: any("has had its time" in aside for aside in sheets.desk.window.view.asides))


def test_the_one_whose_glue_is_due_is_not_told_of_itself_nor_once_its_chord_was_blown(sheets) -> None:
    laid_in_turn(sheets)
    path = sheets.desk.context.journal_path
    glued(path, 30.0)
    sheets.desk.lay(BELL)
    assert not any("has had its time" in aside for aside in sheets.desk.window.view.asides)
    blown = replace(chord(), id=new_id(), whistle_id=BELL.id, at_utc=datetime.now(UTC).isoformat())
    assert blown.usable
    with Journal(path) as journal:
        journal.append(blown)
    sheets.desk.lay(PILOT)
    assert not any("has had its time" in aside for aside in sheets.desk.window.view.asides)


# ---- a document that cannot be read ----------------------------------------------------------------------------------
def newer_document(path: Path) -> str:
    """As another laptop's later program may have filed it; its whistle's id."""
    filed = WhistleFiled(new_id(), datetime.now(UTC).isoformat(), new_id(), "0" * 64, '{"format": "of another day"}')
    with Journal(path) as journal:
        journal.append(filed)
    return filed.whistle_id


def test_one_document_that_cannot_be_read_keeps_no_other_whistle_off_the_bench(sheets) -> None:
    laid_in_turn(sheets)
    path = sheets.desk.context.journal_path
    glued(path, 30.0)
    newer_document(path)
    sheets.desk.lay(PILOT)
    assert (sheets.desk.whistle, sheets.desk.refused) == (PILOT, None)
    assert any("The glue of Harbour bell" in aside for aside in sheets.desk.window.view.asides)


def test_the_list_names_the_document_that_could_not_be_read_and_shows_the_others(sheets) -> None:
    laid_in_turn(sheets)
    unread = newer_document(sheets.desk.context.journal_path)
    sheet = open_list(sheets)
    assert sheet.list.count() == 2
    assert sheet.trouble.text() == f"The journal's whistle {unread} could not be read and is not among these."
