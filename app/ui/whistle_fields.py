"""First page: what the whistle is called, what it sounds, and the sizes that decide whether it can."""
from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLayout, QLineEdit, QVBoxLayout, QWidget

from app.description import Description, FieldRefusedError
from app.ui.air_box import AirBox
from app.ui.chord_box import ChordBox
from app.ui.more_fields import MoreFields
from app.ui.sheet import asked, said
from app.ui.sizes_table import SizesTable

HOW_TO_TYPE = {
    "mm": "Lengths in millimetres: 12.7. A fraction is inches: 1/2.",
    "both": "Lengths in millimetres: 12.7. A fraction is inches: 1/2.",
    "inch": "Lengths in inches: 1/2, 5 1/2 or 0.5. Millimetres with their unit: 12.7 mm.",
}


class WhistleFields(QWidget):
    """One column of fields.

    Signals: `touched()` whenever the maker changed something that the check looks at.
    """

    touched = Signal()

    def __init__(self, start: Description, units: str) -> None:
        super().__init__()
        self.name = QLineEdit(start.name)
        self.number, self.of = (QLineEdit("" if one is None else str(one)) for one in (start.number, start.of))
        self.chord = ChordBox(start)
        self.sizes = SizesTable(start.n_chambers, start.sizes)
        self.more = MoreFields(start, units)
        self.air = AirBox(start.temperature_c, fahrenheit=units == "inch")
        self._lay_out(units)
        self._connect()

    def described(self, description: Description) -> Description:
        """The description with what stands here; WorldError when a number or the air cannot be read."""
        chord = self.chord
        return self.more.described(replace(
            description, name=self.name.text(), number=_count(self.number, "number"), of=_count(self.of, "of"),
            n_chambers=chord.chambers.value(), chord=chord.chord(), lowest_note=chord.lowest.text().strip(),
            own_notes=chord.own.text(), just=chord.is_just(), a4_hz=chord.a4_hz(), sizes=self.sizes.texts(),
            temperature_c=self.air.temperature_c(),
        ))  # fmt: skip

    def field(self, name: str) -> QLineEdit | None:
        """The field that a refusal names."""
        own = {"name": self.name, "number": self.number, "of": self.of}
        return own.get(name) or self.chord.field(name) or self.sizes.field(name) or self.more.field(name)

    def _lay_out(self, units: str) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        first = QHBoxLayout()
        first.addLayout(asked("&Name", self.name, "Name of the whistle"), 4)
        first.addLayout(asked("N&umber", self.number, "Number of this whistle"), 1)
        first.addLayout(asked("of", self.of, "Of how many whistles"), 1)
        column.addLayout(first)
        column.addWidget(self.chord)
        column.addWidget(said(HOW_TO_TYPE[units], "muted"))
        column.addWidget(self.sizes)
        column.addWidget(self.air)
        column.addWidget(self.more)

    def _connect(self) -> None:
        for field in (self.name, self.number, self.of):
            field.textEdited.connect(self.touched)
        for box in (self.chord, self.sizes, self.more):
            box.touched.connect(self.touched)
        self.air.air_changed.connect(self.touched)
        self.chord.chambers_changed.connect(self.sizes.set_chambers)
        self.chord.chambers_changed.connect(self.more.set_chambers)


def row_of(*parts: QLayout) -> QHBoxLayout:
    """Side by side, each as wide as the next."""
    row = QHBoxLayout()
    for part in parts:
        row.addLayout(part, 1)
    return row


def _count(field: QLineEdit, name: str) -> int | None:
    text = field.text().strip()
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:9]) <= 9999):
        raise FieldRefusedError(name, f"“{text[:12]}” is no number of a whistle: write one from 1 to 9999, or nothing.")
    return int(text)
