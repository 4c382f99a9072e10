"""A small table in lettering as large as its place allows: the depth of a plug is read from across the bench."""
from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF

from app.ui.painted import Painted, Pencil, words_width
from app.view import TableRow

HEADING_PX = 15
LEAST_PX = 21
COLUMN_GAP_EM = 0.55
ROW_PITCH = 1.35  # in ems
MOST_EM_OF_ROOM = 0.5  # a table of one row does not fill the whole height


class GlueTable(Painted):
    """The first row holds the headings; the row that is meant is bold and stands on the lighter paper."""

    def __init__(self) -> None:
        super().__init__("Table")
        self._rows: tuple[TableRow, ...] = ()

    def show_table(self, rows: tuple[TableRow, ...]) -> None:
        self._rows = rows
        head, *body = rows or (TableRow(()),)
        said = [[f"{name} {cell}".strip() for name, cell in zip(head.cells, row.cells, strict=True)] for row in body]
        self.tell(". ".join(", ".join(cells) for cells in said))

    def least_height(self) -> float:
        """The height below which its words would be too small."""
        return self._heading_height() + len(self._rows[1:]) * ROW_PITCH * self.dress.text_px(LEAST_PX)

    def cap_height_px(self) -> float:
        """Of the figures, as they are drawn now."""
        return 0.73 * self._size_px()

    def draw(self, pencil: Pencil) -> None:
        if not self._rows:
            return
        size_px, top_px = self._size_px(), self._heading_height()
        lefts_px = self._lefts(size_px)
        for left_px, heading in zip(lefts_px, self._rows[0].cells, strict=True):
            pencil.words(QRectF(left_px, 0, self.width() - left_px, top_px), heading, HEADING_PX, "muted")
        row_px = size_px * ROW_PITCH
        for row in self._rows[1:]:
            if row.meant:
                pencil.painter.fillRect(QRectF(0, top_px, self.width(), row_px), pencil.palette["card"])
            baseline_px = top_px + row_px / 2 + size_px * 0.36
            for column, (left_px, cell) in enumerate(zip(lefts_px, row.cells, strict=True)):
                pencil.line(QPointF(left_px, baseline_px), cell, size_px, bold=row.meant or column == 0)
            pencil.painter.setPen(pencil.stroke("line", 1.0))
            pencil.painter.drawLine(QPointF(0, top_px), QPointF(self.width(), top_px))
            top_px += row_px

    def _heading_height(self) -> float:
        return self.dress.text_px(HEADING_PX) * 1.45

    def _columns(self, size_px: float) -> list[float]:
        """The width that each column needs."""
        heading_px = self.dress.text_px(HEADING_PX)
        return [
            max([words_width(head, heading_px), *(words_width(row.cells[at], size_px, True) for row in self._rows[1:])])
            for at, head in enumerate(self._rows[0].cells)
        ]

    def _lefts(self, size_px: float) -> list[float]:
        """Where the columns begin: the room that is left over goes between them."""
        columns = self._columns(size_px)
        inset_px = self.dress.px(8)
        free_px = self.width() - 2 * inset_px - sum(columns)
        gap_px = min(max(free_px / max(1, len(columns) - 1), 0.0), size_px * 2)
        lefts = [inset_px]
        for width_px in columns[:-1]:
            lefts.append(lefts[-1] + width_px + gap_px)
        return lefts

    def _size_px(self) -> float:
        """As large as rows and columns fit."""
        if len(self._rows) < 2:
            return self.dress.text_px(LEAST_PX)
        room_px = self.height() - self._heading_height()
        tall_px = min(room_px / (len(self._rows) - 1) / ROW_PITCH, room_px * MOST_EM_OF_ROOM)
        wide_px = sum(self._columns(100.0)) / 100.0 + COLUMN_GAP_EM * (len(self._rows[0].cells) - 1)
        return max(1.0, min(tall_px, (self.width() - 2 * self.dress.px(8)) / wide_px))
