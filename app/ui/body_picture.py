"""The plug end drawn to scale: what wood stands between the bores and outside them, in figures where it counts."""
from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPainter, QPainterPath

from app.hole_plan import BodyPlan, HolePlan
from app.remark import Lengths
from app.ui.body_walls import WallMark, came_out, wall_marks
from app.ui.painted import MIDDLE, Painted, Pencil, words_height, words_width
from app.ui.wood import end_grain, hatch
from app.whole_plan import WorkPlan

LETTER_PX, FIGURE_PX, CAPTION_PX = 19.0, 15.0, 14.0
LEAST_SIDE_PX = 330
OFF_DISC_EM = 0.5  # of a figure's letters: from the disc to the figure
THIN_ARC_DEG = 26.0  # of outside wall that is hatched on either side of its thinnest place
_SAME_MM = 1e-6


class BodyPicture(Painted):
    """Bores as they came out, or as drawn; too thin is hatched and boxed, the dotted ring is how far a drill may go."""

    def __init__(self) -> None:
        super().__init__("Plug end, to scale")
        self._plan: WorkPlan | None = None
        self._say = Lengths("mm")
        self.setMinimumSize(QSizeF(LEAST_SIDE_PX, LEAST_SIDE_PX).toSize())

    def show_plan(self, plan: WorkPlan | None, units: str) -> None:
        self._plan, self._say = plan, Lengths("inch" if units == "inch" else "mm")
        self.tell("" if plan is None else "; ".join(self._words(mark) for mark in wall_marks(plan)))

    # ---- scale ---------------------------------------------------------------------------------------------------
    def _caption(self) -> str:
        measured = self._plan is not None and self._plan.body.exit_thinnest_mm is not None
        return "plug end, mark up, as the drill came out" if measured else "plug end, mark up, as drawn"

    def _caption_px(self) -> float:
        return words_height(self._caption(), self.dress.text_px(CAPTION_PX), self.width()) + self.dress.px(4)

    def _margin_px(self) -> QSizeF:
        """What the widest figure needs beside the disc, and the tallest above it."""
        figures = [self._figure(mark) for mark in wall_marks(self._plan)] if self._plan else [""]
        size_px = self.dress.text_px(FIGURE_PX)
        wide_px = max(words_width(figure, size_px, True) for figure in figures)
        return QSizeF(wide_px + 8 + OFF_DISC_EM * size_px, size_px * 1.9)

    def _centre(self) -> QPointF:
        top_px = self._caption_px()
        return QPointF(self.width() / 2, top_px + (self.height() - top_px) / 2)

    def _px_per_mm(self, body: BodyPlan) -> float:
        """The disc with its figures, and the blank around it, as large as both have room."""
        margin = self._margin_px()
        half_wide_px, half_high_px = self.width() / 2, (self.height() - self._caption_px()) / 2
        disc_px = max(20.0, min(half_wide_px - margin.width(), half_high_px - margin.height()))
        blank_px = min(half_wide_px, half_high_px) - self.dress.px(3)
        return min(disc_px / (body.diameter_mm / 2), blank_px / (max(body.blank_side_mm or 0.0, body.diameter_mm) / 2))

    def _at(self, mm: QPointF) -> QPointF:
        assert self._plan is not None
        scale = self._px_per_mm(self._plan.body)
        return self._centre() + QPointF(mm.x() * scale, -mm.y() * scale)

    # ---- drawing -------------------------------------------------------------------------------------------------
    def draw(self, pencil: Pencil) -> None:
        pencil.words(QRectF(0, 0, self.width(), self._caption_px()), self._caption(), CAPTION_PX, "muted", align=MIDDLE)
        if self._plan is None:
            return
        body, painter, centre = self._plan.body, pencil.painter, self._centre()
        scale = self._px_per_mm(body)
        radius_px = body.diameter_mm / 2 * scale
        end_grain(painter, centre, radius_px, self.dress, seed=4)
        marks = wall_marks(self._plan)
        for mark in marks:
            if self._too_thin(mark):
                self._hatch(pencil, mark)
        self._outlines(pencil, radius_px, scale)
        for hole in self._plan.holes:
            self._draw_hole(pencil, hole, scale)
        for mark in marks:
            self._measure(pencil, mark, radius_px)

    def _outlines(self, pencil: Pencil, radius_px: float, scale: float) -> None:
        """Body and pencil mark; dashed: the square blank around it, the tenon within it."""
        assert self._plan is not None
        painter, centre, body = pencil.painter, self._centre(), self._plan.body
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(pencil.stroke("edge", 1.8))
        painter.drawEllipse(centre, radius_px, radius_px)
        painter.setPen(pencil.stroke("edge", 4.5))
        painter.drawLine(centre - QPointF(0, radius_px), centre - QPointF(0, radius_px - self.dress.px(11)))
        painter.setPen(pencil.stroke("muted", 1.4, Qt.PenStyle.DashLine))
        if body.blank_side_mm is not None:
            half_px = body.blank_side_mm / 2 * scale
            painter.drawRect(QRectF(centre.x() - half_px, centre.y() - half_px, 2 * half_px, 2 * half_px))
        if body.tenon_wall_mm is not None:
            reach_mm = max(math.hypot(h.exit_x_mm, h.exit_y_mm) + h.bore_mm / 2 for h in self._plan.holes)
            tenon_px = (reach_mm + body.tenon_wall_mm) * scale
            painter.setPen(pencil.stroke("edge", 1.4, Qt.PenStyle.DashLine))
            painter.drawEllipse(centre, tenon_px, tenon_px)

    def _draw_hole(self, pencil: Pencil, hole: HolePlan, scale: float) -> None:
        painter, radius_px = pencil.painter, hole.bore_mm / 2 * scale
        at, drawn_at = self._at(came_out(hole)), self._at(QPointF(hole.x_mm, hole.y_mm))
        painter.setPen(pencil.stroke("edge", 1.4))
        painter.setBrush(pencil.palette["hole"])
        painter.drawEllipse(at, radius_px, radius_px)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if hole.drift_outward_mm is not None or hole.drift_clockwise_mm is not None:
            painter.setPen(pencil.stroke("chalk", 1.4, Qt.PenStyle.DashLine))
            painter.drawEllipse(drawn_at, radius_px, radius_px)
        else:
            painter.setPen(pencil.stroke("edge", 1.4, Qt.PenStyle.DotLine))
            may_px = (hole.bore_mm / 2 + hole.drift_allowed_mm) * scale
            painter.drawEllipse(drawn_at, may_px, may_px)
        size_px = self.dress.text_px(LETTER_PX)
        frame = QRectF(at.x() - size_px, at.y() - size_px * 0.75, size_px * 2, size_px * 1.5)
        pencil.words(frame, hole.letter, LETTER_PX, "chalk", bold=True, align=MIDDLE, middle=True)

    def _hatch(self, pencil: Pencil, mark: WallMark) -> None:
        """What is too thin: between two holes the strip that joins them, outside a stretch of the rim."""
        painter, scale = pencil.painter, self._px_per_mm(self._plan.body) if self._plan else 1.0
        if mark.outside:
            radius_px, deep_px = self._body_radius_mm() * scale, (max(mark.wall_mm, 0.0) + 0.8) * scale
            whole = QRectF(self._centre() - QPointF(radius_px, radius_px), QSizeF(2 * radius_px, 2 * radius_px))
            path = QPainterPath()
            start_deg = 90 - mark.toward_deg - THIN_ARC_DEG
            path.arcMoveTo(whole, start_deg)
            path.arcTo(whole, start_deg, 2 * THIN_ARC_DEG)
            path.arcTo(whole.adjusted(deep_px, deep_px, -deep_px, -deep_px), start_deg + 2 * THIN_ARC_DEG,
                       -2 * THIN_ARC_DEG)
            path.closeSubpath()
        else:
            path = _strip(self._at(mark.from_mm), self._at(mark.to_mm), 3.2 * scale)
        painter.save()
        painter.setClipPath(path, Qt.ClipOperation.IntersectClip)
        hatch(painter, path.boundingRect().adjusted(-4, -4, 4, 4), self.dress, gap_design_px=5)
        painter.restore()

    def _measure(self, pencil: Pencil, mark: WallMark, radius_px: float) -> None:
        """A stroke from face to face, and its figure outside the disc."""
        painter, size_px = pencil.painter, self.dress.text_px(FIGURE_PX)
        begin, end = self._at(mark.from_mm), self._at(mark.to_mm)
        toward = math.radians(mark.toward_deg)
        out = QPointF(math.sin(toward), -math.cos(toward))
        painter.setPen(pencil.stroke("ink", 2.6 if self._thin(mark) else 1.6))
        painter.drawLine(begin, end)
        _end_ticks(painter, begin, end, self.dress.px(4))
        rim = self._centre() + out * (radius_px + OFF_DISC_EM * size_px * 0.5)
        if not mark.outside:
            painter.setPen(pencil.stroke("ink", 1.0))
            painter.drawLine((begin + end) / 2, rim)
        words, bold = self._figure(mark), self._thin(mark)
        wide_px = words_width(words, size_px, bold)
        middle = rim + QPointF(out.x() * (wide_px / 2 + OFF_DISC_EM * size_px * 0.5), out.y() * size_px * 0.9)
        frame = QRectF(middle.x() - wide_px / 2 - 4, middle.y() - size_px * 0.7, wide_px + 8, size_px * 1.4)
        painter.fillRect(frame, pencil.palette["paper"])
        if self._too_thin(mark):
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(pencil.stroke("ink", 2.0))
            painter.drawRect(frame)
        pencil.words(frame, words, FIGURE_PX, "ink", bold=bold, align=MIDDLE, middle=True)

    # ---- words ---------------------------------------------------------------------------------------------------
    def _figure(self, mark: WallMark) -> str:
        """Rounded down."""
        return self._say.left(mark.wall_mm) if mark.wall_mm > 0.0 else "none"

    def _words(self, mark: WallMark) -> str:
        where = f"outside {mark.name}" if mark.outside else f"between {mark.name}"
        return f"{where} {self._figure(mark)}{', too thin' if self._too_thin(mark) else ''}"

    def _thin(self, mark: WallMark) -> bool:
        return self._plan is not None and mark.wall_mm < self._plan.body.wanted_wall_mm - _SAME_MM

    def _too_thin(self, mark: WallMark) -> bool:
        return self._plan is not None and mark.wall_mm < self._plan.body.least_wall_mm - _SAME_MM

    def _body_radius_mm(self) -> float:
        return self._plan.body.diameter_mm / 2 if self._plan else 1.0


def _strip(begin: QPointF, end: QPointF, wide_px: float) -> QPainterPath:
    """A straight band from one point to the other, a little beyond both."""
    along = end - begin
    long_px = max(math.hypot(along.x(), along.y()), 1e-6)
    way = along / long_px
    aside = QPointF(-way.y(), way.x()) * (wide_px / 2)
    past = way * wide_px * 0.2
    path = QPainterPath(begin - past + aside)
    for corner in (end + past + aside, end + past - aside, begin - past - aside):
        path.lineTo(corner)
    path.closeSubpath()
    return path


def _end_ticks(painter: QPainter, begin: QPointF, end: QPointF, half_px: float) -> None:
    along = end - begin
    long_px = math.hypot(along.x(), along.y())
    if long_px < 1.0:
        return
    aside = QPointF(-along.y(), along.x()) * (half_px / long_px)
    for point in (begin, end):
        painter.drawLine(point - aside, point + aside)
