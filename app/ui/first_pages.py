"""The pages of the first start. Each asks one thing, and answers with the settings changed by what was told."""
from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QPushButton, QVBoxLayout, QWidget

from app.cautions import BLOWING
from app.errors import WorldError
from app.settings import Settings
from app.ui.air_box import AirBox
from app.ui.choices import Choices
from app.ui.ear import Ear
from app.ui.sheet import CautionNote, asked, said
from app.wording import LEVEL_WORDS, hearing_text

SYSTEM_CHOICE = "the system's own choice"
Judge = Callable[[Any, int], tuple[str, str]]  # of a sound's samples and their rate: what was heard, and the remedy
UNITS = (
    ("mm", "&Millimetres", "57.6 mm"),
    ("inch", "&Inches in fractions", "2 17/64 in"),
    ("both", "B&oth, millimetres first", "57.6 mm and 2 17/64 in"),
)


class Page(QWidget):
    """One question of the first start."""

    heading = ""

    def __init__(self) -> None:
        super().__init__()
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(14)

    def opened(self, settings: Settings) -> None:
        """The page was turned to."""

    def first_field(self) -> QWidget:
        """Where the keyboard begins."""
        return self

    def taken(self, settings: Settings) -> Settings:
        """The settings with this page's answer; WorldError when the answer cannot be understood."""
        return settings


class MicrophonePage(Page):
    """Which microphone, and whether a blow reaches it well."""

    heading = "Which microphone listens?"

    def __init__(self, settings: Settings, ear: Ear) -> None:
        super().__init__()
        self._ear = ear
        self.list = QListWidget()
        self.again = QPushButton("&Look again")
        self.again.setAccessibleName("Look again for microphones")
        self.again.setAutoDefault(False)
        self.hearing = said("", "muted")
        self.level = said("Blow any bore, from where you will stand.", "large")
        self.column.addWidget(self.level)
        self.column.addWidget(self.hearing)
        self.column.addLayout(asked("&Microphone", self.list, "Microphone",
                                    "An arm's length from the window, a little to one side, out of your breath."))
        self.column.addWidget(self.again)
        self.again.clicked.connect(lambda: self._look(self.device_name()))
        self.list.currentRowChanged.connect(self._choose)
        ear.level_heard.connect(self._show_level)
        ear.noticed.connect(lambda notice: self.hearing.setText(hearing_text(notice)))
        ear.failed.connect(self.hearing.setText)

    def opened(self, settings: Settings) -> None:
        self._look(settings.device_name)

    def first_field(self) -> QWidget:
        return self.list

    def device_name(self) -> str | None:
        item = self.list.currentItem()
        return item.data(Qt.ItemDataRole.UserRole) if item else None

    def taken(self, settings: Settings) -> Settings:
        return replace(settings, device_name=self.device_name())

    def _look(self, chosen: str | None) -> None:
        """Ask for the microphones anew, with `chosen` marked when it is there."""
        try:
            devices = self._ear.devices()
        except WorldError as error:
            devices = ()
            self.hearing.setText(str(error))
        self.list.blockSignals(True)
        self.list.clear()
        self._add(_system_row(devices), None)
        for device in devices:
            self._add(device.name, device.name)
        names = [None, *(device.name for device in devices)]
        self.list.setCurrentRow(names.index(chosen) if chosen in names else 0)
        self.list.blockSignals(False)
        self._choose()

    def _add(self, text: str, device_name: str | None) -> None:
        item = QListWidgetItem(text)
        item.setData(Qt.ItemDataRole.UserRole, device_name)
        self.list.addItem(item)

    def _choose(self) -> None:
        self.level.setText("Blow any bore, from where you will stand.")
        self._ear.open(self.device_name())

    def _show_level(self, code: str) -> None:
        self.level.setText(LEVEL_WORDS.get(code, code))


class UnitsPage(Page):
    """How lengths are written."""

    heading = "How do you measure?"

    def __init__(self, settings: Settings) -> None:
        super().__init__()
        answers = [(units, f"{words}: {example}") for units, words, example in UNITS]
        self.choices = Choices("Lengths", answers, settings.units)
        self.column.addWidget(self.choices)
        self.column.addWidget(said("You may type either anywhere: a fraction is always read as inches.", "muted"))

    def first_field(self) -> QWidget:
        return self.choices.checked_button()

    def taken(self, settings: Settings) -> Settings:
        units: Any = self.choices.value()
        return replace(settings, units=units)


class AirPage(Page):
    """How warm the shop is, or that nobody knows."""

    heading = "How warm is the shop?"

    def __init__(self, settings: Settings) -> None:
        super().__init__()
        self.air = AirBox(settings.temperature_c)
        self.column.addWidget(self.air)

    def first_field(self) -> QWidget:
        return self.air.reading

    def taken(self, settings: Settings) -> Settings:
        return replace(settings, temperature_c=self.air.temperature_c())


class TrialPage(Page):
    """One blow, and what was heard of it."""

    heading = "One trial blow"

    def __init__(self, ear: Ear, judge: Judge) -> None:
        super().__init__()
        self._ear = ear
        self._judge = judge
        self.ask = said("Blow one bore steadily for about four seconds, as often as you like. Nothing is kept.")
        self.level = said("", "muted")
        self.found = said("Nothing heard yet.", "large")
        self.remedy = said("")
        for widget in (self.ask, self.level, self.found, self.remedy, CautionNote(BLOWING)):
            self.column.addWidget(widget)
        ear.sound_heard.connect(self.hear)
        ear.level_heard.connect(lambda code: self.level.setText(LEVEL_WORDS.get(code, code)))
        ear.failed.connect(self.level.setText)

    def opened(self, settings: Settings) -> None:
        self.level.setText("Nothing loud has reached the microphone yet.")
        self._ear.open(settings.device_name)

    def hear(self, samples: object, sample_rate_hz: int) -> None:
        """Judge the sound of one blow and say what was heard of it."""
        if self.isHidden():
            return
        heard, remedy = self._judge(samples, sample_rate_hz)
        self.found.setText(heard)
        self.remedy.setText(remedy)


def _system_row(devices: tuple[Any, ...]) -> str:
    default = next((device.name for device in devices if device.is_default), "")
    return f"{SYSTEM_CHOICE} (now {default})" if default else SYSTEM_CHOICE
