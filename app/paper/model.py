"""A sheet as plain data: lines, circles and words in mm, in black, on a page of a known size. No window library.

x runs to the right and y down from the page's upper left corner. What is on a page is drawn at its true size.
"""
from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, StrEnum
from typing import Final

from app.paper.lettering import DROP_EM, MM_PER_PT, RISE_EM, width_mm

MARGIN_MM: Final = 12.0  # no common printer leaves more of a page blank
DOT_MM: Final = 0.3


class Weight(Enum):
    """Widths of line in mm, each twice the one before."""

    THIN = 0.13
    PLAIN = 0.25
    STRONG = 0.5
    HEAVY = 1.0


class Stroke(Enum):
    """Lengths in mm of dash and gap, in turn."""

    WHOLE = ()
    DASHED = (2.4, 1.2)
    CENTRE = (5.0, 1.0, 0.8, 1.0)  # an axis


class Align(StrEnum):
    LEFT = "left"
    MIDDLE = "middle"
    RIGHT = "right"


@dataclass(frozen=True)
class PageSize:
    name: str
    width_mm: float
    height_mm: float


A4 = PageSize("A4", 210.0, 297.0)  # ISO 216
LETTER = PageSize("Letter", 215.9, 279.4)  # ANSI/ASME Y14.1, size A: 8 1/2 by 11 in
PAGE_SIZES: Final = {size.name: size for size in (A4, LETTER)}


@dataclass(frozen=True)
class Box:
    """An upright rectangle on the page."""

    left_mm: float
    top_mm: float
    right_mm: float
    bottom_mm: float

    @property
    def width_mm(self) -> float:
        return self.right_mm - self.left_mm

    @property
    def height_mm(self) -> float:
        return self.bottom_mm - self.top_mm

    def overlaps(self, other: Box) -> bool:
        return (
            self.left_mm < other.right_mm and other.left_mm < self.right_mm
            and self.top_mm < other.bottom_mm and other.top_mm < self.bottom_mm
        )


@dataclass(frozen=True)
class Line:
    x1_mm: float
    y1_mm: float
    x2_mm: float
    y2_mm: float
    weight: Weight = Weight.PLAIN
    stroke: Stroke = Stroke.WHOLE


@dataclass(frozen=True)
class Circle:
    x_mm: float
    y_mm: float
    radius_mm: float
    weight: Weight = Weight.PLAIN
    stroke: Stroke = Stroke.WHOLE
    filled: bool = False


@dataclass(frozen=True)
class Words:
    """One line of words on its baseline; `room_mm` is the width it may take, which the painter keeps to."""

    x_mm: float
    y_mm: float
    words: str
    size_pt: float
    room_mm: float
    bold: bool = False
    align: Align = Align.LEFT
    upward: bool = False  # turned a quarter to the left

    @property
    def box(self) -> Box:
        before_mm = {Align.LEFT: 0.0, Align.MIDDLE: 0.5, Align.RIGHT: 1.0}[self.align] * self.room_mm
        rise_mm, drop_mm = RISE_EM * self.size_pt * MM_PER_PT, DROP_EM * self.size_pt * MM_PER_PT
        if self.upward:
            bottom_mm = self.y_mm + before_mm
            return Box(self.x_mm - rise_mm, bottom_mm - self.room_mm, self.x_mm + drop_mm, bottom_mm)
        left_mm = self.x_mm - before_mm
        return Box(left_mm, self.y_mm - rise_mm, left_mm + self.room_mm, self.y_mm + drop_mm)


Mark = Line | Circle | Words


@dataclass(frozen=True)
class Page:
    size: PageSize
    marks: tuple[Mark, ...]


@dataclass(frozen=True)
class Sheet:
    """One paper of one page or more; `title` goes into the file."""

    name: str  # "template", "cuts"…: also the end of its file's name
    title: str
    pages: tuple[Page, ...]


def line_of_words(
    x_mm: float, y_mm: float, words: str, size_pt: float, *, bold: bool = False, align: Align = Align.LEFT,
    upward: bool = False,
) -> Words:
    """Words that take the room they need."""
    return Words(x_mm, y_mm, words, size_pt, width_mm(words, size_pt, bold), bold, align, upward)
