"""Marks and dashes that tell the chambers of a plot apart without colour, the lowest chamber first."""
from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPolygonF

from app.ui.painted import Pencil

DASHES: Final[tuple[Sequence[float], ...]] = ((), (5.0, 2.5), (1.5, 2.0), (8.0, 2.5, 1.5, 2.5), (3.0, 5.0), (10.0, 4.0))
# Corners in half-widths: square, triangle, diamond, triangle upside down; a round dot and a ring are drawn as such.
CORNERS: Final[dict[int, tuple[tuple[float, float], ...]]] = {
    1: ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)), 2: ((0.0, -1.3), (1.25, 1.0), (-1.25, 1.0)),
    3: ((0.0, -1.4), (1.4, 0.0), (0.0, 1.4), (-1.4, 0.0)), 4: ((0.0, 1.3), (1.25, -1.0), (-1.25, -1.0)),
}
OPEN: Final = (1, 3, 5)  # the paper shows through them


def draw_mark(pencil: Pencil, number: int, at: QPointF, half_px: float) -> None:
    """The mark of this chamber, in ink."""
    painter = pencil.painter
    painter.setPen(pencil.stroke("ink", 1.8, Qt.PenStyle.SolidLine))
    painter.setBrush(pencil.palette["card" if number in OPEN else "ink"])
    corners = CORNERS.get(number)
    if corners is None:
        painter.drawEllipse(at, half_px, half_px)
    else:
        painter.drawPolygon(QPolygonF([at + QPointF(x * half_px, y * half_px) for x, y in corners]))
