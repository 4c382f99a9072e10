"""The first start: what a maker sees, by keyboard alone, and what is kept of the answers."""
from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.errors import WorldError
from app.heard import Level, LevelWord, ListenerDied, SourceNoticed
from app.settings import Settings
from app.source import Hearing, Notice
from app.ui.ear import Ear
from app.ui.first_start import FirstStart
from tests.ui.fake_ear import BENCH, FakeEar

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


class Told:
    """The settings that the first start handed on, in order."""

    def __init__(self, sheet: FirstStart) -> None:
        self.settings: list[Settings] = []
        sheet.told.connect(self.settings.append)


@pytest.fixture
def ear() -> FakeEar:
    return FakeEar()


@pytest.fixture
def sheet(qtbot, ear) -> FirstStart:
    sheet = FirstStart(Settings(), ear, judge=lambda samples, rate: (f"Heard {len(samples) / rate:.1f} s.", "Well."))
    qtbot.addWidget(sheet)
    with qtbot.waitActive(sheet):
        sheet.show()
        sheet.activateWindow()
    return sheet


def press(key: Qt.Key, times: int = 1) -> None:
    for _ in range(times):
        QTest.keyClick(QApplication.focusWidget(), key)


def test_the_systems_own_microphone_is_chosen_and_listened_to_at_once(sheet, ear) -> None:
    assert sheet.page.list.currentItem().text() == "the system's own choice (now Built-in microphone)"
    assert ear.opened == [None]
    assert ear.is_open


def test_the_keyboard_alone_answers_every_page(sheet, ear) -> None:
    told = Told(sheet)
    press(Qt.Key.Key_Down, 2)  # the second microphone
    press(Qt.Key.Key_Return)
    press(Qt.Key.Key_Up, 1)  # from both units to inches
    press(Qt.Key.Key_Return)
    QTest.keyClicks(QApplication.focusWidget(), "67 F")
    press(Qt.Key.Key_Return)
    press(Qt.Key.Key_Return)
    (settings,) = told.settings
    assert settings.device_name == BENCH.name
    assert settings.units == "inch"
    assert settings.temperature_c == pytest.approx(19.44, abs=0.01)  # derived by hand: (67 - 32) 5 / 9
    assert settings.first_start_done
    assert not ear.is_open


def test_escape_skips_all_that_is_left_and_keeps_what_was_told(sheet, ear) -> None:
    told = Told(sheet)
    press(Qt.Key.Key_Down, 2)
    press(Qt.Key.Key_Return)
    press(Qt.Key.Key_Escape)
    assert told.settings == [Settings(device_name=BENCH.name, first_start_done=True)]
    assert not ear.is_open


def test_every_page_can_be_skipped(sheet) -> None:
    told = Told(sheet)
    for page in sheet.pages:
        assert sheet.page is page
        sheet.skip_one.click()
    assert told.settings == [Settings(first_start_done=True)]


def test_a_page_turned_back_to_still_shows_its_answer(sheet) -> None:
    press(Qt.Key.Key_Return)
    press(Qt.Key.Key_Up)
    press(Qt.Key.Key_Return)
    sheet.back.click()
    assert sheet.page.choices.value() == "inch"


def test_a_temperature_that_cannot_be_stays_on_its_page_with_a_sentence(sheet) -> None:
    press(Qt.Key.Key_Return, 2)
    QTest.keyClicks(QApplication.focusWidget(), "67")
    press(Qt.Key.Key_Return)
    assert sheet.page is sheet.pages[2]
    assert "67 °C is outside 0 to 40 °C" in sheet.trouble.text()
    assert sheet.trouble.isVisible()


def test_no_thermometer_is_said_to_leave_intervals_only(sheet) -> None:
    press(Qt.Key.Key_Return, 2)
    assert sheet.page.air.without.isChecked()
    assert sheet.page.air.temperature_c() is None


@pytest.mark.parametrize(
    ("code", "words"), [("too_quiet", "too quiet"), ("right", "loud enough"), ("too_loud", "too loud")]
)
def test_the_level_is_said_in_a_word_while_one_blows(sheet, ear, code, words) -> None:
    ear.level_heard.emit(code)
    assert sheet.page.level.text().startswith(words)


def test_the_trial_blow_is_answered_with_what_was_heard(sheet, ear) -> None:
    for _ in range(3):
        sheet.skip()
    ear.blow_heard.emit(np.zeros(96_000, np.float32), 48_000)
    assert sheet.page.found.text() == "Heard 2.0 s."
    assert sheet.page.remedy.text() == "Well."


def test_a_blow_is_not_judged_before_its_page(sheet, ear) -> None:
    ear.blow_heard.emit(np.zeros(96_000, np.float32), 48_000)
    for _ in range(3):
        sheet.skip()
    assert sheet.page.found.text() == "Nothing heard yet."


def test_looking_again_finds_a_microphone_that_was_plugged_in(sheet, ear) -> None:
    ear.there = (*ear.there, type(BENCH)("New microphone"))
    sheet.page.again.click()
    assert sheet.page.list.item(3).text() == "New microphone"


def test_without_any_microphone_the_walk_can_still_begin(qtbot) -> None:
    class NoLibrary(FakeEar):
        def devices(self):
            raise WorldError("The sound library PortAudio is missing.")

    sheet = FirstStart(Settings(), NoLibrary(), judge=lambda samples, rate: ("", ""))
    qtbot.addWidget(sheet)
    told = Told(sheet)
    assert sheet.page.hearing.text() == "The sound library PortAudio is missing."
    sheet.leave.click()
    assert told.settings[0].first_start_done


class FakeListener:
    """Says what it is told to say, as the listening thread would."""

    def __init__(self, device_name: str | None, emit) -> None:
        self.emit = emit
        self.running = False

    def start(self) -> None:
        self.running = True

    def stop(self) -> bool:
        self.running = False
        return True


def test_the_ear_passes_on_what_the_listener_says_and_stops_the_one_before(qtbot) -> None:
    made: list[FakeListener] = []

    def make(device_name, emit):
        made.append(FakeListener(device_name, emit))
        return made[-1]

    ear = Ear(make_listener=make)
    ear.open(None)
    with qtbot.waitSignal(ear.level_heard) as level:
        made[0].emit(Level(LevelWord.TOO_LOUD, -3.0, -60.0))
    assert level.args == ["too_loud"]
    with qtbot.waitSignal(ear.noticed) as noticed:
        made[0].emit(SourceNoticed(Notice(Hearing.LOST)))
    assert noticed.args[0].hearing is Hearing.LOST
    with qtbot.waitSignal(ear.failed) as failed:
        made[0].emit(ListenerDied("The microphone went.", fault_is_ours=False))
    assert failed.args == ["The microphone went."]
    ear.open("Bench")
    assert [listener.running for listener in made] == [False, True]
    ear.close()
    assert not made[1].running
