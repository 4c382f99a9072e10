"""A steel rule under the wood: millimetres, or inches in sixteenths."""
from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF

from app.ui.painted import MIDDLE, Pencil, words_width

MM_PER_INCH = 25.4
RULE_HEIGHT_PX = 14
FIGURE_PX = 12


def draw_rule(pencil: Pencil, left: QPointF, length_mm: float, px_per_mm: float) -> None:
    """Marks from the mouthpiece end, figures beneath."""
    marks = inch_marks(length_mm) if pencil.dress.inches else millimetre_marks(length_mm)
    painter, last_right_px = pencil.painter, -1e9
    for at_mm, height_share, figure in marks:
        x_px = left.x() + at_mm * px_per_mm
        foot_px = left.y() + pencil.dress.px(RULE_HEIGHT_PX) * height_share
        painter.setPen(pencil.stroke("ink", 1.2 if figure else 0.9))
        painter.drawLine(QLineF(x_px, left.y(), x_px, foot_px))
        half_px = words_width(figure, pencil.dress.text_px(FIGURE_PX)) / 2 + 1
        if figure and x_px - half_px > last_right_px:
            last_right_px = x_px + half_px + pencil.dress.px(6)
            frame = QRectF(x_px - half_px, left.y() + pencil.dress.px(RULE_HEIGHT_PX + 1), 2 * half_px + 1,
                           pencil.dress.text_px(FIGURE_PX) * 1.2)
            pencil.words(frame, figure, FIGURE_PX, "muted", align=MIDDLE)


def millimetre_marks(length_mm: float) -> list[tuple[float, float, str]]:
    """(place in mm, height as a share, figure) every 2 mm, longer at 10, figured at 20."""
    marks = []
    for at_mm in range(0, int(length_mm) + 1, 2):
        share = 1.0 if at_mm % 10 == 0 else 0.5
        marks.append((float(at_mm), share, str(at_mm) if at_mm % 20 == 0 else ""))
    return marks


def inch_marks(length_mm: float) -> list[tuple[float, float, str]]:
    """Every sixteenth, longer at the eighth, quarter, half and inch."""
    marks = []
    for sixteenth in range(int(length_mm / MM_PER_INCH * 16) + 1):
        share = next(s for step, s in ((16, 1.0), (8, 0.8), (4, 0.65), (2, 0.5), (1, 0.35)) if sixteenth % step == 0)
        figure = f"{sixteenth // 16} in" if sixteenth % 16 == 0 else ""
        marks.append((sixteenth * MM_PER_INCH / 16, share, figure))
    return marks
