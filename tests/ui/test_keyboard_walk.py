"""From an empty journal through chord and glue to the next day by the keyboard alone; an invented maker blows."""
from __future__ import annotations

import math

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

import app.microphone
from acoustics.blow import Verdict
from app.context import Context
from app.events import Heard, Request, Task
from app.glue_stage import BEFORE, GLUED, NEXT_DAY
from app.home import journal_path
from app.settings import Settings
from app.ui.desk import Desk
from app.ui.sheets import Sheets
from app.ui.truth_sheet import TruthSheet
from app.view import Stage
from tests.number_maker import WHISTLE, NumberMaker, chord_of, steady
from tests.ui.quiet_source import Silence

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")  # said by Qt off screen of windows and menus
MOST_STEPS = 400
WALK_MS = 240_000  # a loaded machine; the walk itself takes some ten seconds


@pytest.fixture
def sheets(qtbot, tmp_path):
    context = Context(tmp_path, Settings(theme="light", motion="reduced", pedal_key="F13"), journal_path(tmp_path),
                      seed=4, fast=True)
    desk = Desk(context)
    qtbot.addWidget(desk.window)
    sheets = Sheets(desk)
    with qtbot.waitActive(desk.window):
        desk.window.show()
        desk.window.activateWindow()
    desk.begin()
    yield sheets
    desk.clear()


def press(key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    """A key goes to whatever has the focus, as on a real keyboard."""
    QTest.keyClick(QApplication.activePopupWidget() or QApplication.focusWidget(), key, modifier)
    QApplication.processEvents()


def test_practice_goes_by_keys_alone_from_an_empty_journal_through_chord_and_glue_to_the_next_day(qtbot, sheets):
    window = sheets.desk.window
    assert window.view.rows == ()
    press(Qt.Key.Key_P)
    seen: list[Stage] = []
    sheets.desk.bridge.view_changed.connect(lambda view: seen.append(view.stage))
    qtbot.waitUntil(lambda: isinstance(sheets.open_sheet, TruthSheet), timeout=WALK_MS)
    assert list(dict.fromkeys(seen)) == [Stage.FIRST_BLOW, Stage.CUT, Stage.TRIM, Stage.CHORD]
    assert sheets.desk.bridge.session.done()
    truth = sheets.open_sheet
    qtbot.waitUntil(lambda: truth.isAncestorOf(QApplication.focusWidget() or sheets.desk.window))
    press(Qt.Key.Key_Return)  # puts the sheet away
    qtbot.waitUntil(lambda: sheets.open_sheet is None)
    with qtbot.waitActive(window):
        window.activateWindow()  # as a window manager does when what lay over it is gone
    press(Qt.Key.Key_F13)  # the pedal: chord heard, on to the glue
    qtbot.waitUntil(lambda: window.view.stage is Stage.GLUE)
    press(Qt.Key.Key_W)  # water-based
    session = sheets.desk.bridge.session
    qtbot.waitUntil(lambda: session.request().task is Task.REST, timeout=WALK_MS)
    assert session.state.place.glue.round == GLUED
    assert window.view.keys.startswith("space: practice, let it be the next day")
    press(Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: isinstance(sheets.open_sheet, TruthSheet), timeout=WALK_MS)
    assert session.glued(), "the truth is told again"
    assert [column.name for column in session.state.place.glue.columns] == [BEFORE, GLUED, NEXT_DAY]


def test_keys_typed_lengths_and_the_pedal_alone_tune_a_whistle_whose_blows_are_numbers(qtbot, sheets, monkeypatch):
    monkeypatch.setattr(app.microphone, "Microphone", Silence)
    sheets.desk.lay(WHISTLE)
    press(Qt.Key.Key_Y, Qt.KeyboardModifier.AltModifier)  # the menu Way,
    press(Qt.Key.Key_T)  # Trim a flush plug
    maker, hands = NumberMaker(5), Hands(sheets.desk, qtbot)
    for _ in range(MOST_STEPS):
        if hands.session.done():
            break
        hands.answer(maker)
    assert hands.session.done()
    assert {"space", "pedal", "typed"} <= set(hands.done_by), "no way of saying so was left untried"
    off_cents = [
        1200 * math.log2(maker.true_hz(one.letter) / maker.true_hz("A")) - 1200 * math.log2(one.target_hz / a_hz)
        for a_hz in (WHISTLE.chambers[0].target_hz,) for one in WHISTLE.chambers
    ]
    assert max(abs(cents) for cents in off_cents) < 10.0  # derived: the tolerance of 5 and the scatter of the blows


class Hands:
    """Blows are handed in as read; all that hands say goes by keys, in turn by space, pedal and a typed length."""

    def __init__(self, desk: Desk, qtbot) -> None:
        self.desk, self.qtbot = desk, qtbot
        self.session = desk.bridge.session
        self.at_s = 0.0
        self.done_by: list[str] = []

    def answer(self, maker: NumberMaker) -> None:
        request = self.session.request()
        self.at_s += 3.0
        if request.task is Task.CHORD:
            blow = steady(900.0, self.at_s, Verdict.SEVERAL)
            self._hear(Heard(blow, request.id, self.at_s, chord=chord_of(maker.chord())))
        elif (heard_hz := maker.do(request)) is not None:
            self._hear(Heard(steady(heard_hz, self.at_s), request.id, self.at_s))
        else:
            self._say_done(request, maker)

    def _hear(self, heard: Heard) -> None:
        self.session.post(heard)
        QApplication.processEvents()

    def _say_done(self, request: Request, maker: NumberMaker) -> None:
        way = ("space", "pedal", "typed")[len(self.done_by) % 3]
        if way == "typed" and request.task in (Task.CUT, Task.TRIM) and self.desk.window.view.may_type:
            text = f"{maker.depth_mm[request.letter]:.1f}"
            press(Qt.Key(ord(text[0])))  # a digit opens the field
            QTest.keyClicks(QApplication.focusWidget(), text[1:] + " mm")
            press(Qt.Key.Key_Return)
        else:
            way = "pedal" if way == "pedal" else "space"
            press(Qt.Key.Key_F13 if way == "pedal" else Qt.Key.Key_Space)
        self.done_by.append(way)
        self.qtbot.waitUntil(lambda: self.session.request().id != request.id)
