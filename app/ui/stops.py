"""What closes the far end, drawn into the lengthwise cut: finger, scrap, slug or plug, and where its face belongs."""
from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainterPath, QPolygonF

from app.ui.painted import Pencil
from app.ui.wood import hatch, long_grain
from app.view import Section

if TYPE_CHECKING:
    from app.ui.section import Scale

TAIL_MM = 10.0  # what is drawn of a tail; a real one may be longer
SCRAP_MM = 7.0


def draw_stop(pencil: Pencil, section: Section, scale: Scale) -> None:
    """The stop as it is now; over it the waste, or the way still to go."""
    if section.stop == "finger":
        _draw_finger(pencil, section, scale)
    elif section.stop == "flat":
        _draw_scrap(pencil, section, scale)
    elif section.stop in ("slug", "plug") and section.depth_mm:
        _draw_plug(pencil, section, scale, section.depth_mm)
    if section.goal_depth_mm is not None:
        _draw_goal(pencil, section, scale, section.goal_depth_mm)


def _draw_plug(pencil: Pencil, section: Section, scale: Scale, depth_mm: float) -> None:
    plug = scale.rect(section.body_mm - depth_mm, section.wall_mm, depth_mm, section.bore_mm)
    parts = [plug]
    if section.tail:
        thick_mm = section.bore_mm * 0.28
        top_mm = section.wall_mm + (section.bore_mm - thick_mm) / 2
        parts.append(scale.rect(section.body_mm, top_mm, TAIL_MM, thick_mm))
    for part in parts:
        long_grain(pencil.painter, part, pencil.dress, ground="plug", grain="plug_grain", seed=13)
        pencil.painter.setBrush(Qt.BrushStyle.NoBrush)
        pencil.painter.setPen(pencil.stroke("edge", 1.3))
        pencil.painter.drawRect(part)
    if section.stop == "slug":
        _draw_slug_marks(pencil, section, scale, parts[-1])


def _draw_slug_marks(pencil: Pencil, section: Section, scale: Scale, tail: QRectF) -> None:
    """Rings cut along the slug every 10 mm from its face: it is a measure, not a plug."""
    painter = pencil.painter
    painter.setPen(pencil.stroke("edge", 1.6))
    top_px, foot_px = scale.y(section.wall_mm), scale.y(section.wall_mm + section.bore_mm)
    for along_mm in range(10, int(section.depth_mm or 0), 10):
        x_px = scale.x(section.body_mm - (section.depth_mm or 0) + along_mm)
        painter.drawLine(QLineF(x_px, top_px, x_px, foot_px))
    over_px = pencil.dress.px(4)
    painter.drawLine(QLineF(tail.right(), tail.top() - over_px, tail.right(), tail.bottom() + over_px))


def _draw_scrap(pencil: Pencil, section: Section, scale: Scale) -> None:
    block = scale.rect(section.body_mm, section.wall_mm * 0.3, SCRAP_MM, section.bore_mm + section.wall_mm * 1.4)
    long_grain(pencil.painter, block, pencil.dress, ground="plug", grain="plug_grain", seed=21)
    pencil.painter.setBrush(Qt.BrushStyle.NoBrush)
    pencil.painter.setPen(pencil.stroke("edge", 1.3))
    pencil.painter.drawRect(block)


def _draw_finger(pencil: Pencil, section: Section, scale: Scale) -> None:
    """A fingertip over the end; its pad bulges a little into the bore."""
    x_px, middle_px = scale.x(section.body_mm), scale.y(section.wall_mm + section.bore_mm / 2)
    half_px, bulge_px = section.bore_mm * scale.px_per_mm / 2, section.bore_mm * scale.px_per_mm * 0.09
    reach_px = 11.0 * scale.px_per_mm
    tip = QPainterPath(QPointF(x_px + reach_px, middle_px - half_px * 1.25))
    tip.lineTo(x_px + half_px * 0.5, middle_px - half_px * 1.25)
    tip.quadTo(QPointF(x_px, middle_px - half_px * 1.25), QPointF(x_px, middle_px - half_px))
    tip.quadTo(QPointF(x_px - bulge_px * 2, middle_px), QPointF(x_px, middle_px + half_px))
    tip.quadTo(QPointF(x_px, middle_px + half_px * 1.25), QPointF(x_px + half_px * 0.5, middle_px + half_px * 1.25))
    tip.lineTo(x_px + reach_px, middle_px + half_px * 1.25)
    pencil.painter.setBrush(pencil.palette["card"])
    pencil.painter.setPen(pencil.stroke("edge", 1.6))
    pencil.painter.drawPath(tip)


def _draw_goal(pencil: Pencil, section: Section, scale: Scale, goal_depth_mm: float) -> None:
    depth_mm = section.depth_mm or 0.0
    goal_px = scale.x(section.body_mm - goal_depth_mm)
    too_long_mm = depth_mm - goal_depth_mm
    if section.stop == "plug" and too_long_mm > 0:
        hatch(pencil.painter, scale.rect(section.body_mm - depth_mm, section.wall_mm, too_long_mm, section.bore_mm),
              pencil.dress, gap_design_px=4)
    top_px, foot_px = scale.y(section.wall_mm), scale.y(section.wall_mm + section.bore_mm)
    dash = Qt.PenStyle.SolidLine if too_long_mm > 0 and section.stop == "plug" else Qt.PenStyle.DashLine
    pencil.painter.setPen(pencil.stroke("goal", 2.2, dash))
    pencil.painter.drawLine(QLineF(goal_px, top_px, goal_px, foot_px))
    nib_px = pencil.dress.px(5)
    pencil.painter.setBrush(pencil.palette["goal"])
    pencil.painter.setPen(Qt.PenStyle.NoPen)
    pencil.painter.drawPolygon(QPolygonF([
        QPointF(goal_px, top_px + nib_px), QPointF(goal_px - nib_px, top_px - nib_px * 0.6),
        QPointF(goal_px + nib_px, top_px - nib_px * 0.6)]))
