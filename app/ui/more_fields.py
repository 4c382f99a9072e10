"""What few need, out of sight until it is asked for or the document says it: lip slope, humidity, flats."""
from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from app.description import Description
from app.said_numbers import number_said, number_text
from app.ui.sheet import asked
from app.whistle import LETTERS
from app.wood_said import FLAT, flats_said, with_flats

USUAL = Description()


class MoreFields(QWidget):
    """A tick that opens them, and one row of fields; a flat for each chamber only where the document has one.

    Signals: `touched()`.
    """

    touched = Signal()

    def __init__(self, start: Description, units: str) -> None:
        super().__init__()
        self._units = units
        self.lip_slope = QLineEdit(number_text(start.lip_slope_deg))
        self.humidity = QLineEdit(number_text(100.0 * start.relative_humidity))
        flats = flats_said(start, units)
        self.flats = {letter: QLineEdit(flats.get(letter, "")) for letter in LETTERS} if flats else {}
        self.wanted = QCheckBox("More that few need: slope of the lip, humidity of the air")
        self.wanted.setAccessibleName("More that few need: slope of the lip, humidity of the air")
        self.wanted.setChecked(bool(flats) or (start.lip_slope_deg, start.relative_humidity) != (
            USUAL.lip_slope_deg, USUAL.relative_humidity))
        self._lay_out()
        self.set_chambers(start.n_chambers)
        for field in (self.lip_slope, self.humidity, *self.flats.values()):
            field.textEdited.connect(self.touched)
        self.wanted.toggled.connect(self._fields.setVisible)

    def described(self, description: Description) -> Description:
        """The description with what stands here; FieldRefusedError when a figure cannot be read."""
        said_here = replace(
            description, lip_slope_deg=number_said("lip_slope_deg", self.lip_slope.text()),
            relative_humidity=number_said("relative_humidity", self.humidity.text()) / 100.0,
        )
        texts = {letter: field.text() for letter, field in self.flats.items()}
        return with_flats(said_here, texts, self._units) if texts else said_here

    def field(self, name: str) -> QLineEdit | None:
        """The field that a refusal names; it is opened to be seen."""
        key, _, letter = name.partition(" ")
        found = {"lip_slope_deg": self.lip_slope, "relative_humidity": self.humidity}.get(key)
        found = self.flats.get(letter) if key == FLAT and letter else found
        if found is not None:
            self.wanted.setChecked(True)
        return found

    def set_chambers(self, n_chambers: int) -> None:
        for letter, cell in zip(LETTERS, self._flat_cells, strict=False):
            cell.setVisible(letter in LETTERS[:n_chambers])

    def _lay_out(self) -> None:
        self._fields = QWidget()
        column = QVBoxLayout(self._fields)
        column.setContentsMargins(0, 0, 0, 0)
        row, flats = QHBoxLayout(), QHBoxLayout()
        row.addLayout(asked("Slope of the lip, degrees from the bore", self.lip_slope, "Slope of the lip in degrees"))
        row.addLayout(asked("Humidity of the air, %", self.humidity, "Humidity of the air in percent"))
        self._flat_cells = []
        for letter, field in self.flats.items():
            cell = QWidget()
            cell.setLayout(asked(f"Flat off {letter}", field, f"Flat off the fipple of {letter}"))
            cell.layout().setContentsMargins(0, 0, 0, 0)
            self._flat_cells.append(cell)
            flats.addWidget(cell)
        column.addLayout(row)
        column.addLayout(flats)
        of_all = QVBoxLayout(self)
        of_all.setContentsMargins(0, 0, 0, 0)
        of_all.addWidget(self.wanted)
        of_all.addWidget(self._fields)
        self._fields.setVisible(self.wanted.isChecked())
