"""Preferences: what is shown of each choice, and what is kept."""
from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel

from acoustics.tuning import Policy
from app.closeness import FLAT_RISK, Boldness, tolerance_mm
from app.errors import WorldError
from app.settings import Settings
from app.system_voice import no_voice_text
from app.ui.air_sheet import AirSheet
from app.ui.preferences import Preferences
from app.ui.trial_sheet import TrialSheet
from tests.ui.fake_ear import BENCH, FakeEar
from tests.ui.sheet_cases import harbour
from tests.ui.sheet_checks import faint

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")

TOLD = Settings(
    device_name=BENCH.name, units="inch", theme="dark", text_scale=1.5, temperature_c=20.0, keep_sound=False,
    tones=False, speech=True, blower="Mate", tolerance_cents=8.0, boldness="careful", first_start_done=True,
    memory=False, contrast="high", motion="reduced", pedal_key="F13",
)  # fmt: skip


def shown(qtbot, settings: Settings, **kwargs) -> Preferences:
    sheet = Preferences(settings, FakeEar().devices, **{"has_voice": lambda: True, **kwargs})
    qtbot.addWidget(sheet)
    with qtbot.waitActive(sheet):
        sheet.show()
        sheet.activateWindow()
    return sheet


def words_of(sheet: Preferences) -> list[str]:
    return [label.text() for label in sheet.findChildren(QLabel)]


def kept(qtbot, sheet: Preferences) -> Settings:
    with qtbot.waitSignal(sheet.settings_chosen) as chosen:
        sheet.keep.click()
    return chosen.args[0]


@pytest.mark.parametrize("settings", [Settings(), TOLD])
def test_a_sheet_that_is_not_touched_keeps_everything_as_it_was(qtbot, settings) -> None:
    assert kept(qtbot, shown(qtbot, settings)) == settings


def test_every_choice_is_kept(qtbot) -> None:
    sheet = shown(qtbot, Settings())
    sheet.units.buttons["inch"].click()
    sheet.theme.buttons["dark"].click()
    sheet.contrast.buttons["high"].click()
    sheet.motion.buttons["reduced"].click()
    sheet.pedal.learn.click()
    QTest.keyClick(sheet.pedal.learn, Qt.Key.Key_F13)
    sheet.text_size.setCurrentIndex(sheet.text_size.findData(1.5))
    sheet.microphone.setCurrentIndex(sheet.microphone.findData(BENCH.name))
    QTest.keyClicks(sheet.blower, "Mate")
    QTest.keyClicks(sheet.air.reading, "68 F")
    sheet.tolerance.setValue(8)
    sheet.boldness.buttons["careful"].click()
    for tick in (sheet.keep_sound, sheet.tones, sheet.speech, sheet.memory):
        tick.click()
    assert kept(qtbot, sheet) == replace(TOLD, first_start_done=False)


def test_without_a_voice_the_tick_is_grey_and_says_what_to_install(qtbot) -> None:
    sheet = shown(qtbot, Settings(speech=True), has_voice=lambda: False)
    assert not sheet.speech.isEnabled()
    assert no_voice_text() in words_of(sheet)
    assert kept(qtbot, sheet) == Settings(speech=True)  # on another day the voice may be there


def test_with_a_voice_nothing_is_said_of_installing_one(qtbot) -> None:
    sheet = shown(qtbot, Settings())
    assert sheet.speech.isEnabled()
    assert "No voice" not in " ".join(words_of(sheet))


def test_the_tolerance_is_shown_in_wood(qtbot) -> None:
    sheet = shown(qtbot, Settings(), whistle=None)
    assert "5 cents are 0.6 mm at G4 and 0.2 mm at D6" in sheet.in_wood.text()
    sheet.tolerance.setValue(10)
    assert "10 cents are 1.3 mm at G4 and 0.4 mm at D6" in sheet.in_wood.text()


def test_the_tolerance_is_shown_for_the_whistle_on_the_bench(qtbot) -> None:
    assert "at A (F5) and 0.2 mm at D (D6)" in shown(qtbot, Settings(), whistle=harbour()).in_wood.text()


