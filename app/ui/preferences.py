"""Preferences: everything the maker may choose for good, on one sheet."""
from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QDoubleSpinBox, QLineEdit, QPushButton, QWidget

from acoustics.notes import note_hz
from app.closeness import BOLDNESS_WORDS, tolerance_mm
from app.errors import WorldError
from app.settings import LIMITS, Settings
from app.system_voice import find_voice, no_voice_text
from app.ui.air_box import AirBox
from app.ui.choices import Choices
from app.ui.ear import Ear
from app.ui.first_pages import SYSTEM_CHOICE, UNITS
from app.ui.pedal import PedalBox
from app.ui.sheet import Sheet, asked, said
from app.ui.sheet_style import paper_for
from app.ui.trial_sheet import TrialSheet
from app.whistle import Whistle

THEMES = (("light", "Li&ght"), ("dark", "&Dark"), ("system", "As the s&ystem has it"))
CONTRASTS = (("usual", "Usual"), ("high", "High"), ("system", "As the system has it"))
MOTIONS = (("usual", "Usual"), ("reduced", "Reduced"), ("system", "As the system has it"))
PAGES = (("A4", "A4"), ("Letter", "Letter"))
TEXT_SIZES = ((1.0, "100 %"), (1.25, "125 %"), (1.5, "150 %"), (1.75, "175 %"), (2.0, "200 %"))
NO_WHISTLE = (("G4", note_hz("G4")), ("D6", note_hz("D6")))  # about the range of a hand whistle


