"""The club evening in the window: its sheets, the room view that says whose turn it is, from whistle to whistle."""
from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.club_book import NO_EVENING
from app.settings import Settings
from app.ui.club_add import ClubAdd
from app.ui.club_names import ClubNames
from app.ui.club_sheet import ClubSheet
from tests.number_maker import WHISTLE
from tests.ui.bench_parts import bench_with, drawn_parts, words_on
from tests.ui.club_cases import TURNS, dozen
from tests.ui.sample_views import TRIM
from tests.ui.sheet_checks import clipped, faint, missed_by_tab, same_mnemonics, unnamed

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")
DOZEN = dozen()
NAMES = {each.whistle.id: "Tamsin" for each in DOZEN}


def club_sheet(settings: Settings) -> ClubSheet:
    sheet = ClubSheet(settings)
    sheet.show_whistles(DOZEN, DOZEN[4])
    return sheet


SHEETS = {
    "list": club_sheet,
    "empty list": ClubSheet,
    "add": lambda settings: ClubAdd(settings, WHISTLE, NO_EVENING, True),
    "names": lambda settings: ClubNames(settings, [each.whistle for each in DOZEN], NAMES),
}


def shown(qtbot, sheet):
    qtbot.addWidget(sheet)
    with qtbot.waitActive(sheet):
        sheet.show()
        sheet.activateWindow()
    return sheet


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("text_scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_nothing_is_clipped_or_faint_at_any_size_of_text(qtbot, name, theme, text_scale):
    sheet = shown(qtbot, SHEETS[name](Settings(theme=theme, text_scale=text_scale)))
    sheet.resize(1280, 760)
    assert clipped(sheet) == []
    assert sheet.scroll.horizontalScrollBar().maximum() == 0
    assert faint(sheet) == []


@pytest.mark.parametrize(("text_scale", "n_seen"), [(1.0, 12), (2.0, 3)])
def test_a_dozen_is_in_sight_and_the_key_that_calls_the_next_at_any_size_of_text(qtbot, text_scale, n_seen):
    sheet = shown(qtbot, club_sheet(Settings(text_scale=text_scale)))
    sheet.resize(1280, 760)
    qtbot.wait(20)
    rows = sheet.list.viewport().rect()
    assert sum(rows.contains(sheet.list.visualItemRect(sheet.list.item(n))) for n in range(12)) >= n_seen
    assert sheet.next.visibleRegion().boundingRect() == sheet.next.rect()
    assert sheet.turn.visibleRegion().boundingRect() == sheet.turn.rect()


@pytest.mark.parametrize("name", SHEETS)
def test_everything_has_a_name_a_letter_of_its_own_and_is_reached(qtbot, name):
    sheet = shown(qtbot, SHEETS[name](Settings()))
    assert (unnamed(sheet), same_mnemonics(sheet), missed_by_tab(sheet)) == ([], [], [])


def test_the_list_names_stage_and_what_is_waited_for_and_never_a_person(qtbot):
    sheet = shown(qtbot, club_sheet(Settings()))
    rows = [sheet.list.item(n).text() for n in range(sheet.list.count())]
    assert [row.split(" · ")[0] for row in rows] == [str(n) for n in range(1, 13)]
    assert "plug B to be mended" in rows[0]
    assert "waits for its glue" in rows[1]
    assert rows[4].endswith("on the bench")
    assert "Tamsin" not in " ".join(rows)


def test_a_digit_typed_anywhere_and_enter_call_that_number(qtbot):
    sheet = shown(qtbot, club_sheet(Settings()))
    sheet.list.setFocus()
    with qtbot.waitSignal(sheet.called) as called:
        QTest.keyClicks(sheet.list, "1")
        QTest.keyClicks(sheet.number, "1")
        QTest.keyClick(sheet.number, Qt.Key.Key_Return)
    assert called.args == [11]


def test_enter_without_a_number_calls_the_next_in_turn(qtbot):
    sheet = shown(qtbot, club_sheet(Settings()))
    with qtbot.waitSignal(sheet.called) as called:
        QTest.keyClick(sheet.number, Qt.Key.Key_Return)
    assert called.args == [next(each.number for each in DOZEN[2:] if each.ready and each is not DOZEN[4])]


# ---- the room ------------------------------------------------------------------------------------------------------
def test_the_number_stands_in_place_of_the_letter_until_the_evening_is_left(qtbot):
    window = bench_with(TRIM)
    qtbot.addWidget(window)
    window.press_named("f")
    window.bench.room.show_turn(TURNS["called"])
    assert "7 | " in words_on(window)
    assert "number 7, your turn" in window.bench.room.accessibleDescription()
    window.bench.room.show_turn(None)
    written = [box.text for box in drawn_words(window)]
    assert "7" not in written
    assert "B" in written


def drawn_words(window):
    drawn_parts(window)
    return window.bench.room.text_boxes()
