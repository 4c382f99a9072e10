"""One question in several places: how warm is the shop?"""
from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QLineEdit, QVBoxLayout, QWidget

from app.errors import WorldError
from app.room_air import parse_temperature_c, temperature_text
from app.ui.sheet import asked, said

WITHOUT = "No thermometer: only the distances between the notes are then to be trusted, not each note by itself."


class AirBox(QWidget):
    """A temperature field and "no thermometer here".

    Signals: `air_changed()` when either was touched.
    """

    air_changed = Signal()

    def __init__(self, temperature_c: float | None, *, fahrenheit: bool = False) -> None:
        super().__init__()
        self.reading = QLineEdit(temperature_text(temperature_c, fahrenheit))
        self.reading.setPlaceholderText("19.5 °C or 67 °F")
        self.without = QCheckBox("I ha&ve no thermometer")
        self.without.setAccessibleName("I have no thermometer")
        self.without.setChecked(temperature_c is None)
        self.refusal = said("", "strong")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(asked("Air in the &shop", self.reading, "Temperature of the air in the shop",
                               "Read it where you blow, not by the stove. One degree is 3 cents."))
        column.addWidget(self.without)
        column.addWidget(said(WITHOUT, "muted"))
        column.addWidget(self.refusal)
        self.reading.textEdited.connect(self._reading_touched)
        self.without.toggled.connect(self._without_touched)
        self._show_refusal("")

    def temperature_c(self) -> float | None:
        """What the thermometer says, None without one; WorldError when the text is no temperature."""
        if self.without.isChecked():
            return None
        temperature_c = parse_temperature_c(self.reading.text())
        if temperature_c is None:
            raise WorldError("No temperature was typed: read the thermometer, or say that there is none.")
        return temperature_c

    def _reading_touched(self) -> None:
        self.without.setChecked(False)
        self._tell()

    def _without_touched(self, without: bool) -> None:
        if without:
            self.reading.clear()
        self._tell()

    def _tell(self) -> None:
        try:
            parse_temperature_c(self.reading.text())
            self._show_refusal("")
        except WorldError as refusal:
            self._show_refusal(str(refusal))
        self.air_changed.emit()

    def _show_refusal(self, sentence: str) -> None:
        self.refusal.setText(sentence)
        self.refusal.setVisible(bool(sentence))