@pytest.mark.parametrize(("note_hz", "expected_mm"), [(391.995, 0.63), (1174.66, 0.21)])
def test_the_tolerance_in_wood_is_that_of_a_quarter_wave(note_hz, expected_mm) -> None:
    # derived by hand: 343.2 m/s / 4 f, times ln 2 / 1200, times 5 cents
    assert tolerance_mm(5.0, note_hz) == pytest.approx(expected_mm, abs=0.005)


def test_bolder_words_allow_a_greater_risk_and_the_middle_one_is_the_models_own() -> None:
    risks = [FLAT_RISK[boldness] for boldness in (Boldness.CAREFUL, Boldness.EVEN, Boldness.BOLD)]
    assert risks == sorted(set(risks))
    assert FLAT_RISK[Boldness.EVEN] == Policy().flat_risk


def test_light_dark_and_size_of_text_are_seen_at_once(qtbot) -> None:
    sheet = shown(qtbot, Settings(theme="light"))
    light = sheet.grab().toImage().pixelColor(2, 2).lightness()
    height_px = sheet.heading.fontMetrics().height()
    sheet.theme.buttons["dark"].click()
    sheet.text_size.setCurrentIndex(sheet.text_size.findData(2.0))
    assert sheet.grab().toImage().pixelColor(2, 2).lightness() < 80 < 180 < light
    assert sheet.heading.fontMetrics().height() > 1.5 * height_px


def test_kept_sound_is_deleted_only_when_asked_twice(qtbot) -> None:
    deleted: list[int] = []
    sheet = shown(qtbot, Settings(), delete_sound=lambda: deleted.append(1) or 12)
    sheet.delete.click()
    assert deleted == []
    assert "press again" in sheet.delete.accessibleName()
    sheet.delete.click()
    assert deleted == [1]
    assert sheet.deleted.text() == "12 sounds deleted; the readings stay."


@pytest.mark.parametrize(
    ("fault", "sentence"),
    [
        (WorldError("The folder is read-only."), "The folder is read-only."),
        (PermissionError(13, "Permission denied"), "Not all kept sound could be deleted: permission denied."),
    ],
)
def test_sound_that_cannot_be_deleted_is_told(qtbot, fault, sentence) -> None:
    def refuse() -> int:
        raise fault

    sheet = shown(qtbot, Settings(), delete_sound=refuse)
    sheet.delete.click()
    sheet.delete.click()
    assert sheet.trouble.text() == sentence


def test_a_microphone_that_is_away_stays_chosen(qtbot) -> None:
    settings = Settings(device_name="Lent to the mate")
    sheet = shown(qtbot, settings)
    assert sheet.microphone.currentText() == "Lent to the mate"
    assert kept(qtbot, sheet) == settings


def test_the_microphone_chosen_on_the_sheet_can_be_tried_and_is_let_go(qtbot) -> None:
    ear = FakeEar()
    sheet = shown(qtbot, Settings(), make_ear=lambda: ear)
    sheet.microphone.setCurrentIndex(sheet.microphone.findData(BENCH.name))
    sheet.trial.click()
    (trial,) = sheet.findChildren(TrialSheet)
    assert ear.opened == [BENCH.name]
    ear.level_heard.emit("too_quiet")
    assert trial.page.level.text().startswith("too quiet")
    trial.ready.click()
    assert not ear.is_open


def test_a_temperature_that_cannot_be_keeps_the_sheet_open(qtbot) -> None:
    sheet = shown(qtbot, Settings())
    QTest.keyClicks(sheet.air.reading, "68")
    assert "Write 68 F" in sheet.air.refusal.text()
    with qtbot.assertNotEmitted(sheet.settings_chosen):
        sheet.keep.click()
    assert "Write 68 F" in sheet.trouble.text()


