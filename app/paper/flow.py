"""A sheet that runs on over as many pages as it needs: nothing is ever cut off at the foot of one."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.paper.cautioned import caution_height_mm, draw_caution
from app.paper.drawing import Drawing, leading_mm, paragraph_height_mm
from app.paper.figures import Figure
from app.paper.heading import footed, headed
from app.paper.job import Job
from app.paper.lettering import MM_PER_PT, RISE_EM, wrapped
from app.paper.model import Align, Box, Sheet, Weight
from app.view import Caution

SECTION_PT, TEXT_PT, MAIN_PT, ALSO_PT, COLUMN_PT = 11.0, 9.5, 11.0, 8.0, 8.0
_PAD_MM = 1.2
TICK_MM = 3.6
CAUTION_GAP_MM = 3.0  # above the caution of what was just told

class Tick:
    """A cell with a box to be ticked."""


Cell = Figure | Tick | str


@dataclass(frozen=True)
class Column:
    heading: str
    share: float  # of the table's width
    align: Align = Align.LEFT


class Flow:
    """Where the next thing goes: `y_mm` on `drawing`, within `room`."""

    def __init__(self, job: Job, name: str, title: str) -> None:
        self.job, self._name, self._title = job, name, title
        self._pages: list[Drawing] = []
        self.drawing, self.room, self.y_mm = self._begun()

    @property
    def left_mm(self) -> float:
        return self.room.left_mm

    @property
    def right_mm(self) -> float:
        return self.room.right_mm

    @property
    def rest_mm(self) -> float:
        """What is left of this page."""
        return self.room.bottom_mm - self.y_mm

    def new_page(self) -> None:
        self.drawing, self.room, self.y_mm = self._begun()

    def need(self, height_mm: float) -> None:
        """A new page when so much does not fit on this one any more."""
        if height_mm > self.rest_mm and self.y_mm > self.room.top_mm:
            self.new_page()

    def space(self, height_mm: float) -> None:
        self.y_mm += height_mm

    def section(self, words: str, with_at_least_mm: float = 20.0) -> None:
        """A heading that is never left alone at the foot of a page."""
        self.need(leading_mm(SECTION_PT) + with_at_least_mm)
        self.y_mm = self.drawing.paragraph(self.left_mm, self.y_mm, words, SECTION_PT, self.room.width_mm, bold=True)
        self.space(0.8)

    def paragraph(
        self, words: str, size_pt: float = TEXT_PT, *, bold: bool = False, with_caution: Caution | None = None,
    ) -> None:
        """Text over the whole width; the caution that is to follow it stays on its page."""
        below_mm = caution_height_mm(with_caution, self.room.width_mm) + CAUTION_GAP_MM if with_caution else 0.0
        self.need(paragraph_height_mm(words, size_pt, self.room.width_mm, bold) + below_mm)
        self.y_mm = self.drawing.paragraph(self.left_mm, self.y_mm, words, size_pt, self.room.width_mm, bold=bold)

    def bullet(self, words: str, size_pt: float = TEXT_PT) -> None:
        """An item of a list."""
        room_mm = self.room.width_mm - 4.0
        self.need(paragraph_height_mm(words, size_pt, room_mm))
        self.drawing.line(self.left_mm, self.y_mm + 1.9, self.left_mm + 2.0, self.y_mm + 1.9)
        self.y_mm = self.drawing.paragraph(self.left_mm + 4.0, self.y_mm, words, size_pt, room_mm) + 0.8

    def caution(self, caution: Caution) -> None:
        """Over the whole width, where its step is."""
        self.need(caution_height_mm(caution, self.room.width_mm))
        self.y_mm = draw_caution(self.drawing, caution, self.left_mm, self.y_mm, self.room.width_mm) + 4.0

    def tick(self, left_mm: float, top_mm: float) -> None:
        """A box for the pencil."""
        self.drawing.frame(Box(left_mm, top_mm, left_mm + TICK_MM, top_mm + TICK_MM))

    def table(
        self, columns: Sequence[Column], rows: Sequence[Sequence[Cell]], *, least_row_mm: float = 0.0,
        ruled: bool = False,
    ) -> None:
        """Headings are said again on a new page; `ruled` draws upright lines too, for cells to be written in."""
        edges_mm = self._edges(columns)
        self._table_head(columns, edges_mm, least_row_mm or 8.0)
        for row in rows:
            height_mm = max(least_row_mm, _row_height_mm(row))
            if height_mm > self.rest_mm:
                self.new_page()
                self._table_head(columns, edges_mm, height_mm)
            self._row(columns, edges_mm, row, height_mm, ruled)
        self.space(3.0)

    def sheet(self) -> Sheet:
        """All pages, numbered."""
        for number, drawing in enumerate(self._pages, 1):
            footed(drawing, number, len(self._pages))
        title = f"{self.job.whistle.name}: {self._title.lower()}"
        return Sheet(self._name, title, tuple(drawing.page() for drawing in self._pages))

    def _begun(self) -> tuple[Drawing, Box, float]:
        drawing, room = headed(self.job, self._title)
        self._pages.append(drawing)
        return drawing, room, room.top_mm

    def _edges(self, columns: Sequence[Column]) -> list[float]:
        whole = sum(column.share for column in columns)
        edges_mm = [self.left_mm]
        for column in columns:
            edges_mm.append(edges_mm[-1] + self.room.width_mm * column.share / whole)
        return edges_mm

    def _table_head(self, columns: Sequence[Column], edges_mm: Sequence[float], row_mm: float) -> None:
        headings = [
            wrapped(column.heading, edges_mm[i + 1] - edges_mm[i] - 2.0 * _PAD_MM, COLUMN_PT)
            for i, column in enumerate(columns)
        ]
        height_mm = max(len(lines) for lines in headings) * leading_mm(COLUMN_PT)
        self.need(height_mm + row_mm + 1.0)
        for i, (column, lines) in enumerate(zip(columns, headings, strict=True)):
            top_mm = self.y_mm + height_mm - len(lines) * leading_mm(COLUMN_PT)
            is_letter = len(column.heading) == 1
            for number, line in enumerate(lines):
                baseline_mm = top_mm + number * leading_mm(COLUMN_PT) + RISE_EM * COLUMN_PT * MM_PER_PT
                self.drawing.write(_anchor_mm(column.align, edges_mm[i], edges_mm[i + 1]), baseline_mm, line,
                                   MAIN_PT if is_letter else COLUMN_PT, bold=is_letter, align=column.align)
        self.y_mm += height_mm + 0.6
        self.drawing.line(self.left_mm, self.y_mm, self.right_mm, self.y_mm, Weight.STRONG)

    def _row(
        self, columns: Sequence[Column], edges_mm: Sequence[float], row: Sequence[Cell], height_mm: float, ruled: bool
    ) -> None:
        bottom_mm = self.y_mm + height_mm
        for i, (column, cell) in enumerate(zip(columns, row, strict=True)):
            x_mm = _anchor_mm(column.align, edges_mm[i], edges_mm[i + 1])
            if isinstance(cell, Tick):
                self.tick(x_mm - TICK_MM / 2.0, self.y_mm + 1.6)
                continue
            main, also = (cell.main, cell.also) if isinstance(cell, Figure) else (cell, "")
            room_mm = edges_mm[i + 1] - edges_mm[i] - 2.0 * _PAD_MM
            baseline_mm = self.y_mm + 1.2 + RISE_EM * MAIN_PT * MM_PER_PT
            self.drawing.write(x_mm, baseline_mm, main, MAIN_PT, bold=isinstance(cell, Figure), align=column.align,
                               most_mm=room_mm, whole=True)
            self.drawing.write(x_mm, baseline_mm + leading_mm(ALSO_PT), also, ALSO_PT, align=column.align,
                               most_mm=room_mm, whole=True)
        if ruled:
            for edge_mm in edges_mm:
                self.drawing.line(edge_mm, self.y_mm, edge_mm, bottom_mm, Weight.THIN)
        self.drawing.line(self.left_mm, bottom_mm, self.right_mm, bottom_mm, Weight.THIN)
        self.y_mm = bottom_mm


def _row_height_mm(row: Sequence[Cell]) -> float:
    two = any(isinstance(cell, Figure) and cell.also for cell in row)
    return 1.2 + leading_mm(MAIN_PT) + (leading_mm(ALSO_PT) if two else 0.0) + 0.6


def _anchor_mm(align: Align, left_mm: float, right_mm: float) -> float:
    if align is Align.MIDDLE:
        return (left_mm + right_mm) / 2.0
    return right_mm - _PAD_MM if align is Align.RIGHT else left_mm + _PAD_MM
