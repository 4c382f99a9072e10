"""The room view: letter and sentence alone, to be read from the back of the shop."""
from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

from PySide6.QtCore import QPointF
from PySide6.QtGui import QFontMetricsF, QMouseEvent

from app.ui.painted import Painted, Pencil, fitted_size_px, unbroken
from app.ui.theme import lettering

STRETCH = 80
PITCH = 1.03  # of the lines, in ems
MOST_LINES = 3  # that each line of the sentence may be broken into


class RoomView(Painted):
    """Covers the bench; F, Escape or a click puts it away."""

    def __init__(self, close: Callable[[], object]) -> None:
        super().__init__("Room view")
        self._letter = ""
        self._sentence: tuple[str, ...] = ()
        self._close = close
        self.hide()

    def show_sentence(self, letter: str, sentence: tuple[str, str]) -> None:
        self._letter, self._sentence = letter, tuple(line for line in sentence if line)
        self.tell(", ".join(self._sentence))

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        self._close()

    def _letter_px(self) -> float:
        return min(self.height() * 0.42, self.width() * 0.17) if self._letter else 0.0

    def _sentence_room(self) -> tuple[float, float, float]:
        """Left, width and height for the sentence."""
        pad_px = self.dress.px(22)
        letter_px = QFontMetricsF(lettering(self._letter_px() or 1, True)).horizontalAdvance(self._letter)
        left_px = pad_px + (letter_px + pad_px if self._letter else 0)
        return left_px, self.width() - left_px - pad_px * 0.7, self.height() - pad_px

    def lines(self) -> tuple[tuple[str, ...], float]:
        """The sentence broken so that its lettering is largest, and that size."""
        _left_px, width_px, height_px = self._sentence_room()
        choices: list[tuple[str, ...]] = [()]
        for line in self._sentence:
            choices = [before + broken for before in choices for broken in breakings(line, MOST_LINES)]
        sized = [(fitted_size_px(lines, width_px, height_px, STRETCH, PITCH), -len(lines), lines) for lines in choices]
        size_px, _n_lines, lines = max(sized)
        return lines, size_px

    def cap_height_px(self) -> float:
        return QFontMetricsF(lettering(self.lines()[1], True, STRETCH)).capHeight()

    def draw(self, pencil: Pencil) -> None:
        pencil.painter.fillRect(self.area(), pencil.palette["paper"])
        lines, size_px = self.lines()
        left_px, _width_px, _height_px = self._sentence_room()
        baseline_px = (self.height() - size_px * PITCH * len(lines)) / 2 + size_px * 0.84
        for line in lines:
            pencil.line(QPointF(left_px, baseline_px), line, size_px, stretch=STRETCH)
            baseline_px += size_px * PITCH
        if self._letter:
            letter_px = self._letter_px()
            pencil.line(QPointF(self.dress.px(22), self.height() / 2 + letter_px * 0.36), self._letter, letter_px)


def breakings(line: str, most: int) -> list[tuple[str, ...]]:
    """Every way to break a line at spaces into at most so many parts; a number keeps its unit."""
    words = unbroken(line).split(" ")
    found = []
    for n_cuts in range(min(most, len(words))):
        for cuts in combinations(range(1, len(words)), n_cuts):
            edges = [0, *cuts, len(words)]
            found.append(tuple(" ".join(words[a:b]) for a, b in zip(edges, edges[1:], strict=False)))
    return found


