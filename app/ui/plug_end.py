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
LETTER_SHARE = 0.17  # of the height, at most
LETTER_OUT = 0.62  # how far a letter's middle stands off the disc, in letter sizes
FACE_WORDS = {Face.OPEN: "open", Face.STOPPED: "stopped", Face.PLUGGED: "plugged"}


class PlugEnd(Painted):
    """Open bores are dark holes, plugs show their rings, a stopped bore wears a cap; the one that is meant an X."""

    def __init__(self, choose: Callable[[str], None]) -> None:
        super().__init__("Plug end, facing you, mark up")
        self._ends: tuple[BoreEnd, ...] = ()
        self._choose = choose
        self.captioned = True
        self.setToolTip("Click a bore to turn to it")

    def show_ends(self, ends: tuple[BoreEnd, ...]) -> None:
        self._ends = ends
        self.tell(", ".join(f"{e.letter} {FACE_WORDS[e.face]}{', meant now' if e.meant else ''}" for e in ends))

    def way_out(self) -> tuple[QPointF, ...]:
        """Where the arrow leaves: from the bore that is meant, round the others when it lies on the left."""
        number = next((number for number, end in enumerate(self._ends) if end.meant), None)
        if number is None:
            return ()
        centre, out_px = self._bore_centre(number), self._bore_radius_px() * 1.3
        straight_beyond = -0.1 if len(self._ends) <= 4 else 0.1  # of five, the lowest would point through its neighbour
        if math.sin(self._angle(number)) > straight_beyond:
            return (centre + QPointF(out_px, 0),)
        n_ends = len(self._ends)
        gaps = [2 * math.pi * gap / n_ends for gap in range(n_ends)]  # halfway between neighbouring bores
        right = max(gaps, key=lambda angle: math.sin(angle) + 0.01 * math.cos(angle))
        ring = QPointF(math.sin(right), -math.cos(right)) * self._ring_px()
        inward = (self._centre() - centre) / self._ring_px()
        return (centre + inward * out_px, self._centre(), self._centre() + ring)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        for number, end in enumerate(self._ends):
            if QLineF(self._bore_centre(number), event.position()).length() <= self._bore_radius_px() * 1.3:
                self._choose(end.letter)

    def _letter_px(self) -> float:
        """Large, but never so large that the disc itself becomes small for it."""
        return min(self.dress.text_px(LETTER_PX), self.height() * LETTER_SHARE)

    def _centre(self) -> QPointF:
        top_px = self._caption_height()
        return QPointF(self.width() / 2, top_px + (self.height() - top_px) / 2)

    def _radius_px(self) -> float:
        """As large as fits with its letters outside the disc."""
        half_width_px, half_height_px = self.width() / 2, (self.height() - self._caption_height()) / 2
        size_px = self._letter_px()
        rooms = [half_width_px - self.dress.px(3), half_height_px - self.dress.px(3)]
        for number in range(len(self._ends)):
            across, up = abs(math.sin(self._angle(number))), abs(math.cos(self._angle(number)))
            if across > 0.01:
                rooms.append((half_width_px - size_px * 0.45) / across - size_px * LETTER_OUT)
            if up > 0.01:
                rooms.append((half_height_px - size_px * 0.6) / up - size_px * LETTER_OUT)
        return max(10.0, min(rooms))

    def _caption_height(self) -> float:
        return self.dress.text_px(13) * 1.5 if self.captioned else 0.0

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
        if self.captioned:
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
        elif end.face is Face.STOPPED:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(pencil.palette["card"])
            painter.drawEllipse(centre, radius_px, radius_px)
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
        design_px = self._letter_px() / self.dress.text_px(1)
        pencil.words(self._letter_frame(number), end.letter, design_px, bold=True, align=MIDDLE, middle=True)

    def _letter_frame(self, number: int) -> QRectF:
        size_px = self._letter_px()
        at = self._at(number, self._radius_px() + size_px * LETTER_OUT)
        return QRectF(at.x() - size_px, at.y() - size_px * 0.7, size_px * 2, size_px * 1.4)

    def crosses_letter(self, tail: QPointF, tip: QPointF) -> bool:
        """Whether a line from here to there would run over a letter."""
        line = QPainterPath(tail)
        line.lineTo(tip)
        inset_px = self._letter_px() * 0.55
        return any(
            line.intersects(self._letter_frame(number).adjusted(inset_px, 0, -inset_px, 0))
            for number in range(len(self._ends))
        )


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
