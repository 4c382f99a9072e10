"""A damaged journal in the window: said there, never a flash and gone; set aside, and on with what can be read."""
from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QLabel

from app.context import Context
from app.errors import WorldError
from app.home import journal_path
from app.journal import Journal
from app.journal.checking import check
from app.settings import Settings
from app.shelf_words import damage_lines, set_aside_line
from app.ui.damaged_sheet import DamagedSheet
from app.ui.desk import Desk
from app.ui.main import run_window, tell_fault
from app.ui.sheets import Sheets
from app.ui.whistle_form import WhistleForm
from tests.ui.fake_ear import FakeEar
from tests.ui.quiet_source import SilentMicrophone
from tests.ui.sheet_cases import harbour
from tests.ui.sheet_checks import clipped, faint, missed_by_tab, same_mnemonics, unnamed
from tests.ui.shelf_cases import BELL, PILOT, damaged

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints", "raise")


def lose_head(path: Path) -> bytes:
    """The first hundred bytes gone, as a disk may lose them: what `journal check` calls a lost head."""
    harmed = b"\xa5" * 100 + path.read_bytes()[100:]
    path.write_bytes(harmed)
    return harmed


@pytest.fixture
def sheets(qtbot, tmp_path: Path, monkeypatch):
    """A journal with two whistles whose head is lost."""
    monkeypatch.setattr("app.microphone.Microphone", SilentMicrophone)
    desk = Desk(Context(tmp_path, Settings(theme="light", units="mm", keep_sound=False), journal_path(tmp_path)))
    qtbot.addWidget(desk.window)
    sheets = Sheets(desk)
    desk.window.show()
    desk.lay(BELL)
    desk.lay(PILOT)
    desk.clear()
    lose_head(desk.context.journal_path)
    yield sheets
    desk.clear()


def offered(qtbot, sheets: Sheets) -> DamagedSheet:
    qtbot.waitUntil(lambda: isinstance(sheets.open_sheet, DamagedSheet))
    return sheets.open_sheet


def test_at_the_start_it_stands_on_the_window_and_is_set_aside_by_one_key(qtbot, sheets) -> None:
    path = sheets.desk.context.journal_path
    harmed, readable = path.read_bytes(), sum(check(path).n_records.values())
    sheets.desk.begin()
    assert "journal check --repair" in sheets.desk.window.view.trouble
    sheet = offered(qtbot, sheets)
    assert path.read_bytes() == harmed  # nothing is touched before the maker said so
    assert any(f"{readable} records can be read" in label.text() for label in sheet.findChildren(QLabel))
    assert not any("move it away" in label.text() for label in sheet.findChildren(QLabel))
    sheet.repair.click()
    assert sheets.desk.whistle == PILOT
    assert sheets.desk.refused is None
    (aside,) = path.parent.glob("journal.sqlite.damaged-*")
    assert aside.read_bytes() == harmed
    assert aside.name in sheets.desk.window.view.trouble
    assert "what could be read" in sheets.desk.window.view.trouble
    with Journal(path) as journal:
        assert [filed.whistle_id for filed in journal.whistles()] == [BELL.id, PILOT.id]


def test_of_a_journal_of_which_nothing_can_be_read_no_more_is_claimed() -> None:
    assert damage_lines("its tables are not whole", 0)[1].startswith("Nothing can be read.")
    assert set_aside_line("journal.sqlite.damaged", 0).endswith("nothing could be read, and this one is empty.")


def test_left_as_it_is_nothing_is_touched_and_each_way_to_a_whistle_offers_it_again(qtbot, sheets) -> None:
    harmed = sheets.desk.context.journal_path.read_bytes()
    sheets.desk.begin()
    offered(qtbot, sheets).leave.click()
    for wish in (sheets.open_whistle, sheets.describe_whistle):
        wish()
        offered(qtbot, sheets).leave.click()
        assert sheets.open_sheet is None
    assert sheets.desk.context.journal_path.read_bytes() == harmed


def test_after_the_first_start_the_same_fault_is_the_worlds_too(qtbot, sheets, caplog, monkeypatch) -> None:
    monkeypatch.setattr("app.ui.ear.Ear", lambda parent: FakeEar())
    sheets.first_start()
    sheets.open_sheet.finish()
    assert "journal check --repair" in sheets.desk.window.view.trouble
    offered(qtbot, sheets)
    assert "a fault inside the window" not in caplog.text


@pytest.mark.parametrize("how", ["settings", "described"])
def test_a_whistle_that_cannot_be_laid_for_it_says_why(qtbot, sheets, how) -> None:
    desk = sheets.desk
    if how == "settings":
        desk.whistle = BELL
        desk.lay_again()
    else:
        desk.lay(BELL)
    assert desk.bridge is None
    assert "journal check --repair" in desk.window.view.trouble
    offered(qtbot, sheets)


def test_a_file_of_somebody_else_is_said_and_nothing_is_offered(qtbot, sheets) -> None:
    sheets.desk.context.journal_path.write_bytes(b"half a pound of linseed oil\n" * 200)
    sheets.desk.begin()
    qtbot.wait(50)
    assert "move it away" in sheets.desk.window.view.trouble
    assert sheets.open_sheet is None


@pytest.mark.logs_warnings  # Qt's own of its off-screen platform, which the running window logs
def test_the_window_stays_until_it_is_closed_and_the_command_line_still_hears_of_it(qtbot, sheets, monkeypatch) -> None:
    monkeypatch.setattr("app.ui.awake.StayAwake.ask", lambda _self: True)
    context = sheets.desk.context
    seen: list[str] = []

    def look_and_close() -> None:
        window = next(each for each in QApplication.topLevelWidgets()
                      if each.isVisible() and hasattr(each, "show_trouble") and each is not sheets.desk.window)
        seen.append(window.view.trouble)
        QApplication.instance().exit()

    before = sys.excepthook
    QTimer.singleShot(600, look_and_close)
    with pytest.raises(WorldError, match="journal check --repair"):  # app.__main__ makes exit code 2 of it
        run_window(Context(context.home, Settings(first_start_done=True), context.journal_path))
    assert "journal check --repair" in seen[0]
    assert sys.excepthook is before


def test_a_fault_while_a_sheet_is_open_is_said_on_the_sheet(qtbot, sheets) -> None:
    form = WhistleForm(Settings(), harbour(), sheets.desk.window)
    qtbot.addWidget(form)
    with qtbot.waitExposed(form):
        form.show()
    fault = WorldError("The disk is full: make room.")
    tell_fault(WorldError, fault, None)
    assert form.trouble.text() == "The disk is full: make room."


@pytest.mark.parametrize("text_scale", [1.0, 2.0])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_offer_owes_its_reader_what_every_sheet_does(qtbot, theme, text_scale) -> None:
    sheet = damaged(Settings(theme=theme, text_scale=text_scale))
    qtbot.addWidget(sheet)
    with qtbot.waitActive(sheet):
        sheet.show()
        sheet.activateWindow()
    for width_px, height_px in ((1280, 760), (round(min(860 * text_scale, 1280)), 760), (3840, 2160)):
        sheet.resize(width_px, height_px)
        assert clipped(sheet) == []
        assert sheet.width() == width_px
    assert (unnamed(sheet), same_mnemonics(sheet), missed_by_tab(sheet), faint(sheet)) == ([], [], [], [])
