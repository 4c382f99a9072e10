"""Your breath: the last ten seconds as one plain pencil line. No band to hit, no grid, no note."""
from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import groupby
from statistics import median
from typing import Protocol

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainterPath

from app.ui.painted import RIGHT, Painted, Pencil, words_width

SHOWN_S = 10.0
GAP_S = 0.25  # points further apart than this are not joined
QUIET_DBFS = -65.0  # drawn at the foot
LOUD_DBFS = -10.0  # drawn at the full height of a steady note
WANDER_CENTS = 60.0  # pitch this far from the blow's own middle moves the line by a quarter of the height
CAPTION_PX = 13


class BreathPoint(Protocol):
    """What the line is drawn from (the listener's own points fit)."""

    @property
    def at_s(self) -> float: ...
    @property
    def level_dbfs(self) -> float: ...
    @property
    def heard_hz(self) -> float | None: ...


class BreathLine(Painted):
    """The line rises with loudness, so an attack is its slope; pitch that wanders makes it wave, a jump a step."""

    def __init__(self) -> None:
        super().__init__("Your breath, last ten seconds")
        self._points: tuple[BreathPoint, ...] = ()
        self._level = ""

    def show_breath(self, points: Iterable[BreathPoint]) -> None:
        points = tuple(points)
        if points != self._points:
            self._points = points
            self.update()

    def show_level(self, level: str) -> None:
        self._level = level
        self.tell(f"level: {level}" if level else "")

    def least_height(self) -> float:
        return self.dress.text_px(CAPTION_PX) * 1.5 + self.dress.px(52)

    def draw(self, pencil: Pencil) -> None:
        painter, area = pencil.painter, self.area()
        painter.setPen(pencil.stroke("line", 1))
        painter.setBrush(pencil.palette["card"])
        painter.drawRect(area.adjusted(0.5, 0.5, -0.5, -0.5))
        pad_px, caption_px = self.dress.px(10), self.dress.text_px(CAPTION_PX) * 1.4
        head = QRectF(pad_px, self.dress.px(4), area.width() - 2 * pad_px, caption_px)
        level = f"level: {self._level}" if self._level else ""
        level_px = words_width(level, self.dress.text_px(CAPTION_PX), bold=True)
        words = "your breath, last 10 seconds"
        if words_width(words, self.dress.text_px(CAPTION_PX)) + level_px + 2 * pad_px > head.width():
            words = "your breath"
        pencil.words(head, words, CAPTION_PX, "muted")
        pencil.words(head, level, CAPTION_PX, bold=True, align=RIGHT)
        plot = QRectF(pad_px, head.bottom(), head.width(), area.height() - head.bottom() - self.dress.px(6))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        pen = pencil.stroke("ink", 2.2)
        pen.setJoinStyle(Qt.PenJoinStyle.BevelJoin)  # a third of the cost of a round one
        painter.setPen(pen)
        for path in breath_paths(self._points, plot):
            painter.drawPath(path)


def breath_paths(points: tuple[BreathPoint, ...], plot: QRectF) -> list[QPainterPath]:
    """One path for every stretch without a gap; the newest point is at the right edge."""
    if not points:
        return []
    newest_s = points[-1].at_s
    paths = []
    for stretch in _stretches([p for p in points if newest_s - p.at_s <= SHOWN_S]):
        path = QPainterPath()
        for number, (point, middle_hz) in enumerate(zip(stretch, _own_middles(stretch), strict=True)):
            x_px = plot.right() - (newest_s - point.at_s) / SHOWN_S * plot.width()
            place = QPointF(x_px, plot.bottom() - _height_share(point, middle_hz) * plot.height())
            path.moveTo(place) if number == 0 else path.lineTo(place)
        paths.append(path)
    return paths


def _own_middles(stretch: list[BreathPoint]) -> list[float | None]:
    """For every point the middle pitch of its own blow: an unbroken run of heard points."""
    middles: list[float | None] = []
    for heard, run in groupby(stretch, key=lambda point: bool(point.heard_hz)):
        pitches = [point.heard_hz or 0.0 for point in run]
        middles += [median(pitches) if heard else None] * len(pitches)
    return middles


def _height_share(point: BreathPoint, middle_hz: float | None) -> float:
    """0 at the foot, about 0.65 for a loud steady note, up to 1."""
    loudness = min(1.0, max(0.0, (point.level_dbfs - QUIET_DBFS) / (LOUD_DBFS - QUIET_DBFS)))
    wander = 0.0
    if point.heard_hz and middle_hz:
        wander = 0.25 * 1200 * math.log2(point.heard_hz / middle_hz) / WANDER_CENTS
    return min(1.0, max(0.0, 0.65 * loudness + max(-0.35, min(0.35, wander))))


def _stretches(points: list[BreathPoint]) -> list[list[BreathPoint]]:
    found: list[list[BreathPoint]] = []
    for point in points:
        if not found or point.at_s - found[-1][-1].at_s > GAP_S:
            found.append([])
        found[-1].append(point)
    return found
