"""The face of the plug many times closer: what is too long between caliper jaws, a tick for every blow."""
from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPolygonF

from app.ui.painted import RIGHT, Painted, Pencil, words_height, words_width
from app.ui.wood import hatch, long_grain
from app.view import Closer

TIMES = (12, 8, 5, 3, 2)
CAPTION_PX = 13
JAWS_PX = 16
JAW_WIDTH_PX = 26
LEGEND_PX = 12
TICKS_WORDS = "each tick: one blow's answer"


class CloserPicture(Painted):
    """Deeper lies further left, as in the cut above it."""

    def __init__(self) -> None:
        super().__init__("The plug's face, closer")
        self._closer: Closer | None = None
        self._section_px_per_mm = 3.5

    def show_closer(self, closer: Closer | None) -> None:
        self._closer = closer
        self.tell(description(closer))

    def match_scale(self, section_px_per_mm: float) -> None:
        """How large a millimetre is in the cut above: "12 ×" is twelve times that."""
        if section_px_per_mm != self._section_px_per_mm:
            self._section_px_per_mm = section_px_per_mm
            self.update()

    def least_height(self) -> float:
        """Caption, a strip of wood, jaws."""
        return self._head_height() + self.dress.px(36) + self._jaws_height()

    def _head_height(self) -> float:
        return self.dress.text_px(CAPTION_PX) * 1.6 + self.dress.px(8)

    def _jaws_height(self) -> float:
        return self.dress.text_px(JAWS_PX) * 1.3 + self.dress.px(8)

    def times(self) -> int:
        """The strongest magnification at which face, goal and stop lie well inside the picture."""
        room_px = self.width() * 0.8 - self._words_room()
        return next((n for n in TIMES if self._span_mm() * n * self._section_px_per_mm <= room_px), 1)

    def _places(self) -> list[float]:
        closer = self._closer
        assert closer is not None
        stop_mm = [closer.stop_depth_mm] if closer.stop_depth_mm is not None else []
        return [closer.face_depth_mm, closer.goal_depth_mm, *stop_mm]

    def _span_mm(self) -> float:
        return max(self._places()) - min(self._places())

    def _words_room(self) -> float:
        """Width kept free at the left for what the jaws read."""
        words = self._closer.jaws_text if self._closer else ""
        return words_width(words, self.dress.text_px(JAWS_PX), bold=True) + self.dress.px(JAW_WIDTH_PX + 30)

    def _x(self, depth_mm: float) -> float:
        """Deeper is further left; the middle of the picture, unless the words of the jaws need the room."""
        px_per_mm = self.times() * self._section_px_per_mm
        left_px = max(self._words_room(), (self.width() - self._span_mm() * px_per_mm) / 2)
        return left_px + (max(self._places()) - depth_mm) * px_per_mm

    def draw(self, pencil: Pencil) -> None:
        painter, area = pencil.painter, self.area()
        painter.setPen(pencil.stroke("line", 1))
        painter.setBrush(pencil.palette["card"])
        painter.drawRect(area.adjusted(0.5, 0.5, -0.5, -0.5))
        if self._closer is None:
            return
        pad_px = self.dress.px(10)
        caption = area.adjusted(pad_px, pad_px * 0.6, -pad_px, 0)
        pencil.words(caption, f"{self.times()} × closer", CAPTION_PX, "muted")
        top_px = self._head_height()
        jaws_px = self._jaws_height()
        wood = QRectF(0, top_px, area.width(), max(self.dress.px(20), area.height() - top_px - jaws_px - pad_px * 0.4))
        self._draw_wood(pencil, self._closer, wood)
        self._draw_ticks(pencil, self._closer, wood)
        self._draw_stop(pencil, self._closer, wood)
        self._draw_jaws(pencil, self._closer, wood.bottom() + self.dress.px(3), jaws_px - self.dress.px(4))

    def _draw_wood(self, pencil: Pencil, closer: Closer, wood: QRectF) -> None:
        """The plug to the right of its face; waste hatched; a way still to push in is left open and dashed."""
        face_px, goal_px = self._x(closer.face_depth_mm), self._x(closer.goal_depth_mm)
        painter = pencil.painter
        right_px = self.area().right() - self.dress.px(1)
        plug = QRectF(QPointF(face_px, wood.top()), QPointF(right_px, wood.bottom()))
        long_grain(painter, plug, self.dress, ground="plug", grain="plug_grain", seed=13)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(pencil.stroke("edge", 1.3))
        painter.drawRect(plug)
        between = QRectF(QPointF(min(face_px, goal_px), wood.top()), QPointF(max(face_px, goal_px), wood.bottom()))
        if goal_px > face_px:
            hatch(painter, between, self.dress)
        elif goal_px < face_px:
            painter.setPen(pencil.stroke("edge", 1.2, Qt.PenStyle.DashLine))
            painter.drawRect(between)
        painter.setPen(pencil.stroke("goal", 2, Qt.PenStyle.DashLine))
        painter.drawLine(QLineF(goal_px, wood.top(), goal_px, wood.bottom()))

    def _draw_ticks(self, pencil: Pencil, closer: Closer, wood: QRectF) -> None:
        """Pencil strokes low on the wood, long and short in turn so that they can be counted."""
        painter, edge_px = pencil.painter, self.dress.px(8)
        foot_px, height_px = wood.bottom() - self.dress.px(2), min(self.dress.px(26), wood.height() * 0.62)
        within = [self._x(depth_mm) for depth_mm in closer.ticks_depth_mm]
        for colour, weight in (("card", 4.6), ("ink", 1.9)):  # a pale halo keeps the strokes clear of the grain
            for number, x_px in enumerate(within):
                if edge_px < x_px < wood.right() - edge_px:
                    top_px = foot_px - height_px * (1.0 - 0.16 * (number % 3))
                    lean_px = self.dress.px(0.7) * (-1) ** number
                    painter.setPen(pencil.stroke(colour, weight))
                    painter.drawLine(QLineF(x_px - lean_px, top_px, x_px + lean_px, foot_px))
        for x_px in within:
            if not edge_px < x_px < wood.right() - edge_px:
                _draw_beyond(pencil, x_px <= edge_px, wood, foot_px - height_px / 2)

    def _draw_stop(self, pencil: Pencil, closer: Closer, wood: QRectF) -> None:
        if closer.stop_depth_mm is None:
            return
        x_px, painter = self._x(closer.stop_depth_mm), pencil.painter
        painter.setPen(pencil.stroke("goal", 4))
        painter.drawLine(QLineF(x_px, wood.top() - self.dress.px(8), x_px, wood.bottom() + self.dress.px(2)))
        caption_px = words_width(f"{self.times()} × closer", self.dress.text_px(CAPTION_PX)) + self.dress.px(24)
        width_px = words_width(closer.stop_text, self.dress.text_px(14), bold=True) + 2
        left_px = min(max(x_px + self.dress.px(6), caption_px), self.area().right() - width_px - self.dress.px(6))
        frame = QRectF(left_px, self.dress.px(5), width_px, self.dress.text_px(14) * 1.4)
        pencil.words(frame, closer.stop_text, 14, "goal", bold=True)

    def _draw_jaws(self, pencil: Pencil, closer: Closer, top_px: float, height_px: float) -> None:
        """Two jaws that close on the difference from outside, and what they read."""
        left_px, right_px = sorted((self._x(closer.face_depth_mm), self._x(closer.goal_depth_mm)))
        painter, jaw_px = pencil.painter, self.dress.px(JAW_WIDTH_PX)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(pencil.palette["ink"])
        for tip_px, away in ((left_px, -1), (right_px, 1)):
            painter.drawPolygon(QPolygonF([
                QPointF(tip_px, top_px), QPointF(tip_px, top_px + height_px),
                QPointF(tip_px + away * jaw_px, top_px + height_px),
                QPointF(tip_px + away * jaw_px, top_px + height_px * 0.55),
                QPointF(tip_px + away * jaw_px * 0.4, top_px + height_px * 0.55)]))
        width_px = words_width(closer.jaws_text, self.dress.text_px(JAWS_PX), bold=True) + 2
        frame = QRectF(left_px - jaw_px - self.dress.px(8) - width_px, top_px, width_px, height_px)
        pencil.words(frame, closer.jaws_text, JAWS_PX, bold=True, middle=True)
        if closer.ticks_depth_mm:
            self._write_legend(pencil, right_px + jaw_px + self.dress.px(14), top_px, height_px)

    def _write_legend(self, pencil: Pencil, left_px: float, top_px: float, height_px: float) -> None:
        """What a tick is, where there is room beside the jaws."""
        room_px = self.width() - self.dress.px(8) - left_px
        needed_px = words_height(TICKS_WORDS, self.dress.text_px(LEGEND_PX), max(1.0, room_px))
        if room_px > self.dress.text_px(110) and needed_px <= height_px + self.dress.px(5):
            frame = QRectF(left_px, top_px + (height_px - needed_px) / 2, room_px, needed_px)
            pencil.words(frame, TICKS_WORDS, LEGEND_PX, "muted", align=RIGHT)


def _draw_beyond(pencil: Pencil, to_left: bool, wood: QRectF, y_px: float) -> None:
    size_px = pencil.dress.px(6)
    tip_px, away = (wood.left() + size_px * 0.5, 1) if to_left else (wood.right() - size_px * 0.5, -1)
    pencil.painter.setPen(Qt.PenStyle.NoPen)
    pencil.painter.setBrush(pencil.palette["ink"])
    pencil.painter.drawPolygon(QPolygonF([
        QPointF(tip_px, y_px), QPointF(tip_px + away * size_px, y_px - size_px),
        QPointF(tip_px + away * size_px, y_px + size_px)]))


def description(closer: Closer | None) -> str:
    """The picture in words."""
    if closer is None:
        return "nothing to cut here now"
    stop = f"; {closer.stop_text}, {closer.stop_depth_mm:.1f} mm deep" if closer.stop_depth_mm is not None else ""
    n_blows = len(closer.ticks_depth_mm)
    return f"{closer.jaws_text}{stop}; {n_blows} blow{'' if n_blows == 1 else 's'} ticked"
