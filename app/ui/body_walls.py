"""The walls of a body at its plug end, as lines that can be drawn and measured."""
from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QPointF

from app.hole_plan import HolePlan
from app.whole_plan import WorkPlan


@dataclass(frozen=True)
class WallMark:
    """One wall: its two faces in mm from the body's axis (x right, y up), and what is left between them."""

    name: str  # "A" for the outside of A, "A–B" for what two share
    wall_mm: float
    from_mm: QPointF
    to_mm: QPointF
    toward_deg: float  # clockwise from the mark: where its figure stands
    outside: bool


def wall_marks(plan: WorkPlan) -> tuple[WallMark, ...]:
    """Every wall outside a bore and between neighbours, at the plug end as it is known now."""
    holes, radius_mm = plan.holes, plan.body.diameter_mm / 2
    marks = []
    for hole in holes:
        centre = came_out(hole)
        far_mm = math.hypot(centre.x(), centre.y())
        way = centre / far_mm
        marks.append(WallMark(hole.letter, hole.exit_outside_mm, way * (far_mm + hole.bore_mm / 2), way * radius_mm,
                              _clockwise_deg(centre), True))
    n_walls = len(holes) if len(holes) > 2 else 1
    for at in range(n_walls):
        one, other = holes[at], holes[(at + 1) % len(holes)]
        marks.append(_between(one, other))
    return tuple(marks)


def _between(one: HolePlan, other: HolePlan) -> WallMark:
    begin, end = came_out(one), came_out(other)
    apart_mm = math.hypot(end.x() - begin.x(), end.y() - begin.y())
    way = (end - begin) / apart_mm
    face, other_face = begin + way * (one.bore_mm / 2), end - way * (other.bore_mm / 2)
    middle = (face + other_face) / 2
    # Two bores meet on the axis: their figure stands below, away from the pencil mark.
    toward_deg = _clockwise_deg(middle) if math.hypot(middle.x(), middle.y()) > 0.25 * one.bore_mm else 180.0
    return WallMark(f"{one.letter} and {other.letter}", one.exit_to_next_mm, face, other_face, toward_deg, False)


def came_out(hole: HolePlan) -> QPointF:
    return QPointF(hole.exit_x_mm, hole.exit_y_mm)


def _clockwise_deg(mm: QPointF) -> float:
    return math.degrees(math.atan2(mm.x(), mm.y()))
