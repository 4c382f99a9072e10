"""Wood, drawn: long grain, end grain, and the hatch of what must come off. Same seed, same board."""
from __future__ import annotations

import math
import random
from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from app.ui.theme import Dress


def long_grain(
    painter: QPainter, rect: QRectF, dress: Dress, *, ground: str = "wood", grain: str = "grain", seed: int = 1
) -> None:
    """Fill `rect` with a board whose grain runs along it (along its longer side)."""
    painter.save()
    painter.setClipRect(rect, Qt.ClipOperation.IntersectClip)
    painter.fillRect(rect, dress.palette[ground])
    along_px, across_px = rect.width(), rect.height()
    painter.translate(rect.topLeft())
    if across_px > along_px:
        painter.translate(across_px and rect.width(), 0)
        painter.rotate(90)
        along_px, across_px = across_px, along_px
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for path, weight in _grain_lines(round(along_px / dress.unit_px), round(across_px / dress.unit_px), seed):
        painter.setPen(_faint(dress.palette[grain], weight, dress.px(0.9)))
        painter.save()
        painter.scale(dress.unit_px, dress.unit_px)
        painter.drawPath(path)
        painter.restore()
    painter.restore()


def _faint(colour: QColor, weight: float, width_px: float) -> QPen:
    colour.setAlphaF(weight)
    pen = QPen(colour, width_px)
    pen.setCosmetic(True)
    return pen


@lru_cache(maxsize=64)
def _grain_lines(along_px: int, across_px: int, seed: int) -> tuple[tuple[QPainterPath, float], ...]:
    """Lines that drift together, as growth rings cut lengthwise do, each with its own weight."""
    rng = random.Random(seed)
    phase, swing_px = rng.uniform(0, 6), rng.uniform(1.5, 3.5)
    wave_px = rng.uniform(210, 330)
    lines = []
    y_px = -4.0
    while y_px < across_px + 4:
        own = rng.uniform(-0.5, 0.5)
        path = QPainterPath()
        for step in range(0, along_px + 12, 12):
            drift_px = swing_px * math.sin(phase + own + step / wave_px * 2 * math.pi)
            ripple_px = 0.5 * math.sin(own * 9 + step / 41)
            point = QPointF(step, y_px + drift_px + ripple_px)
            path.moveTo(point) if step == 0 else path.lineTo(point)
        lines.append((path, rng.uniform(0.35, 0.95)))
        y_px += rng.uniform(2.6, 6.4)
    return tuple(lines)


def end_grain(
    painter: QPainter, centre: QPointF, radius_px: float, dress: Dress, *,
    ground: str = "wood", grain: str = "grain", pith: tuple[float, float] = (-0.35, 0.5), seed: int = 1,
) -> None:
    """Fill a disc with growth rings about a pith that lies `pith` radii off its centre."""
    rng = random.Random(seed)
    disc = QPainterPath()
    disc.addEllipse(centre, radius_px, radius_px)
    painter.save()
    painter.setClipPath(disc, Qt.ClipOperation.IntersectClip)
    painter.fillPath(disc, dress.palette[ground])
    heart = QPointF(centre.x() + pith[0] * radius_px, centre.y() + pith[1] * radius_px)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    ring_px, reach_px = dress.px(2.5), radius_px * (1 + math.hypot(*pith))
    while ring_px < reach_px:
        painter.setPen(_faint(dress.palette[grain], rng.uniform(0.35, 0.95), dress.px(0.9)))
        painter.drawEllipse(heart, ring_px * 1.03, ring_px * 0.97)
        ring_px += dress.px(rng.uniform(2.6, 6.0))
    painter.restore()


def hatch(painter: QPainter, rect: QRectF, dress: Dress, *, gap_design_px: float = 7) -> None:
    """What is too much: slanting strokes on a pale ground, outlined."""
    painter.save()
    painter.setClipRect(rect, Qt.ClipOperation.IntersectClip)
    painter.fillRect(rect, dress.palette["waste"])
    pen = QPen(dress.palette["hatch"], dress.px(gap_design_px * 0.3))
    painter.setPen(pen)
    gap_px, rise_px = dress.px(gap_design_px) * 1.3, rect.height()
    x_px = rect.left() - rise_px
    while x_px < rect.right():
        painter.drawLine(QPointF(x_px, rect.bottom()), QPointF(x_px + rise_px, rect.top()))
        x_px += gap_px
    painter.restore()
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(dress.palette["hatch"], dress.px(1.2)))
    painter.drawRect(rect)
