"""Sheets side by side as a picture for the pages: ``python -m tests.ui.paper_shots OUT.png``."""
from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QImage, QPainter

from app.paper.job import job_of
from app.paper.painter import picture_of, ready_without_window
from app.paper.sheets import SHEETS
from tests.app.paper_jobs import sample

DOTS_PER_MM, APART_PX, TABLE = 2.6, 24, "#d8d2c6"
SHOWN = ("template", "steps", "card")  # the first page of each


def sheets_side_by_side() -> QImage:
    """White pages on a table."""
    job = job_of(sample("quay-diminished-seventh"), given_to="Tamsin", maker="the Tidewick guild", day="4 March 2026")
    pages = [picture_of(SHEETS[name](job).pages[0], DOTS_PER_MM) for name in SHOWN]
    width = sum(page.width() for page in pages) + APART_PX * (len(pages) + 1)
    whole = QImage(width, pages[0].height() + 2 * APART_PX, QImage.Format.Format_RGB32)
    whole.fill(QColor(TABLE))
    painter = QPainter(whole)
    x = APART_PX
    for page in pages:
        painter.drawImage(QPointF(x, APART_PX), page)
        x += page.width() + APART_PX
    painter.end()
    return whole.convertToFormat(QImage.Format.Format_Grayscale8)


if __name__ == "__main__":
    ready_without_window()
    sheets_side_by_side().save(sys.argv[1] if len(sys.argv) > 1 else str(Path("papers.png")))
