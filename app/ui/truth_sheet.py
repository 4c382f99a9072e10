"""After practice: what the invented whistle truly is, beside what was believed of it."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from app.settings import Settings
from app.truth_words import truth_sentence
from app.ui.sheet import Sheet, said
from app.ui.sheet_style import paper_for

if TYPE_CHECKING:
    from app.invented_maker import ChamberTruth

HEADINGS = ("", "sounds", "truly off", "believed off", "interval off", "in the chord", "blows / moves")
NATURAL_SIZE_PX = (980, 560)


class TruthSheet(Sheet):
    """One row a chamber; `believed_cents` by letter, None where nothing was read yet."""

    def __init__(
        self, truth: Sequence[ChamberTruth], believed_cents: Mapping[str, float | None], settings: Settings,
        parent: QWidget | None = None, then: str = "",
    ) -> None:
        super().__init__("What the invented whistle truly is", paper_for(settings), parent)
        self.cells = [HEADINGS, *(_row(each, believed_cents.get(each.letter)) for each in truth)]
        self.body.addWidget(said(truth_sentence(truth, believed_cents, settings.tolerance_cents), "strong"))
        self.body.addLayout(self._table())
        self.body.addWidget(said(
            "In cents; + is sharp; intervals are those to chamber A, blown one by one and in one breath; moves are "
            "cuts too. Only of an invented whistle can the truth be looked up.", "muted",
        ))  # fmt: skip
        if then:
            self.body.addWidget(said(then))
        self.body.addStretch(1)
        self.buttons.addStretch(1)
        self.leave = self.add_button("&Back to the bench", "Back to the bench", default=True)
        self.leave.clicked.connect(self.accept)
        self.fit_to_screen(NATURAL_SIZE_PX)

    def _table(self) -> QGridLayout:
        table = QGridLayout()
        table.setHorizontalSpacing(round(16 * self.paper.text_scale))
        table.setVerticalSpacing(round(10 * self.paper.text_scale))
        for row, cells in enumerate(self.cells):
            for column, text in enumerate(cells):
                label = said(text, "strong" if row == 0 or column in (0, 2, 3) else "plain")
                across = Qt.AlignmentFlag.AlignLeft if column == 0 else Qt.AlignmentFlag.AlignRight
                upright = Qt.AlignmentFlag.AlignBottom if row == 0 else Qt.AlignmentFlag.AlignVCenter
                label.setAlignment(across | upright)
                table.addWidget(label, row, column)
        for column in range(1, len(HEADINGS)):
            table.setColumnStretch(column, 1)
        return table


def _row(truth: ChamberTruth, believed_cents: float | None) -> tuple[str, ...]:
    return (
        truth.letter, f"{truth.frequency_hz:.1f}\N{NO-BREAK SPACE}Hz",
        cents(truth.deviation_cents), cents(believed_cents), cents(truth.interval_cents),
        cents(truth.chord_interval_cents), f"{truth.blows} / {truth.cuts + truth.slides}",
    )


def cents(value: float | None) -> str:
    return "not read" if value is None else f"{value:+.1f}".replace("-", "−")
