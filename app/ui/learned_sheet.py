"""What earlier whistles taught, and whether this one is to use it."""
from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.learned import Learned
from app.learned_words import learned_lines
from app.settings import Settings
from app.ui.sheet import Sheet, said
from app.ui.sheet_style import paper_for

HEADING = "What earlier whistles taught"
WHY = (
    "Only whistles with a plug on its note, tuned by whoever blows now and laid on the bench before this one. The "
    "first cut leans on it; this whistle's own blows soon count for more."
)


class LearnedSheet(Sheet):
    """Signals: `memory_told(bool)`: use it for this whistle, or set it aside."""

    memory_told = Signal(bool)

    def __init__(self, learned: Learned, aside: bool, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(HEADING, paper_for(settings), parent)
        for line in learned_lines(learned, aside, settings.units):
            self.body.addWidget(said(line))
        self.body.addWidget(said(WHY, "muted"))
        self.body.addStretch(1)
        self.change = self.add_button(*_change_words(aside))
        self.change.setVisible(bool(learned.teachers))
        self.change.clicked.connect(lambda: self._tell(used=aside))
        self.buttons.addStretch(1)
        self.leave = self.add_button("&Back to the bench", "Back to the bench", default=True)
        self.leave.clicked.connect(self.accept)

    def _tell(self, *, used: bool) -> None:
        self.memory_told.emit(used)
        self.accept()


def _change_words(aside: bool) -> tuple[str, str]:
    if aside:
        return "&Use it for this whistle", "Use what earlier whistles taught for this whistle"
    return "Set it &aside for this whistle", "Set what earlier whistles taught aside for this whistle"
