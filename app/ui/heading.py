"""The head of the bench: whose whistle, whether it is heard, the air; and the band that says what went wrong."""
from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt

from app.ui.painted import LEFT, RIGHT, Painted, Pencil, words_height, words_width

TITLE_PX = 22
HEARING_PX = 18
SMALL_PX = 14
GAP_PX = 24


@dataclass(frozen=True)
class Half:
    """The left or the right of one line."""

    text: str
    size: float
    colour: str
    bold: bool


class Heading(Painted):
    """Title and hearing on one line where they fit, under one another where they do not."""

    def __init__(self) -> None:
        super().__init__("Whistle and microphone")
        self._title = self._subtitle = self._hearing = self._conditions = ""
        self._hearing_ok = True
        self.short = False  # title and hearing alone: the page itself shows the rest, below

    def show_heading(self, title: str, subtitle: str, hearing: str, hearing_ok: bool, conditions: str) -> None:
        self._title, self._subtitle, self._conditions = title, subtitle, conditions
        self._hearing = hearing if hearing_ok else f"! {hearing}"
        self._hearing_ok = hearing_ok
        self.tell(f"{title}, {subtitle}. {hearing}. {conditions}")

    def _rows(self) -> list[tuple[Half, Half]]:
        """Two lines of two halves; a line whose halves do not fit side by side becomes two."""
        title, hearing = Half(self._title, TITLE_PX, "ink", True), Half(self._hearing, HEARING_PX, "ink", True)
        small = [Half(text, SMALL_PX, "muted", False) for text in (self._subtitle, self._conditions)]
        rows = []
        for left, right in ((title, hearing),) if self.short else ((title, hearing), (small[0], small[1])):
            needed_px = sum(words_width(half.text, self.dress.text_px(half.size), half.bold) for half in (left, right))
            if needed_px + self.dress.px(GAP_PX + 16) <= self.width():
                rows.append((left, right))
            else:
                rows += [(left, Half("", left.size, "ink", False)), (right, Half("", right.size, "ink", False))]
        return rows

    def _row_height(self, row: tuple[Half, Half]) -> float:
        one_px = self.dress.text_px(max(half.size for half in row)) * 1.22
        return max(one_px, *(words_height(h.text, self.dress.text_px(h.size), self.width(), h.bold) for h in row))

    def wanted_height(self, width_px: float) -> float:
        self.resize(round(width_px), self.height())
        return sum(self._row_height(row) for row in self._rows()) + self.dress.px(12)

    def draw(self, pencil: Pencil) -> None:
        top_px = 0.0
        for left, right in self._rows():
            frame = QRectF(0, top_px, self.width(), self._row_height((left, right)))
            for half, align in ((left, LEFT), (right, RIGHT)):
                if half.text == self._hearing and not self._hearing_ok:
                    self._draw_not_hearing(pencil, frame, align)
                else:
                    pencil.words(frame, half.text, half.size, half.colour, bold=half.bold, align=align, middle=True)
            top_px = frame.bottom()
        pencil.painter.setPen(pencil.stroke("line", 1.2))
        foot_px = round(self.height() - self.dress.px(2))
        pencil.painter.drawLine(0, foot_px, self.width(), foot_px)

    def _draw_not_hearing(self, pencil: Pencil, line: QRectF, align: Qt.AlignmentFlag) -> None:
        """Framed, with a mark before it: seen without reading it."""
        width_px = words_width(self._hearing, self.dress.text_px(HEARING_PX), True) + self.dress.px(14)
        width_px = min(width_px, line.width() - 2)
        left_px = line.right() - width_px - 1 if align == RIGHT else line.left() + 1
        frame = QRectF(left_px, line.top() + 1, width_px, line.height() - 2)
        pencil.painter.setPen(pencil.stroke("ink", 2.4))
        pencil.painter.setBrush(Qt.BrushStyle.NoBrush)
        pencil.painter.drawRect(frame)
        pencil.words(frame, self._hearing, HEARING_PX, bold=True, align=Qt.AlignmentFlag.AlignHCenter, middle=True)


class HeadingRest(Painted):
    """Subtitle and conditions, where the heading has no room for them."""

    def __init__(self) -> None:
        super().__init__("Whistle and air")
        self._texts: tuple[str, ...] = ()

    def show_rest(self, subtitle: str, conditions: str) -> None:
        self._texts = (subtitle, conditions)
        self.tell(f"{subtitle}. {conditions}")

    def wanted_height(self, width_px: float) -> float:
        return sum(words_height(text, self.dress.text_px(SMALL_PX), width_px) for text in self._texts)

    def draw(self, pencil: Pencil) -> None:
        top_px = 0.0
        for text in self._texts:
            top_px += pencil.words(QRectF(0, top_px, self.width(), self.height()), text, SMALL_PX, "muted")


class TroubleBand(Painted):
    """Ink turned round: paper letters on a band of ink across the whole bench, behind a large mark."""

    TROUBLE_PX = 21

    def __init__(self) -> None:
        super().__init__("Trouble")
        self._text = ""

    def show_trouble(self, text: str) -> None:
        self._text = text
        self.tell(text)

    def _mark_width(self) -> float:
        return self.dress.px(28) + self.dress.text_px(self.TROUBLE_PX)

    def wanted_height(self, width_px: float) -> float:
        if not self._text:
            return 0.0
        room_px = width_px - self._mark_width() - self.dress.px(14)
        return words_height(self._text, self.dress.text_px(self.TROUBLE_PX), room_px, bold=True) + self.dress.px(16)

    def draw(self, pencil: Pencil) -> None:
        pencil.painter.fillRect(self.area(), pencil.palette["ink"])
        mark = QRectF(0, 0, self._mark_width(), self.height())
        pencil.words(mark, "!", self.TROUBLE_PX * 1.5, "paper", bold=True, align=Qt.AlignmentFlag.AlignHCenter,
                     middle=True)
        frame = self.area().adjusted(mark.width(), self.dress.px(8), -self.dress.px(14), 0)
        pencil.words(frame, self._text, self.TROUBLE_PX, "paper", bold=True)
