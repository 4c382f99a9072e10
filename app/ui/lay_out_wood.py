"""Second page: woods, the turned body, what lies on the bench as measured, and where the drill came out."""
from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLineEdit, QVBoxLayout, QWidget

from app.cautions import DRILLING
from app.description import BODY_SIZES, Description
from app.ui.lay_out_drift import DriftTable
from app.ui.sheet import CautionNote, asked, said
from app.ui.whistle_fields import row_of
from app.wood_said import BODY_NAMES, DOWEL_WOOD, STOCK_NAMES, WoodSaid, said_of, with_wood
from app.woods import wood_caution

LEAVE_EMPTY = "Leave empty what is not decided or not measured: the plan then says what would do."
IN_A_ROW = 4
# heading; then the key of the document, and how it is asked
GROUPS: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = (
    ("The body", (
        ("wall_mm", "&Wall wanted"), ("least_wall_mm", "Least wall"), ("diameter_mm", "Body, &across"),
        ("length_mm", "Body, length"), ("circle_radius_mm", "Middle of body to a bore’s"),
        ("grip_diameter_mm", "Grip, across"), ("fipple_length_mm", "F&ipple, length"),
        ("windway_flat_mm", "Flat off a fipple"),
    )),
    ("What lies on the bench, by calipers", (
        ("blank_width_mm", "&Blank, one side"), ("blank_height_mm", "Blank, other side"),
        ("blank_length_mm", "Blank, length"), ("chucking_mm", "Lost in the chuck"),
        ("bit_diameter_mm", "Bit, across"), ("bit_reach_mm", "Longest bit, &reach"),
        ("dowel_diameter_mm", "Dow&el, one way"), ("dowel_across_mm", "Dowel, across that"),
        ("kerf_mm", "Saw cut"), (DOWEL_WOOD, "Wood of the dowel"),
    )),
    ("Ends", (
        ("tenon_diameter_mm", "&Tenons, across"), ("tenon_length_mm", "Tenons, length"),
        ("mortise_depth_mm", "Mortises, depth"), ("cap_length_mm", "Cap, length"),
        ("mouthpiece_length_mm", "Mouthpiece, length"), ("mouthpiece_chamber_diameter_mm", "Its hollow, across"),
        ("mouthpiece_chamber_depth_mm", "Its hollow, depth"), ("window_from_end_mm", "Its end to the window"),
    )),
)
NAMES = BODY_SIZES | BODY_NAMES | STOCK_NAMES | {DOWEL_WOOD: "wood of the dowel"}


class WoodFields(QWidget):
    """One column of fields.

    Signals: `touched()` whenever the maker changed something.
    """

    touched = Signal()

    def __init__(self, start: Description, units: str) -> None:
        super().__init__()
        self._units = units
        self.wood, self.caps, self.mouthpiece = (QLineEdit(one) for one in (start.wood, start.caps, start.mouthpiece))
        given = said_of(start, units)
        texts = {**start.body, **given.lengths, DOWEL_WOOD: given.dowel_wood}
        self.lengths = {key: QLineEdit(texts.get(key, "")) for key in NAMES}
        self.drift = DriftTable(start.n_chambers, given.drifts)
        self.caution, self.drilling = CautionNote(wood_caution(start.wood)), CautionNote(DRILLING)
        self._lay_out()
        for field in self.lengths.values():
            field.textEdited.connect(self.touched)
        self.drift.touched.connect(self.touched)
        self.wood.textEdited.connect(lambda wood: self.caution.show_caution(wood_caution(wood)))

    def described(self, description: Description) -> Description:
        """The description with what stands here; FieldRefusedError when a length cannot be read."""
        texts = {key: field.text() for key, field in self.lengths.items()}
        said_here = WoodSaid(texts, self.drift.texts(), texts[DOWEL_WOOD])
        named = replace(
            description, wood=self.wood.text(), caps=self.caps.text(), mouthpiece=self.mouthpiece.text(),
            body={key: texts[key] for key in BODY_SIZES},
        )
        return with_wood(named, said_here, self._units)

    def field(self, name: str) -> QLineEdit | None:
        """The field that a refusal names."""
        return self.lengths.get(name) or self.drift.field(name)

    def show_worked_out(self, texts: dict[str, str]) -> None:
        """What the plan would take where nothing was said, faint in the empty field."""
        for key, text in texts.items():
            self.lengths[key].setPlaceholderText(text)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row_of(
            asked("Woo&d, body", self.wood, "Wood of the body"), asked("Ca&ps", self.caps, "Wood of the caps"),
            asked("&Mouthpiece", self.mouthpiece, "Wood of the mouthpiece"),
        ))  # fmt: skip
        column.addWidget(self.caution)
        column.addWidget(said(LEAVE_EMPTY, "muted"))
        for heading, asks in GROUPS:
            column.addWidget(said(heading, "strong"))
            column.addLayout(self._grid(asks))
        column.addWidget(said("After drilling: where each bore came out at the plug end", "strong"))
        column.addWidget(self.drift)
        column.addWidget(self.drilling)

    def _grid(self, asks: tuple[tuple[str, str], ...]) -> QGridLayout:
        grid = QGridLayout()
        for at, (key, question) in enumerate(asks):
            cell = asked(question, self.lengths[key], NAMES[key][:1].upper() + NAMES[key][1:])
            cell.insertStretch(0, 1)  # questions of two lines beside questions of one: the fields stay in line
            grid.addLayout(cell, at // IN_A_ROW, at % IN_A_ROW)
            grid.setColumnStretch(at % IN_A_ROW, 1)
        return grid
