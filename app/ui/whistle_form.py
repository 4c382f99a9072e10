"""Describe your whistle: the sheet on which its document is made, checked against what its wood can play."""
from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFileDialog, QVBoxLayout, QWidget

from acoustics.notes import chord_named
from app.description import Description, FieldRefusedError, described, description_of
from app.errors import WorldError
from app.lengths import length_text
from app.reach import Reach, Verdict, reaches, too_wide
from app.settings import Settings
from app.ui.sheet import Sheet, said
from app.ui.sheet_style import paper_for
from app.ui.whistle_fields import WhistleFields
from app.whistle import Whistle, load_whistle

NATURAL_SIZE_PX = (1200, 780)
BESIDE_FROM_PX = 950  # at text scale 1
OUT_OF_REACH = (Verdict.TOO_SHORT, Verdict.TOO_HIGH)
FILES = "Whistle documents (*.json)"
# Where a first whistle starts: half-inch bores and a window that small whistles are given; common practice, no source.
FIRST_SIZES_MM = {"bore_mm": 12.7, "bore_length_mm": 139.7, "window_width_mm": 9.525, "window_height_mm": 6.35}
FIRST_CHORD = chord_named("major sixth")
FIRST_BODY_MM = {"fipple_length_mm": 12.7, "wall_mm": 4.0}


class WhistleForm(Sheet):
    """Fields, and below them what each chamber can reach.

    Signals: `whistle_described(Whistle)` when the form was accepted.
    """

    whistle_described = Signal(object)

    def __init__(self, settings: Settings, whistle: Whistle | None = None, parent: QWidget | None = None) -> None:
        super().__init__("Describe your whistle", paper_for(settings), parent)
        self.settings = settings
        self.reach = said("")
        self.fields = WhistleFields(_start(settings, whistle), settings.units)
        self.body.addWidget(self.fields)
        self.body.addStretch(1)
        self._side = self._new_side()
        self.middle.addWidget(self._side, 2)
        self.file = self.add_button("&Open a document", "Fill the form from a whistle document")
        self.buttons.addStretch(1)
        self.leave = self.add_button("C&ancel", "Leave the form; nothing is changed")
        self.ready = self.add_button("La&y it on the bench", "Lay this whistle on the bench", default=True)
        self.file.clicked.connect(self.open_file)
        self.leave.clicked.connect(self.reject)
        self.ready.clicked.connect(self.lay_on_bench)
        self._show_fields()
        self.fit_to_screen(NATURAL_SIZE_PX)

    def check(self) -> None:
        """Say what each chamber can reach, or the first thing that is still missing or wrong."""
        try:
            description = self.fields.description()
            named = replace(description, name=description.name.strip() or "this whistle")
            whistle = described(named, self.settings.units)
            remarks = [one.sentence for one in reaches(whistle, self.settings.units)] + [too_wide(whistle)]
        except (WorldError, ValueError) as refusal:
            remarks = [f"Not known yet. {refusal}"]
        self.reach.setText("\n\n".join(filter(None, remarks)))
        self.reach.setAccessibleName(self.reach.text())

    def lay_on_bench(self) -> None:
        """Make the whistle and hand it on; a refusal is said, and the keyboard put into its field."""
        try:
            whistle = described(self.fields.description(), self.settings.units)
            _require_reach(reaches(whistle, self.settings.units))
        except (WorldError, ValueError) as refusal:
            self.say_trouble(str(refusal))
            self._point_at(getattr(refusal, "field", ""))
            return
        self.whistle_described.emit(whistle)
        self.accept()

    def open_file(self) -> None:
        """Ask for a whistle document and fill the form from it."""
        path = ask_for_file(self)
        if path:
            self.open_document(path)

    def open_document(self, path: Path) -> None:
        """Fill the form from this document; what is wrong with it is said, and the form left as it was."""
        try:
            whistle = load_whistle(path)
        except WorldError as refusal:
            self.say_trouble(str(refusal))
            return
        self.say_trouble("")
        old, self.fields = self.fields, WhistleFields(description_of(whistle, self.settings.units), self.settings.units)
        self.body.replaceWidget(old, self.fields)
        old.deleteLater()
        self.put_on(self.paper)
        self._show_fields()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The reach stands beside the fields where there is room, else below them."""
        super().resizeEvent(event)
        beside = self.width() >= BESIDE_FROM_PX * self.paper.text_scale
        if beside and self.middle.indexOf(self._side) < 0:
            self.middle.addWidget(self._side, 2)
        elif not beside and self.body.indexOf(self._side) < 0:
            self.body.addWidget(self._side)

    def _new_side(self) -> QWidget:
        side = QWidget()
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 0)
        for widget in (said("What the wood can play", "strong"), self.reach):
            column.addWidget(widget)
        column.addStretch(1)
        return side

    def _show_fields(self) -> None:
        self.fields.touched.connect(self.check)
        self.fields.name.setFocus()
        self.check()

    def _point_at(self, name: str) -> None:
        """Put the keyboard where the refusal lies."""
        field = self.fields.field(name) if name else None
        if field is not None:
            field.setFocus()
            field.selectAll()
            self.scroll.ensureWidgetVisible(field)


def ask_for_file(parent: QWidget, folder: Path | None = None) -> Path | None:
    """Which whistle document to open; None when the maker would rather not."""
    chosen, _ = QFileDialog.getOpenFileName(parent, "Open a whistle document", str(folder or ""), FILES)
    return Path(chosen) if chosen else None


def _require_reach(found: tuple[Reach, ...]) -> None:
    for one in found:
        if one.verdict in OUT_OF_REACH:
            raise FieldRefusedError("bore_length_mm", one.sentence)


def _start(settings: Settings, whistle: Whistle | None) -> Description:
    if whistle is not None:
        return description_of(whistle, settings.units)
    return Description(
        sizes={key: (length_text(length_mm, settings.units),) for key, length_mm in FIRST_SIZES_MM.items()},
        body={key: length_text(length_mm, settings.units) for key, length_mm in FIRST_BODY_MM.items()},
        chord=FIRST_CHORD, lowest_note="F5", temperature_c=settings.temperature_c,
    )  # fmt: skip
