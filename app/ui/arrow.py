"""The pencilled arrow from the bore that is meant to its lengthwise cut, laid over both pictures."""
from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainterPath, QPolygonF

from app.ui.painted import Painted, Pencil

HEAD_PX = 12


class Arrow(Painted):
    """Lets every click through."""

    def __init__(self) -> None:
        super().__init__("Arrow from the plug end to the cut")
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._points: tuple[QPointF, ...] = ()

    def show_way(self, points: tuple[QPointF, ...]) -> None:
        """From the first point to the last, bent round those between; no points, no arrow."""
        if points != self._points:  # it lies over both pictures, which would be painted again with it
            self._points = points
            self.update()

    def draw(self, pencil: Pencil) -> None:
        if len(self._points) < 2:
            return
        *before, last, tip = (point - QPointF(self.pos()) for point in self._points)
        along = tip - last
        ahead = along / max(1.0, (along.x() ** 2 + along.y() ** 2) ** 0.5)
        aside, head_px = QPointF(-ahead.y(), ahead.x()), self.dress.px(HEAD_PX)
        way = QPainterPath(before[0] if before else last)
        if len(before) == 2:
            way.quadTo(before[1], last)
        way.lineTo(tip - ahead * head_px * 0.8)
        pencil.painter.setPen(pencil.stroke("ink", 2.4))
        pencil.painter.setBrush(Qt.BrushStyle.NoBrush)
        pencil.painter.drawPath(way)
        base = tip - ahead * head_px
        pencil.painter.setPen(Qt.PenStyle.NoPen)
        pencil.painter.setBrush(pencil.palette["ink"])
        pencil.painter.drawPolygon(QPolygonF([tip, base + aside * head_px * 0.5, base - aside * head_px * 0.5]))
