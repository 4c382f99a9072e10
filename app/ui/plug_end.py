"""The plug end of the whistle, facing you, pencil mark up: the maker's own bores, each under its letter."""
from __future__ import annotations

import math
from collections.abc import Callable

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QPainterPath

from app.ui.painted import MIDDLE, Painted, Pencil
from app.ui.wood import end_grain
from app.view import BoreEnd, Face

CAPTION = "plug end, mark up"
LETTER_PX = 20
FACE_WORDS = {Face.OPEN: "open", Face.STOPPED: "stopped", Face.PLUGGED: "plugged"}


class PlugEnd(Painted):
    """Open bores are dark holes, plugs show their rings, a stopped bore wears a cap; the one that is meant an X."""

    def __init__(self, choose: Callable[[str], None]) -> None:
        super().__init__("Plug end, facing you, mark up")
        self._ends: tuple[BoreEnd, ...] = ()
        self._choose = choose
        self.setToolTip("Click a bore to turn to it")

    def show_ends(self, ends: tuple[BoreEnd, ...]) -> None:
        self._ends = ends
        self.tell(", ".join(f"{e.letter} {FACE_WORDS[e.face]}{', meant now' if e.meant else ''}" for e in ends))

    def meant_point(self) -> QPointF | None:
        """The edge of the bore that is meant, towards the right: the arrow starts here."""
        for number, end in enumerate(self._ends):
            if end.meant:
                return self._bore_centre(number) + QPointF(self._bore_radius_px() * 1.25, 0)
        return None

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        for number, end in enumerate(self._ends):
            if QLineF(self._bore_centre(number), event.position()).length() <= self._bore_radius_px() * 1.3:
                self._choose(end.letter)

    def _letter_px(self) -> float:
        return self.dress.text_px(LETTER_PX)

    def _centre(self) -> QPointF:
        top_px = self.dress.text_px(13) * 1.5
        return QPointF(self.width() / 2, top_px + (self.height() - top_px) / 2)

    def _radius_px(self) -> float:
        """As large as fits with letters standing outside the disc at its corners."""
        height_px = self.height() - self.dress.text_px(13) * 1.5
        return max(10.0, min(self.width(), height_px) / 2 - self.dress.px(3) - self._letter_px() * 0.42)

    def _angle(self, number: int) -> float:
        """Clockwise from the pencil mark: A is the first bore after it."""
        return 2 * math.pi * (number + 0.5) / max(1, len(self._ends))

    def _ring_px(self) -> float:
        return self._radius_px() * (0.50 if len(self._ends) <= 4 else 0.58)

    def _bore_radius_px(self) -> float:
        share = {2: 0.27, 3: 0.27, 4: 0.26, 5: 0.23, 6: 0.21}.get(len(self._ends), 0.2)
        return self._radius_px() * share

    def _bore_centre(self, number: int) -> QPointF:
        return self._at(number, self._ring_px())

    def _at(self, number: int, out_px: float) -> QPointF:
        angle = self._angle(number)
        return self._centre() + QPointF(out_px * math.sin(angle), -out_px * math.cos(angle))

    def draw(self, pencil: Pencil) -> None:
        pencil.words(QRectF(0, 0, self.width(), self.dress.text_px(13) * 1.4), CAPTION, 13, "muted", align=MIDDLE)
        painter, centre, radius_px = pencil.painter, self._centre(), self._radius_px()
        end_grain(painter, centre, radius_px, self.dress, seed=4)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(pencil.stroke("edge", 1.6))
        painter.drawEllipse(centre, radius_px, radius_px)
        painter.setPen(pencil.stroke("edge", 4.5))
        painter.drawLine(centre - QPointF(0, radius_px), centre - QPointF(0, radius_px - self.dress.px(11)))
        for number, end in enumerate(self._ends):
            self._draw_bore(pencil, number, end)
            self._write_letter(pencil, number, end)

    def _draw_bore(self, pencil: Pencil, number: int, end: BoreEnd) -> None:
        centre, radius_px, painter = self._bore_centre(number), self._bore_radius_px(), pencil.painter
        if end.face is Face.OPEN:
            _draw_hole(pencil, centre, radius_px)
        else:
            end_grain(painter, centre, radius_px, self.dress, ground="plug", grain="plug_grain", pith=(-0.12, 0.1),
                      seed=number + 2)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(pencil.stroke("edge", 2.6 if end.meant else 1.3))
        painter.drawEllipse(centre, radius_px, radius_px)
        if end.face is Face.STOPPED:
            painter.setPen(pencil.stroke("edge", 1.6, Qt.PenStyle.DashLine))
            painter.drawEllipse(centre, radius_px * 1.22, radius_px * 1.22)
        if end.meant:
            _draw_cross(pencil, centre, radius_px * 0.5, "chalk" if end.face is Face.OPEN else "ink")

    def _write_letter(self, pencil: Pencil, number: int, end: BoreEnd) -> None:
        size_px = self._letter_px()
        at = self._at(number, self._radius_px() + size_px * (0.62 if len(self._ends) != 2 else 0.3))
        frame = QRectF(at.x() - size_px, at.y() - size_px * 0.7, size_px * 2, size_px * 1.4)
        frame.moveLeft(min(max(frame.left(), -size_px * 0.5), self.width() - size_px * 1.5))
        pencil.words(frame, end.letter, LETTER_PX, bold=True, align=MIDDLE, middle=True)


def _draw_hole(pencil: Pencil, centre: QPointF, radius_px: float) -> None:
    """A hole with its lit far wall: looking down a bore."""
    painter = pencil.painter
    rim = QPainterPath()
    rim.addEllipse(centre, radius_px, radius_px)
    painter.save()
    painter.fillPath(rim, pencil.palette["hole_depth"])
    painter.setClipPath(rim, Qt.ClipOperation.IntersectClip)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(pencil.palette["hole"])
    painter.drawEllipse(centre + QPointF(radius_px * 0.16, radius_px * 0.2), radius_px * 0.93, radius_px * 0.93)
    painter.restore()


def _draw_cross(pencil: Pencil, centre: QPointF, arm_px: float, colour: str) -> None:
    """A pencilled X, two strokes that do not quite match."""
    painter = pencil.painter
    pen = pencil.stroke(colour, 3.6)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.drawLine(centre + QPointF(-arm_px, -arm_px * 1.05), centre + QPointF(arm_px * 1.06, arm_px))
    painter.drawLine(centre + QPointF(arm_px, -arm_px * 0.97), centre + QPointF(-arm_px, arm_px * 1.04))
