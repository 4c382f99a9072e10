"""After practice: what the invented whistle truly is, beside what was believed of it."""
from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from app.settings import Settings
from app.ui.sheet import Sheet, said
from app.ui.sheet_style import paper_for

if TYPE_CHECKING:
    from app.invented_maker import ChamberTruth

HEADINGS = ("", "truly sounds", "truly off its note", "believed off", "interval to A off", "blows", "cuts and moves")


class TruthSheet(Sheet):
    """One row a chamber; `believed_cents` by letter, None where nothing was read yet."""

    def __init__(
        self, truth: Sequence[ChamberTruth], believed_cents: dict[str, float | None], settings: Settings,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__("What the invented whistle truly is", paper_for(settings), parent)
        self.cells = [HEADINGS, *(_row(each, believed_cents.get(each.letter)) for each in truth)]
        table = QGridLayout()
        table.setHorizontalSpacing(16)
        for row, cells in enumerate(self.cells):
            for column, text in enumerate(cells):
                label = said(text, "strong" if row == 0 or column == 0 else "plain")
                label.setAlignment(Qt.AlignmentFlag.AlignLeft if column == 0 else Qt.AlignmentFlag.AlignRight)
                table.addWidget(label, row, column)
        self.body.addWidget(said("In cents; + is sharp. The interval is the one to chamber A.", "muted"))
        self.body.addLayout(table)
        self.body.addStretch(1)
        self.buttons.addStretch(1)
        self.add_button("&Back to the bench", "Back to the bench", default=True).clicked.connect(self.accept)


def _row(truth: ChamberTruth, believed_cents: float | None) -> tuple[str, ...]:
    return (
        truth.letter, f"{truth.frequency_hz:.1f} Hz", cents(truth.deviation_cents), cents(believed_cents),
        cents(truth.interval_cents), str(truth.blows), str(truth.cuts + truth.slides),
    )


def cents(value: float | None) -> str:
    return "not read" if value is None else f"{value:+.1f}".replace("-", "−")
