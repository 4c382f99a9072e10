"""Where wood has run out: every way out of a flat plug, or what a bore too short can still play."""
from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.cautions import CUTTING
from app.rescue_words import heading, ways_lines
from app.rescues import FlatWays, WaysOut
from app.settings import Settings
from app.ui.sheet import CautionNote, Sheet, said
from app.ui.sheet_style import paper_for


class WaysSheet(Sheet):
    """Signals: `chord_lowered(float)`: take the whole chord down, to so many cents off its notes; `plan_asked()`."""

    chord_lowered = Signal(float)
    plan_asked = Signal()

    def __init__(self, ways: WaysOut, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(heading(ways), paper_for(settings), parent)
        first, *others = ways_lines(ways, settings.units)
        self.body.addWidget(said(first, "strong"))
        for line in others:
            self.body.addWidget(said(line))
        self.body.addWidget(CautionNote(CUTTING))
        self.body.addStretch(1)
        if isinstance(ways, FlatWays) and ways.lowering is not None:
            lowered_cents = ways.lowering.lowered_cents
            self.take_down = self.add_button("Take the whole chord &down", "Take the whole chord down")
            self.take_down.clicked.connect(lambda: self._choose(self.chord_lowered, lowered_cents))
        if not isinstance(ways, FlatWays) and ways.chords:
            self.lay_out = self.add_button("&Lay it out anew…", "Lay this whistle out anew")
            self.lay_out.clicked.connect(lambda: self._choose(self.plan_asked))
        self.buttons.addStretch(1)
        self.leave = self.add_button("&Back to the bench", "Back to the bench", default=True)
        self.leave.clicked.connect(self.accept)

    def _choose(self, chosen: Signal, *told: float) -> None:
        self.accept()
        chosen.emit(*told)
