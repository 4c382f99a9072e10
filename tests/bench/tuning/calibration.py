"""How the truth lies about the belief: stated deviations against shares that held, as a table and as a picture."""
from __future__ import annotations

import os
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from tests.bench.tuning.score import Outcome

STATED_SD = (0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0)
SIZE, EDGE = 420, 50


def scores_of(outcomes: list[Outcome]) -> NDArray[np.float64]:
    """Truth less belief in stated standard deviations."""
    return np.array([(o.true_cents - o.belief_cents) / o.belief_sd_cents for o in outcomes
                     if o.belief_cents is not None and o.belief_sd_cents is not None])


def calibration_table(outcomes: list[Outcome]) -> str:
    sizes = np.abs(scores_of(outcomes))
    lines = [f"calibration of {len(sizes)} chambers", " stated sd  expected %  held %"]
    for stated in STATED_SD:
        lines.append(f"{stated:10.2f} {100 * expected(stated):11.1f} {100 * np.mean(sizes <= stated):7.1f}")
    return "\n".join(lines)


def expected(stated_sd: float) -> float:
    return 2.0 * NormalDist().cdf(stated_sd) - 1.0


def draw_calibration(outcomes: list[Outcome], path: str) -> None:
    """Expected shares to the right, held shares upwards; on the diagonal the belief says what is so."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtCore import QPointF, Qt
    from PySide6.QtGui import QColor, QGuiApplication, QImage, QPainter, QPen, QPolygonF

    app = QGuiApplication.instance() or QGuiApplication([])
    sizes = np.abs(scores_of(outcomes))
    image = QImage(SIZE + 2 * EDGE, SIZE + 2 * EDGE, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)

    def at(share: float, held: float) -> QPointF:
        return QPointF(EDGE + SIZE * share, EDGE + SIZE * (1.0 - held))

    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor("#999999"), 1.0, Qt.PenStyle.DashLine))
    painter.drawLine(at(0.0, 0.0), at(1.0, 1.0))
    painter.setPen(QPen(QColor("#333333"), 1.0))
    painter.drawRect(EDGE, EDGE, SIZE, SIZE)
    for share in (0.0, 0.5, 1.0):
        painter.drawText(at(share - 0.03, -0.05), f"{100 * share:.0f} %")
        painter.drawText(at(-0.1, share - 0.01), f"{100 * share:.0f} %")
    painter.drawText(at(0.2, -0.1), "should lie within the stated deviation")
    painter.drawText(at(0.0, 1.04), "did lie within it")
    stated = np.linspace(0.02, 3.2, 160)
    held = [float(np.mean(sizes <= each)) for each in stated]
    painter.setPen(QPen(QColor("#205080"), 2.5))
    painter.drawPolyline(QPolygonF([at(expected(s), h) for s, h in zip(stated, held, strict=True)]))
    painter.end()
    if not image.save(path):
        raise OSError(f"the picture could not be written to {path}")
    del app