class Preferences(Sheet):
    """One column of choices; theme and size of text are shown at once on the sheet itself.

    Signals: `settings_chosen(Settings)` when the sheet was accepted.
    """

    settings_chosen = Signal(object)

    def __init__(
        self, settings: Settings, devices: Callable[[], tuple[Any, ...]] | None = None, whistle: Whistle | None = None,
        delete_sound: Callable[[], int] | None = None, parent: QWidget | None = None,
        make_ear: Callable[[], Ear] = Ear, has_voice: Callable[[], bool] = lambda: find_voice() is not None,
    ) -> None:
        super().__init__("Preferences", paper_for(settings), parent)
        self.settings = settings
        self._notes = _lowest_and_highest(whistle)
        self._delete_sound = delete_sound
        self._make_ear = make_ear
        self._has_voice = has_voice
        self._ask_look()
        self._ask_hands()
        self._ask_hearing(devices or _microphones)
        self._ask_closeness()
        self._ask_keeping()
        self.body.addStretch(1)
        self.buttons.addStretch(1)
        self.leave = self.add_button("C&ancel", "Leave the preferences as they were")
        self.keep = self.add_button("&Keep these", "Keep these preferences", default=True)
        self.leave.clicked.connect(self.reject)
        self.keep.clicked.connect(self.take)
        self.units.checked_button().setFocus()

    def chosen(self) -> Settings:
        """The settings as the sheet shows them; WorldError when the air cannot be read."""
        changes: dict[str, Any] = {
            "units": self.units.value(), "theme": self.theme.value(), "text_scale": self.text_size.currentData(),
            "page_size": self.page_size.value(), "contrast": self.contrast.value(), "motion": self.motion.value(),
            "pedal_key": self.pedal.pedal_key,
            "device_name": self.microphone.currentData(), "blower": self.blower.text().strip(),
            "temperature_c": self.air.temperature_c(), "tolerance_cents": self.tolerance.value(),
            "boldness": self.boldness.value(), "keep_sound": self.keep_sound.isChecked(),
            "tones": self.tones.isChecked(), "speech": self.speech.isChecked(),
            "memory": self.memory.isChecked(),
        }  # fmt: skip
        return replace(self.settings, **changes)

    def take(self) -> None:
        try:
            settings = self.chosen()
        except WorldError as refusal:
            self.say_trouble(str(refusal))
            self.air.reading.setFocus()
            return
        self.settings_chosen.emit(settings)
        self.accept()

    def try_microphone(self) -> None:
        """One trial blow through the microphone that is chosen on the sheet now."""
        sheet = TrialSheet(replace(self.settings, device_name=self.microphone.currentData()), self._make_ear(), self)
        sheet.open()

    # ---- the questions -------------------------------------------------------------------------------------------
    def _ask_look(self) -> None:
        settings = self.settings
        answers = [(units, f"{words}: {example}") for units, words, example in UNITS]
        self.units = Choices("Lengths", answers, settings.units)
        self.theme = Choices("Light or dark", THEMES, settings.theme, upright=False)
        self.contrast = Choices("Contrast", CONTRASTS, settings.contrast, upright=False)
        self.motion = Choices("Motion", MOTIONS, settings.motion, upright=False)
        self.text_size = QComboBox()
        for text_scale, words in TEXT_SIZES:
            self.text_size.addItem(words, text_scale)
        self._show_text_scale(settings.text_scale)
        self.page_size = Choices("Size of the page", PAGES, settings.page_size, upright=False)
        self._group("Lengths", self.units)
        self._group("Papers are printed on", self.page_size)
        self._group("Light or dark", self.theme)
        self._group("Contrast", self.contrast)
        self._group("Motion: reduced, nothing moves but the breath line, and that only on the key B", self.motion)
        self.body.addLayout(asked("Size of te&xt", self.text_size, "Size of text"))
        self.theme.chosen.connect(self._try_look)
        self.contrast.chosen.connect(self._try_look)
        self.text_size.currentIndexChanged.connect(self._try_look)

    def _ask_hands(self) -> None:
        self.pedal = PedalBox(self.settings.pedal_key)
        self._group("Foot pedal", self.pedal)

    def _ask_hearing(self, devices: Callable[[], tuple[Any, ...]]) -> None:
        settings = self.settings
        self.microphone = QComboBox()
        self.microphone.addItem(SYSTEM_CHOICE, None)
        try:
            names = [device.name for device in devices()]
        except WorldError as trouble:
            names = []
            self.say_trouble(str(trouble))
        if settings.device_name and settings.device_name not in names:
            names.append(settings.device_name)
        for name in names:
            self.microphone.addItem(name, name)
        self.microphone.setCurrentIndex(names.index(settings.device_name) + 1 if settings.device_name else 0)
        self.microphone.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.blower = QLineEdit(settings.blower)
        self.air = AirBox(settings.temperature_c, fahrenheit=settings.units == "inch")
        self.trial = QPushButton("T&ry it: one trial blow")
        self.trial.setAccessibleName("Try the microphone with one trial blow")
        self.trial.setAutoDefault(False)
        self.trial.clicked.connect(self.try_microphone)
        self.body.addLayout(asked("Micropho&ne", self.microphone, "Microphone"))
        self.body.addWidget(self.trial)
        self.body.addLayout(asked("&Who blows", self.blower, "Who blows",
                                  "A word for the one who blows; two people's blows are never mixed."))
        self.body.addWidget(self.air)

    def _ask_closeness(self) -> None:
        self.tolerance = QDoubleSpinBox()
        low_cents, high_cents = LIMITS["tolerance_cents"]
        self.tolerance.setRange(low_cents, high_cents)
        self.tolerance.setDecimals(0)
        self.tolerance.setSuffix(" cents")
        self.tolerance.setValue(self.settings.tolerance_cents)
        self.in_wood = said("", "muted")
        answers = [(str(boldness), words) for boldness, words in BOLDNESS_WORDS.items()]
        self.boldness = Choices("Cuts", answers, self.settings.boldness)
        self.body.addLayout(asked("On its note wit&hin", self.tolerance, "On its note within, in cents"))
        self.body.addWidget(self.in_wood)
        self._group("Cuts", self.boldness)
        self.tolerance.valueChanged.connect(self._show_in_wood)
        self._show_in_wood()

    def _ask_keeping(self) -> None:
        settings = self.settings
        self.keep_sound = _tick("Keep the so&und of each blow, on this computer only", settings.keep_sound)
        self.tones = _tick("A short &tone when a blow was read, or “done” understood", settings.tones)
        self.speech = _tick("S&peak, where the system has a voice", settings.speech)
        self.memory = _tick("&Begin a whistle with what earlier ones taught", settings.memory)
        self.delete = QPushButton("D&elete all kept sound")
        self.delete.setAutoDefault(False)
        self.delete.setEnabled(self._delete_sound is not None)
        self.deleted = said("The readings stay when the sound is gone.", "muted")
        self.body.addWidget(self.tones)
        self.body.addWidget(self.speech)
        if not self._has_voice():
            self.speech.setEnabled(False)
            self.body.addWidget(said(no_voice_text(), "muted"))
        for widget in (self.memory, self.keep_sound, self.delete, self.deleted):
            self.body.addWidget(widget)
        self._ask_to_delete(sure=False)
        self.delete.clicked.connect(self._delete)

    # ---- answers to touches --------------------------------------------------------------------------------------
    def _try_look(self) -> None:
        look: dict[str, Any] = {
            "theme": self.theme.value(), "contrast": self.contrast.value(), "text_scale": self.text_size.currentData(),
        }  # fmt: skip
        self.put_on(paper_for(replace(self.settings, **look)))

    def _show_in_wood(self) -> None:
        cents = self.tolerance.value()
        worth = " and ".join(f"{tolerance_mm(cents, note_hz):.1f} mm at {name}" for name, note_hz in self._notes)
        self.in_wood.setText(f"{cents:.0f} cents are {worth}. Under 3 cents no breath is steady enough to tell.")

    def _delete(self) -> None:
        """Asks once more on the button itself, then deletes."""
        if not self._sure:
            self._ask_to_delete(sure=True)
            return
        self._ask_to_delete(sure=False)
        try:
            n_deleted = self._delete_sound() if self._delete_sound else 0
            self.deleted.setText(f"{n_deleted} sound{'s' if n_deleted != 1 else ''} deleted; the readings stay.")
        except WorldError as trouble:
            self.say_trouble(str(trouble))
        except OSError as trouble:
            self.say_trouble(f"Not all kept sound could be deleted: {(trouble.strerror or str(trouble)).lower()}.")

    def _ask_to_delete(self, *, sure: bool) -> None:
        self._sure = sure
        words = "D&elete for good: press again" if sure else "D&elete all kept sound"
        self.delete.setText(words)
        self.delete.setAccessibleName(words.replace("&", ""))

    def _show_text_scale(self, text_scale: float) -> None:
        index = self.text_size.findData(text_scale)
        if index < 0:
            self.text_size.addItem(f"{100 * text_scale:.0f} %", text_scale)
            index = self.text_size.count() - 1
        self.text_size.setCurrentIndex(index)

    def _group(self, question: str, choices: Choices) -> None:
        self.body.addWidget(said(question))
        self.body.addWidget(choices)


def _tick(words: str, on: bool) -> QCheckBox:
    tick = QCheckBox(words)
    tick.setAccessibleName(words.replace("&", ""))
    tick.setChecked(on)
    return tick


def _lowest_and_highest(whistle: Whistle | None) -> tuple[tuple[str, float], ...]:
    if whistle is None:
        return NO_WHISTLE
    return tuple((f"{c.letter} ({c.note})" if c.note else c.letter, c.target_hz)
                 for c in (whistle.chambers[0], whistle.chambers[-1]))


def _microphones() -> tuple[Any, ...]:
    from app.microphone import list_devices

    return list_devices()
