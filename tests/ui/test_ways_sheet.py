"""The sheet with the ways out: what it shows, what it tells, and how the window comes to it."""
from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from app.cautions import CUTTING
from app.context import Context
from app.events import ChordLowered
from app.home import journal_path
from app.rescue_words import NO_WAYS, ways_lines
from app.settings import Settings
from app.showing import view
from app.ui.desk import Desk
from app.ui.sheets import Sheets
from app.ui.ways_sheet import WaysSheet
from tests.ui.accessible_tree import nameless, namesakes, silent, untold
from tests.ui.bench_parts import bench_with, words_on
from tests.ui.sheet_checks import clipped, faint, missed_by_tab, same_mnemonics, unnamed
from tests.ui.ways_cases import flat, short, ways_of

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")
BENCHES = {"flat": flat, "short": short}


def shown(qtbot, sheet):
    qtbot.addWidget(sheet)
    with qtbot.waitActive(sheet):
        sheet.show()
        sheet.activateWindow()
    return sheet


@pytest.mark.parametrize("name", BENCHES)
@pytest.mark.parametrize("text_scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_nothing_is_clipped_or_faint_at_any_size_of_text(qtbot, name, theme, text_scale):
    sheet = shown(qtbot, WaysSheet(ways_of(BENCHES[name]()), Settings(theme=theme, text_scale=text_scale)))
    sheet.resize(1280, 760)
    assert clipped(sheet) == []
    assert sheet.scroll.horizontalScrollBar().maximum() == 0
    assert faint(sheet) == []


@pytest.mark.parametrize("name", BENCHES)
def test_everything_has_a_name_a_letter_of_its_own_and_is_reached(qtbot, name):
    sheet = shown(qtbot, WaysSheet(ways_of(BENCHES[name]()), Settings()))
    assert (unnamed(sheet), same_mnemonics(sheet), missed_by_tab(sheet)) == ([], [], [])
    assert nameless(sheet) + silent(sheet) + untold(sheet) + namesakes(sheet) == []


@pytest.mark.parametrize(("name", "units"), [("flat", "mm"), ("flat", "inch"), ("short", "mm")])
def test_every_line_stands_on_it_with_the_caution(qtbot, name, units):
    ways = ways_of(BENCHES[name](), units)
    sheet = shown(qtbot, WaysSheet(ways, Settings(units=units)))
    words = [label.text() for label in sheet.findChildren(QLabel)]
    assert set(ways_lines(ways, units)) <= set(words)
    assert CUTTING.text in words


def test_chord_down_is_told_with_the_cents_that_were_offered(qtbot):
    ways = ways_of(flat())
    sheet = shown(qtbot, WaysSheet(ways, Settings()))
    with qtbot.waitSignal(sheet.chord_lowered) as told:
        QTest.keyClick(sheet, Qt.Key.Key_D, Qt.KeyboardModifier.AltModifier)
    assert told.args == [pytest.approx(ways.lowering.lowered_cents)]


def test_what_cannot_be_done_has_no_button(qtbot):
    sheet = shown(qtbot, WaysSheet(replace(ways_of(flat()), lowering=None), Settings()))
    assert not hasattr(sheet, "take_down")
    assert not hasattr(shown(qtbot, WaysSheet(replace(ways_of(short()), chords=()), Settings())), "lay_out")


def test_lay_out_anew_is_asked_for(qtbot):
    sheet = shown(qtbot, WaysSheet(ways_of(short()), Settings()))
    with qtbot.waitSignal(sheet.plan_asked):
        sheet.lay_out.click()


# ---- on the bench ----------------------------------------------------------------------------------------------------
def test_the_bench_shows_the_key_and_the_key_asks_for_the_sheet(qtbot):
    window = bench_with(view(flat().state))
    qtbot.addWidget(window)
    assert "other ways out" in words_on(window)
    with qtbot.waitActive(window):
        window.activateWindow()
    with qtbot.waitSignal(window.ways_asked):
        QTest.keyClick(window, Qt.Key.Key_O)


@pytest.fixture
def desk(qtbot, tmp_path):
    desk = Desk(Context(tmp_path, Settings(theme="light"), journal_path(tmp_path), seed=5, fast=True))
    qtbot.addWidget(desk.window)
    desk.window.show()
    yield desk
    desk.clear()


def test_without_a_whistle_and_where_nothing_has_run_out_it_says_so(desk):
    sheets = Sheets(desk)
    sheets.show_ways()
    assert "No whistle lies on the bench" in desk.window.view.trouble
    desk.practise()
    sheets.show_ways()
    assert desk.window.view.trouble == NO_WAYS
    assert sheets.open_sheet is None


def test_taking_the_chord_down_on_the_sheet_reaches_the_walk(desk, monkeypatch):
    sheets = Sheets(desk)
    desk.practise()
    desk.bridge.session._state = flat().state
    posted = []
    monkeypatch.setattr(desk, "post", posted.append)
    sheets.show_ways()
    assert isinstance(sheets.open_sheet, WaysSheet)
    sheets.open_sheet.take_down.click()
    assert posted == [ChordLowered(ways_of(flat()).lowering.lowered_cents)]
    assert sheets.open_sheet is None


def test_lay_out_anew_from_the_sheet_opens_lay_out_or_says_why_not(desk):
    sheets = Sheets(desk)
    desk.practise()
    desk.bridge.session._state = short().state
    sheets.show_ways()
    sheets.open_sheet.lay_out.click()
    assert "practice whistle is invented" in desk.window.view.trouble
