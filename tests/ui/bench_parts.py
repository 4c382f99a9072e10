"""Ways to look at a painted bench: its parts, the words on them, and where both lie."""
from __future__ import annotations

from itertools import combinations

from PySide6.QtCore import QPoint, QRectF
from PySide6.QtWidgets import QWidget

from app.settings import Settings
from app.ui.arrow import Arrow
from app.ui.page import Page
from app.ui.painted import Drawn, TextBox
from app.ui.window import BenchWindow
from app.view import View

ROUNDING_PX = 0.75


def bench_with(view: View, width_px: int = 1280, height_px: int = 800, **settings: object) -> BenchWindow:
    """A window that shows this view, painted once; what it posts is in `window.posted`."""
    posted: list[object] = []
    window = BenchWindow(posted.append, Settings(**{"theme": "light", **settings}))
    window.posted = posted
    window.resize(width_px, height_px)
    window.show()
    window.show_view(view)
    window.grab()
    return window


def drawn_parts(window: BenchWindow) -> list[QWidget]:
    """Every visible part that paints itself, freshly painted, those scrolled out of sight too."""
    parts = [part for part in window.findChildren(QWidget) if isinstance(part, Drawn) and part.isVisible()]
    for part in parts:
        if part.width() and part.height():
            part.grab()
    return parts


def words_on(window: BenchWindow) -> str:
    """All words on the bench, as one text."""
    return " | ".join(box.text for part in drawn_parts(window) for box in part.text_boxes())


def clipped_words(window: BenchWindow) -> list[str]:
    """Words that reach beyond their part."""
    found = []
    for part in drawn_parts(window):
        inside = QRectF(part.rect()).adjusted(-ROUNDING_PX, -ROUNDING_PX, ROUNDING_PX, ROUNDING_PX)
        found += [f"{part.accessibleName()}: {box.text}" for box in part.text_boxes() if not inside.contains(box.rect)]
    return found


def cut_off_parts(window: BenchWindow) -> list[str]:
    """Parts that reach beyond what holds them."""
    found = []
    for part in drawn_parts(window):
        holder = part.parentWidget()
        if not holder.rect().adjusted(-1, -1, 1, 1).contains(part.geometry()):
            found.append(f"{part.accessibleName()} in {holder.accessibleName() or type(holder).__name__}")
    return found


def words_over_words(window: BenchWindow) -> list[str]:
    """Pairs of words of the page that lie over one another."""
    page = window.bench.page
    placed: list[tuple[TextBox, QRectF]] = []
    for part in drawn_parts(window):
        if page.isAncestorOf(part):
            offset = part.mapTo(page, QPoint(0, 0))
            placed += [(box, box.rect.translated(offset)) for box in part.text_boxes()]
    assert placed, "nothing was written: the check would pass on nothing"
    return [
        f"{one.text} / {other.text}" for (one, here), (other, there) in combinations(placed, 2)
        if _depth_px(here.intersected(there)) > max(3.0, 0.2 * min(one.size_px, other.size_px))
    ]


def parts_over_parts(page: Page) -> list[str]:
    """Pairs of parts of the page that lie over one another; only the arrow may."""
    parts = [part for part in page.parts if part.isVisible() and not isinstance(part, Arrow)]
    return [
        f"{one.accessibleName()} / {other.accessibleName()}" for one, other in combinations(parts, 2)
        if _depth_px(QRectF(one.geometry().intersected(other.geometry()))) > 1
    ]


def _depth_px(overlap: QRectF) -> float:
    return min(overlap.width(), overlap.height()) if overlap.isValid() else 0.0
