"""Your breath: the last ten seconds as one plain pencil line. No band to hit, no grid, no note."""
from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainterPath, QPen, QPolygonF

from app.ui.painted import RIGHT, Painted, Pencil, words_width

SHOWN_S = 10.0
GAP_S = 0.25  # points further apart than this are not joined
QUIET_DBFS = -65.0  # drawn at the foot
LOUD_DBFS = -10.0  # drawn at the full height of a steady note
WANDER_CENTS = 60.0  # pitch this far from the blow's own middle moves the line by a quarter of the height
CAPTION_PX = 13
LINE_PX = 2.2
MOVING = ("your breath, last 10 seconds", "your breath", "")
RESTING = ("your breath, at rest: B lets it move", "your breath, at rest", "")
Array = NDArray[np.float64]


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
        self._newest: tuple[BreathPoint, ...] = ()
        self._level = ""
        self.rests = False

    def show_breath(self, points: Iterable[BreathPoint]) -> None:
        self._newest = tuple(points)
        if not self.rests:
            self.catch_up()

    def rest(self, rests: bool) -> None:
        """Stand still as it is, drawn anew only when something was read; or move again."""
        self.rests = rests
        self.catch_up()
        self.update()

    def catch_up(self) -> None:
        if self._newest != self._points:
            self._points = self._newest
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
        room_px = head.width() - level_px - 2 * pad_px
        captions = RESTING if self.rests else MOVING
        words = next(c for c in captions if not c or words_width(c, self.dress.text_px(CAPTION_PX)) <= room_px)
        pencil.words(head, words, CAPTION_PX, "muted")
        pencil.words(head, level, CAPTION_PX, bold=True, align=RIGHT)
        plot = QRectF(pad_px, head.bottom(), head.width(), area.height() - head.bottom() - self.dress.px(6))
        _draw_wide(pencil, breath_paths(self._points, plot))


def _draw_wide(pencil: Pencil, paths: list[QPainterPath]) -> None:
    """Draw a line some pixels wide as rings of lines one pixel wide: so thin ones are drawn ten times as fast."""
    painter = pencil.painter
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(pencil.palette["ink"], 1.0))
    radius_px = max(0.0, (pencil.dress.px(LINE_PX) - 1.0) / 2)
    while radius_px >= 0.0:
        n_lines = math.ceil(4.0 * radius_px) + 1
        for number in range(n_lines):
            turn = math.tau * number / n_lines
            aside = QPointF(radius_px * math.cos(turn), radius_px * math.sin(turn))
            painter.translate(aside)
            for path in paths:
                painter.drawPath(path)
            painter.translate(-aside)
        radius_px -= 1.0


def breath_paths(points: tuple[BreathPoint, ...], plot: QRectF) -> list[QPainterPath]:
    """One path for every stretch without a gap; the newest point is at the right edge."""
    if not points:
        return []
    times_s = np.array([point.at_s for point in points])
    shown = times_s >= times_s[-1] - SHOWN_S
    levels_dbfs = np.array([point.level_dbfs for point in points])[shown]
    heard_hz = np.array([point.heard_hz or 0.0 for point in points])[shown]
    x_px = plot.right() - (times_s[-1] - times_s[shown]) / SHOWN_S * plot.width()
    gaps = np.flatnonzero(np.diff(times_s[shown]) > GAP_S) + 1
    paths = []
    for place in np.split(np.arange(len(x_px)), gaps):
        y_px = plot.bottom() - _height_share(levels_dbfs[place], heard_hz[place]) * plot.height()
        path = QPainterPath()
        path.addPolygon(QPolygonF([QPointF(*at_px) for at_px in zip(x_px[place].tolist(), y_px.tolist(), strict=True)]))
        paths.append(path)
    return paths


def _height_share(levels_dbfs: Array, heard_hz: Array) -> Array:
    """0 at the foot, about 0.65 for a loud steady note, up to 1; pitch counts from the middle of its own blow."""
    loudness = np.clip((levels_dbfs - QUIET_DBFS) / (LOUD_DBFS - QUIET_DBFS), 0.0, 1.0)
    wander = np.zeros(len(heard_hz))
    edges = np.flatnonzero(np.diff(heard_hz > 0.0, prepend=False, append=False))
    for start, stop in edges.reshape(-1, 2):  # unbroken runs of heard points: one blow each
        blow_hz = heard_hz[start:stop]
        wander[start:stop] = 0.25 * 1200.0 * np.log2(blow_hz / np.median(blow_hz)) / WANDER_CENTS
    share: Array = np.clip(0.65 * loudness + np.clip(wander, -0.35, 0.35), 0.0, 1.0)
    return share
