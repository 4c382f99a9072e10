"""The first start: what a maker sees, by keyboard alone, and what is kept of the answers."""
from __future__ import annotations

import threading
from collections.abc import Callable

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from acoustics.synthesis import BlowRecipe, render_blow, room_noise
from app.errors import WorldError
from app.settings import Settings
from app.source import Block, Hearing, Notice
from app.trial_words import trial_words
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
    ear.sound_heard.emit(np.zeros(96_000, np.float32), 48_000)
    assert sheet.page.found.text() == "Heard 2.0 s."
    assert sheet.page.remedy.text() == "Well."


def test_a_blow_is_not_judged_before_its_page(sheet, ear) -> None:
    ear.sound_heard.emit(np.zeros(96_000, np.float32), 48_000)
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


class Scripted:
    """A source that gives what it was handed, then stays quiet until it is closed."""

    name = "scripted"

    def __init__(self, *items: Block | Notice) -> None:
        self._items = list(items)
        self._closed = threading.Event()

    def read(self, timeout_s: float) -> Block | Notice | None:
        if self._items:
            return self._items.pop(0)
        self._closed.wait(timeout_s)
        return None

    def close(self) -> None:
        self._closed.set()

    @property
    def closed(self) -> bool:
        return self._closed.is_set()


RATE_HZ = 48_000


def blocks(sound: np.ndarray) -> list[Block]:
    return [Block(sound[start : start + 480], start / RATE_HZ, RATE_HZ) for start in range(0, len(sound), 480)]


def one_blow(gain_of: Callable[[np.ndarray], np.ndarray]) -> np.ndarray:
    """An invented blow of 4 s in a quiet room, whose sound the system then works on by a gain over time."""
    rng = np.random.default_rng(7)
    blow = render_blow(BlowRecipe(880.0, duration_s=4.0), RATE_HZ, rng)
    room = room_noise(len(blow) + 4 * RATE_HZ, RATE_HZ, -66.0, rng)
    heard = room.copy()
    heard[2 * RATE_HZ : 2 * RATE_HZ + len(blow)] += blow
    gain = np.ones(len(heard))
    gain[2 * RATE_HZ : 2 * RATE_HZ + len(blow)] = gain_of(np.arange(len(blow)) / RATE_HZ)
    return (heard * gain).astype(np.float32)


GAINS = {
    "untouched": (lambda t: np.ones_like(t), "Heard well"),
    "turned down": (lambda t: 10 ** (-np.maximum(t - 0.3, 0) * 12 / 20), "turned it down"),
    "turned up": (lambda t: 10 ** ((-14 + 7 * np.minimum(t, 2)) / 20), "turned it up"),
    "chopped": (lambda t: np.where((2 * t) % 1 < 0.6, 1.0, 0.0), "switches the sound off and on"),
    "cut off": (lambda t: np.where(t < 0.6, 1.0, 0.0), "short"),
}


@pytest.mark.parametrize("case", GAINS)
def test_a_blow_through_listener_and_ear_is_judged_whole_and_once(qtbot, case) -> None:
    gain_of, words = GAINS[case]
    ear = Ear(open_source=lambda device_name: Scripted(*blocks(one_blow(gain_of))))
    heard: list[tuple[str, str]] = []
    ear.sound_heard.connect(lambda samples, rate_hz: heard.append(trial_words(samples, rate_hz)))
    with qtbot.waitSignal(ear.sound_heard, timeout=20_000):
        ear.open(None)
    ear.close()
    assert len(heard) == 1
    assert words in heard[0][0]


def test_the_ear_passes_on_the_state_of_the_microphone_and_closes_the_one_before(qtbot) -> None:
    sources = [Scripted(Notice(Hearing.LOST)), Scripted()]
    waiting = list(sources)
    ear = Ear(open_source=lambda device_name: waiting.pop(0))
    with qtbot.waitSignal(ear.noticed) as noticed:
        ear.open(None)
    assert noticed.args[0].hearing is Hearing.LOST
    ear.open("Bench")
    assert sources[0].closed
    assert not sources[1].closed
    ear.close()
    assert sources[1].closed


def test_a_source_that_dies_is_told_in_its_own_sentence(qtbot) -> None:
    class Dying(Scripted):
        def read(self, timeout_s: float) -> None:
            raise WorldError("The microphone went.")

    ear = Ear(open_source=lambda device_name: Dying())
    with qtbot.waitSignal(ear.failed) as failed:
        ear.open(None)
    assert failed.args == ["The microphone went."]
    ear.close()
