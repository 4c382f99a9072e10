"""The plug end at its true size: body, bores, centre cross, letters and the pencil mark, to be pricked through."""
from __future__ import annotations

import math

from app.hole_plan import TRUING_AMPLE_MM
from app.paper.drawing import Drawing
from app.paper.job import Job
from app.paper.lettering import MM_PER_PT
from app.paper.model import DOT_MM, Align, Box, Stroke, Weight

CROSS_BEYOND_MM = 4.0  # how far the axes run out of the body
_ON_AXIS_MM = 1e-6
MARK_MM = 5.0  # the pencil mark, inward from the body's edge


def square_mm(job: Job) -> float:
    """Side of the blank's end that the template is laid on."""
    body = job.plan.body
    return max(body.blank_side_mm or 0.0, body.diameter_mm + TRUING_AMPLE_MM)


def draw_plug_end(job: Job, drawing: Drawing, x_mm: float, y_mm: float, *, mirrored: bool = False) -> Box:
    """About that centre; `mirrored` is the other end as seen from outside. Returns the square it takes."""
    half_mm, radius_mm = square_mm(job) / 2.0, job.plan.body.diameter_mm / 2.0
    square = Box(x_mm - half_mm, y_mm - half_mm, x_mm + half_mm, y_mm + half_mm)
    drawing.frame(square, Weight.THIN, Stroke.DASHED)
    _corners(drawing, square, radius_mm)
    drawing.circle(x_mm, y_mm, radius_mm, Weight.STRONG)
    drawing.circle(x_mm, y_mm, job.plan.body.circle_radius_mm, Weight.THIN, Stroke.CENTRE)
    reach_mm = min(radius_mm + CROSS_BEYOND_MM, half_mm)
    drawing.line(x_mm - reach_mm, y_mm, x_mm + reach_mm, y_mm, Weight.THIN, Stroke.CENTRE)
    drawing.line(x_mm, y_mm - reach_mm, x_mm, y_mm + reach_mm, Weight.THIN, Stroke.CENTRE)
    drawing.dot(x_mm, y_mm, DOT_MM)
    drawing.line(x_mm, y_mm - radius_mm, x_mm, y_mm - radius_mm + MARK_MM, Weight.HEAVY)
    side = -1.0 if mirrored else 1.0
    for hole in job.plan.holes:
        outward = (-1.0 if side * hole.x_mm < -_ON_AXIS_MM else 1.0, -1.0 if hole.y_mm > _ON_AXIS_MM else 1.0)
        _hole(drawing, x_mm + side * hole.x_mm, y_mm - hole.y_mm, hole.bore_mm / 2.0, hole.letter, outward)
    return square


def _hole(
    drawing: Drawing, x_mm: float, y_mm: float, radius_mm: float, letter: str, outward: tuple[float, float]
) -> None:
    drawing.circle(x_mm, y_mm, radius_mm)
    arm_mm = radius_mm + 1.5
    drawing.line(x_mm - arm_mm, y_mm, x_mm + arm_mm, y_mm, Weight.THIN)
    drawing.line(x_mm, y_mm - arm_mm, x_mm, y_mm + arm_mm, Weight.THIN)
    drawing.dot(x_mm, y_mm, DOT_MM)
    # In the quarter that points away from the middle: clear of the cross, the rim and the circle of the bores.
    size_pt = min(13.0, 0.62 * radius_mm / MM_PER_PT)
    drawing.write(x_mm + 0.42 * outward[0] * radius_mm,
                  y_mm + 0.42 * outward[1] * radius_mm + 0.36 * size_pt * MM_PER_PT, letter, size_pt, bold=True,
                  align=Align.MIDDLE)


def _corners(drawing: Drawing, square: Box, radius_mm: float) -> None:
    """Pieces of the diagonals outside the body: they are laid on the diagonals pencilled on the blank."""
    x_mm, y_mm = (square.left_mm + square.right_mm) / 2.0, (square.top_mm + square.bottom_mm) / 2.0
    inner_mm, outer_mm = (radius_mm + 1.0) * math.sqrt(0.5), square.width_mm / 2.0
    for across in (-1.0, 1.0):
        for down in (-1.0, 1.0):
            drawing.line(x_mm + across * inner_mm, y_mm + down * inner_mm,
                         x_mm + across * outer_mm, y_mm + down * outer_mm, Weight.THIN)
