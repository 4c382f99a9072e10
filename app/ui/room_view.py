"""The room view: letter and sentence alone, to be read from the back of the shop; at a club evening, whose turn."""
from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations

from PySide6.QtCore import QPointF
from PySide6.QtGui import QFontMetricsF, QMouseEvent

from app.club_words import Turn
from app.ui.painted import Painted, Pencil, fitted_size_px, unbroken
from app.ui.theme import lettering
from app.view import RoomLines

STRETCH = 80
PITCH = 1.0  # of the lines, in ems: capitals and descenders just pass one another
MOST_LINES = 3  # that each line of the sentence may be broken into
MARGIN_PX = 18
LETTER_SHARES = (0.42, 0.17)  # of the height and of the width
NUMBER_SHARES = {1: (0.5, 0.26), 2: (0.5, 0.18)}  # by how many figures it has
NAME_SHARE = 0.12  # of the height
FOOT_SHARES = (0.13, 0.24)  # of the height: for one line of a turn's foot, and for two


class RoomView(Painted):
    """Covers the bench; F, Escape or a click puts it away."""

    def __init__(self, close: Callable[[], object]) -> None:
        super().__init__("Room view")
        self._of_bench = RoomLines("", ())
        self._turn: Turn | None = None
        self._close = close
        self.hide()

    def show_lines(self, shown: RoomLines) -> None:
        self._of_bench = shown
        self._tell_all()

    def show_turn(self, turn: Turn | None) -> None:
        """A number in place of the chamber's letter; None goes back to that."""
        if turn != self._turn:
            self._turn = turn
            self._tell_all()

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        self._close()

    def _tell_all(self) -> None:
        shown, turn = self._of_bench, self._turn
        if turn is None:
            told = (f"chamber {shown.letter}" if shown.letter else "", *shown.lines)
        else:
            told = (f"number {turn.number}", turn.name, *turn.sentence, *turn.foot)
        self.tell(", ".join(words for words in told if words))

    @property
    def _letter(self) -> str:
        return self._of_bench.letter if self._turn is None else str(self._turn.number)

    @property
    def _sentence(self) -> tuple[str, ...]:
        return self._of_bench.lines if self._turn is None else self._turn.sentence

    @property
    def _foot(self) -> tuple[str, ...]:
        return () if self._turn is None else self._turn.foot

    @property
    def _name(self) -> tuple[str, ...]:
        return (self._turn.name,) if self._turn is not None and self._turn.name else ()

    # ---- sizes -----------------------------------------------------------------------------------------------------
    def _letter_px(self) -> float:
        tall, wide = LETTER_SHARES if self._turn is None else NUMBER_SHARES[min(len(self._letter), 2)]
        return min(self.height() * tall, self.width() * wide) if self._letter else 0.0

    def _name_px(self) -> float:
        """Height for the name."""
        return self.height() * NAME_SHARE if self._name else 0.0

    def _foot_px(self) -> float:
        """Height for the foot."""
        return self.height() * FOOT_SHARES[min(len(self._foot), 2) - 1] if self._foot else 0.0

    def _sentence_room(self) -> tuple[float, float, float]:
        """Left, width and height for the sentence."""
        pad_px = self.dress.px(MARGIN_PX)
        letter_px = QFontMetricsF(lettering(self._letter_px() or 1, True)).horizontalAdvance(self._letter)
        left_px = pad_px + (letter_px + pad_px if self._letter else 0)
        height_px = self.height() - self._name_px() - self._foot_px() - pad_px * 0.7
        return left_px, self.width() - left_px - pad_px * 0.7, height_px

    def lines(self) -> tuple[tuple[str, ...], float]:
        """The sentence broken so that its lettering is largest, and that size."""
        _left_px, width_px, height_px = self._sentence_room()
        return largest(self._sentence, width_px, height_px)

    def name_lines(self) -> tuple[tuple[str, ...], float]:
        """The name, in one line of its own."""
        width_px = self.width() - 2 * self.dress.px(MARGIN_PX)
        return self._name, fitted_size_px(self._name, width_px, self._name_px(), STRETCH, PITCH)

    def foot_lines(self) -> tuple[tuple[str, ...], float]:
        """The foot's words, one line each."""
        pad_px = self.dress.px(MARGIN_PX)
        width_px, height_px = self.width() - 2 * pad_px, self._foot_px() - pad_px * 0.7
        return self._foot, fitted_size_px(self._foot, width_px, height_px, STRETCH, PITCH)

    def cap_height_px(self) -> float:
        return _cap_height_px(self.lines()[1], STRETCH)

    def number_height_px(self) -> float:
        """Of the letter, or of the number in its place."""
        return _cap_height_px(self._letter_px(), 100)

    def name_cap_height_px(self) -> float:
        return _cap_height_px(self.name_lines()[1], STRETCH)

    def foot_cap_height_px(self) -> float:
        return _cap_height_px(self.foot_lines()[1], STRETCH)

    # ---- drawn -----------------------------------------------------------------------------------------------------
    def draw(self, pencil: Pencil) -> None:
        pencil.painter.fillRect(self.area(), pencil.palette["paper"])
        name_px, above_px, pad_px = self._name_px(), self.height() - self._foot_px(), self.dress.px(MARGIN_PX)
        left_px, _width_px, _height_px = self._sentence_room()
        middle_px = (name_px + above_px) / 2
        self._write(pencil, left_px, middle_px, *self.lines())
        if self._letter:
            letter_px = self._letter_px()
            pencil.line(QPointF(pad_px, middle_px + letter_px * 0.36), self._letter, letter_px)
        if self._name:
            self._write(pencil, pad_px, name_px / 2 + pad_px * 0.3, *self.name_lines())
        if self._foot:
            pencil.painter.setPen(pencil.stroke("ink", 3))
            pencil.painter.drawLine(QPointF(0, above_px), QPointF(self.width(), above_px))
            self._write(pencil, pad_px, above_px + self._foot_px() / 2, *self.foot_lines())

    def _write(
        self, pencil: Pencil, left_px: float, middle_px: float, lines: Sequence[str], size_px: float
    ) -> None:
        baseline_px = middle_px - size_px * PITCH * len(lines) / 2 + size_px * 0.78
        for line in lines:
            pencil.line(QPointF(left_px, baseline_px), line, size_px, stretch=STRETCH)
            baseline_px += size_px * PITCH


def _cap_height_px(size_px: float, stretch: int) -> float:
    return QFontMetricsF(lettering(size_px, True, stretch)).capHeight()


def largest(lines: Sequence[str], width_px: float, height_px: float) -> tuple[tuple[str, ...], float]:
    """Lines broken so that their lettering is largest, and that size."""
    choices: list[tuple[str, ...]] = [()]
    for line in lines:
        choices = [before + broken for before in choices for broken in breakings(line, MOST_LINES)]
    sized = [(fitted_size_px(each, width_px, height_px, STRETCH, PITCH), -len(each), each) for each in choices]
    size_px, _n_lines, broken = max(sized)
    return broken, size_px


def breakings(line: str, most: int) -> list[tuple[str, ...]]:
    """Every way to break a line at spaces into at most so many parts: a number keeps its unit, and none is one word."""
    words = unbroken(line).split(" ")
    found = []
    for n_cuts in range(min(most, len(words))):
        for cuts in combinations(range(1, len(words)), n_cuts):
            edges = [0, *cuts, len(words)]
            parts = tuple(" ".join(words[a:b]) for a, b in zip(edges, edges[1:], strict=False))
            if not cuts or all(len(part.split()) > 1 for part in parts):  # str.split parts what is tied, too
                found.append(parts)
    return found