def test_the_air_may_be_told_by_itself(qtbot) -> None:
    sheet = AirSheet(Settings(temperature_c=18.0))
    qtbot.addWidget(sheet)
    assert sheet.air.reading.text() == "18 °C"
    sheet.air.reading.setText("21.5")
    with qtbot.waitSignal(sheet.air_told) as told:
        sheet.take()
    assert told.args == [21.5]


# ---- high contrast ---------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_high_contrast_is_seen_at_once_and_every_text_stands_out_sevenfold(qtbot, theme) -> None:
    # published: Web Content Accessibility Guidelines 2.1, 1.4.6 asks 7 of text
    sheet = shown(qtbot, Settings(theme=theme, contrast="usual"))
    sheet.contrast.buttons["high"].click()
    ground = sheet.grab().toImage().pixelColor(4, 4).name()
    assert ground == ("#ffffff" if theme == "light" else "#000000")
    assert faint(sheet, least=7.0) == []


# ---- the pedal -------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("key", "modifier", "kept_as"), [
    (Qt.Key.Key_PageDown, Qt.KeyboardModifier.NoModifier, "PgDown"),
    (Qt.Key.Key_B, Qt.KeyboardModifier.NoModifier, "B"),
    (Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier, "Return"),
    (Qt.Key.Key_Space, Qt.KeyboardModifier.NoModifier, "Space"),
    (Qt.Key.Key_F5, Qt.KeyboardModifier.ShiftModifier, "Shift+F5"),
    (Qt.Key.Key_MediaPlay, Qt.KeyboardModifier.NoModifier, "Media Play"),
    (Qt.Key.Key_5, Qt.KeyboardModifier.KeypadModifier, "5"),
])  # fmt: skip
def test_whatever_the_pedal_sends_is_learnt_by_pressing_it_once(qtbot, key, modifier, kept_as) -> None:
    sheet = shown(qtbot, Settings())
    sheet.pedal.learn.click()
    QTest.keyClick(sheet.pedal.learn, key, modifier)
    assert not sheet.pedal.learn.asking
    assert kept(qtbot, sheet).pedal_key == kept_as


@pytest.mark.parametrize("key", [Qt.Key.Key_Tab, Qt.Key.Key_Backspace])
def test_a_key_that_is_needed_elsewhere_is_refused_in_one_sentence(qtbot, key) -> None:
    sheet = shown(qtbot, Settings())
    sheet.pedal.learn.click()
    QTest.keyClick(sheet.pedal.learn, key)
    assert "set the pedal to send another key" in sheet.pedal.told.text()
    assert sheet.pedal.pedal_key == ""


def test_a_key_held_down_or_a_bare_modifier_is_not_taken_for_the_pedal(qtbot) -> None:
    sheet = shown(qtbot, Settings())
    sheet.pedal.learn.click()
    QTest.keyPress(sheet.pedal.learn, Qt.Key.Key_Control)
    held = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_B, Qt.KeyboardModifier.NoModifier, "b", True)
    QApplication.sendEvent(sheet.pedal.learn, held)
    assert sheet.pedal.learn.asking
    assert sheet.pedal.pedal_key == ""


def test_escape_leaves_the_pedal_as_it_was_and_the_sheet_open(qtbot) -> None:
    sheet = shown(qtbot, Settings(pedal_key="F13"))
    sheet.pedal.learn.click()
    QTest.keyClick(sheet.pedal.learn, Qt.Key.Key_Escape)
    assert sheet.isVisible()
    assert kept(qtbot, sheet).pedal_key == "F13"


def test_a_pedal_can_be_forgotten(qtbot) -> None:
    sheet = shown(qtbot, Settings(pedal_key="F13"))
    assert "F13" in sheet.pedal.told.text()
    sheet.pedal.forget.click()
    assert kept(qtbot, sheet).pedal_key == ""


def test_the_size_of_the_page_is_chosen_for_all_papers(qtbot) -> None:
    sheet = Preferences(Settings(page_size="Letter"), FakeEar().devices)
    qtbot.addWidget(sheet)
    assert sheet.chosen().page_size == "Letter"
    sheet.page_size.buttons["A4"].click()
    assert sheet.chosen().page_size == "A4"
