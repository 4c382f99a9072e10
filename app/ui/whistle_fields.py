"""The fields of a whistle, filled from a description and read back as one."""
from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLayout, QLineEdit, QVBoxLayout, QWidget

from app.description import BODY_SIZES, Description, FieldRefusedError
from app.ui.air_box import AirBox
from app.ui.chord_box import ChordBox
from app.ui.sheet import CautionNote, asked, said
from app.ui.sizes_table import SizesTable
from app.woods import wood_caution

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
        self._start = start
        self.name, self.wood, self.caps = QLineEdit(start.name), QLineEdit(start.wood), QLineEdit(start.caps)
        self.number, self.of = (QLineEdit("" if one is None else str(one)) for one in (start.number, start.of))
        self.mouthpiece = QLineEdit(start.mouthpiece)
        self.caution = CautionNote(wood_caution(start.wood))
        self.chord = ChordBox(start.n_chambers, start.chord, start.lowest_note, start.own_notes)
        self.sizes = SizesTable(start.n_chambers, start.sizes)
        self.lengths = {key: QLineEdit(start.body.get(key, "")) for key in BODY_SIZES}
        self.air = AirBox(start.temperature_c, fahrenheit=units == "inch")
        self._lay_out(units)
        self._connect()

    def description(self) -> Description:
        """What stands in the fields; WorldError when a number or the air cannot be read."""
        return replace(
            self._start, name=self.name.text(), number=_count(self.number, "number"), of=_count(self.of, "of"),
            wood=self.wood.text(), caps=self.caps.text(), mouthpiece=self.mouthpiece.text(),
            n_chambers=self.chord.chambers.value(), chord=self.chord.chord(), lowest_note=self.chord.lowest.text(),
            own_notes=self.chord.own.text(), sizes=self.sizes.texts(),
            body={key: field.text() for key, field in self.lengths.items()}, temperature_c=self.air.temperature_c(),
        )  # fmt: skip

    def field(self, name: str) -> QLineEdit | None:
        """The field that a refusal names."""
        own = {"name": self.name, "number": self.number, "of": self.of} | self.lengths
        return own.get(name) or self.chord.field(name) or self.sizes.field(name)

    def _lay_out(self, units: str) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(_row(asked("&Name", self.name, "Name of the whistle")))
        column.addLayout(_row(
            asked("N&umber", self.number, "Number of this whistle"),
            asked("of", self.of, "Of how many whistles"),
        ))  # fmt: skip
        column.addLayout(_row(
            asked("Woo&d of the body", self.wood, "Wood of the body"), asked("Ca&ps", self.caps, "Wood of the caps"),
            asked("&Mouthpiece", self.mouthpiece, "Wood of the mouthpiece"),
        ))  # fmt: skip
        column.addWidget(self.caution)
        column.addWidget(self.chord)
        column.addWidget(said(HOW_TO_TYPE[units], "muted"))
        column.addWidget(self.sizes)
        column.addLayout(_row(
            asked("F&ipple length", self.lengths["fipple_length_mm"], "Fipple length"),
            asked("Wall outside a &bore", self.lengths["wall_mm"], "Wall outside a bore"),
        ))  # fmt: skip
        column.addWidget(self.air)

    def _connect(self) -> None:
        for field in (self.name, self.number, self.of, *self.lengths.values()):
            field.textEdited.connect(self.touched)
        for box in (self.chord, self.sizes):
            box.touched.connect(self.touched)
        self.air.air_changed.connect(self.touched)
        self.chord.chambers_changed.connect(self.sizes.set_chambers)
        self.wood.textEdited.connect(lambda wood: self.caution.show_caution(wood_caution(wood)))


def _row(*parts: QLayout) -> QHBoxLayout:
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
