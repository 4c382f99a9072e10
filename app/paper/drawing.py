"""A page in the making: marks are put on it one by one, words are wrapped, areas are hatched."""
from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.paper.lettering import LEADING_EM, MM_PER_PT, RISE_EM, fitted, width_mm, wrapped
from app.paper.model import (
    MARGIN_MM,
    Align,
    Box,
    Circle,
    Line,
    Mark,
    Page,
    PageSize,
    Stroke,
    Weight,
    Words,
    line_of_words,
)

_SMALLEST = 0.65  # of its size: no smaller is what must be whole written before its end is left off


class Drawing:
    """One page; `inner` is what lies within its margins."""

    def __init__(self, size: PageSize) -> None:
        self.size = size
        self.inner = Box(MARGIN_MM, MARGIN_MM, size.width_mm - MARGIN_MM, size.height_mm - MARGIN_MM)
        self.marks: list[Mark] = []

    def page(self) -> Page:
        return Page(self.size, tuple(self.marks))

    def line(
        self, x1_mm: float, y1_mm: float, x2_mm: float, y2_mm: float, weight: Weight = Weight.PLAIN,
        stroke: Stroke = Stroke.WHOLE,
    ) -> None:
        self.marks.append(Line(x1_mm, y1_mm, x2_mm, y2_mm, weight, stroke))

    def circle(
        self, x_mm: float, y_mm: float, radius_mm: float, weight: Weight = Weight.PLAIN,
        stroke: Stroke = Stroke.WHOLE,
    ) -> None:
        self.marks.append(Circle(x_mm, y_mm, radius_mm, weight, stroke))

    def dot(self, x_mm: float, y_mm: float, radius_mm: float) -> None:
        self.marks.append(Circle(x_mm, y_mm, radius_mm, filled=True))

    def frame(self, box: Box, weight: Weight = Weight.PLAIN, stroke: Stroke = Stroke.WHOLE) -> None:
        left, top, right, bottom = box.left_mm, box.top_mm, box.right_mm, box.bottom_mm
        for corners in ((left, top, right, top), (right, top, right, bottom), (right, bottom, left, bottom),
                        (left, bottom, left, top)):
            self.line(*corners, weight, stroke)

    def hatch(self, box: Box, step_mm: float = 1.6, weight: Weight = Weight.THIN) -> None:
        """Parallel lines at 45 degrees within the box."""
        for ends in hatch_lines(box, step_mm):
            self.line(*ends, weight)

    def write(
        self, x_mm: float, y_mm: float, words: str, size_pt: float, *, bold: bool = False, align: Align = Align.LEFT,
        upward: bool = False, most_mm: float | None = None, whole: bool = False,
    ) -> Words:
        """One line on its baseline; where `most_mm` is too little its end gives way to an ellipsis.

        What must be read to its end is `whole`: it is written smaller first.
        """
        if most_mm is not None:
            if whole and words:
                share = most_mm / width_mm(words, size_pt, bold) * (1.0 - 1e-9)  # else rounding takes the last letters
                size_pt = max(min(size_pt, size_pt * share), _SMALLEST * size_pt)
            words = fitted(words, most_mm, size_pt, bold)
        mark = line_of_words(x_mm, y_mm, words, size_pt, bold=bold, align=align, upward=upward)
        if words:
            self.marks.append(mark)
        return mark

    def paragraph(
        self, x_mm: float, top_mm: float, words: str, size_pt: float, room_mm: float, *, bold: bool = False,
        most_lines: int | None = None,
    ) -> float:
        """Wrapped lines from `top_mm` down; returns where the next may begin."""
        lines = wrapped(words, room_mm, size_pt, bold)
        if most_lines is not None and len(lines) > most_lines:
            kept = lines[:most_lines]
            kept[-1] = fitted(f"{kept[-1]} {lines[most_lines]}…", room_mm, size_pt, bold)
            lines = kept
        for line in lines:
            self.write(x_mm, top_mm + RISE_EM * size_pt * MM_PER_PT, line, size_pt, bold=bold)
            top_mm += leading_mm(size_pt)
        return top_mm

    def entry(
        self, x_mm: float, y_mm: float, label: str, right_mm: float, size_pt: float = 9.5, told: str = "",
    ) -> None:
        """A label, and what is told after it, or a line to write upon."""
        start_mm = self.write(x_mm, y_mm, label, size_pt).box.right_mm + 2.0
        if told:
            self.write(start_mm, y_mm, told, size_pt, bold=True, most_mm=right_mm - start_mm, whole=True)
        else:
            self.line(start_mm, y_mm + 0.6, right_mm, y_mm + 0.6, Weight.THIN)


def leading_mm(size_pt: float) -> float:
    """From one baseline to the next."""
    return LEADING_EM * size_pt * MM_PER_PT


def paragraph_height_mm(words: str, size_pt: float, room_mm: float, bold: bool = False) -> float:
    """What `Drawing.paragraph` will take."""
    return len(wrapped(words, room_mm, size_pt, bold)) * leading_mm(size_pt)


def widest_mm(lines: Sequence[str], size_pt: float, bold: bool = False) -> float:
    return max((width_mm(line, size_pt, bold) for line in lines), default=0.0)


def hatch_lines(box: Box, step_mm: float) -> Iterator[tuple[float, float, float, float]]:
    """Ends of the lines x + y = k that cross the box, evenly apart."""
    apart_mm = step_mm * math.sqrt(2.0)
    first = box.left_mm + box.top_mm
    k = first + apart_mm / 2.0
    while k < box.right_mm + box.bottom_mm:
        x1 = max(box.left_mm, k - box.bottom_mm)
        x2 = min(box.right_mm, k - box.top_mm)
        yield x1, k - x1, x2, k - x2
        k += apart_mm
