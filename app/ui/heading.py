"""The head of the bench: whose whistle, whether it is heard, the air; and the band that says what went wrong."""
from __future__ import annotations

from PySide6.QtCore import QRectF, Qt

from app.ui.painted import RIGHT, Painted, Pencil, words_height, words_width

TITLE_PX = 22
HEARING_PX = 18
SMALL_PX = 14
GAP_PX = 24


class Heading(Painted):
    """Title and hearing on one line where they fit, under one another where they do not."""

    def __init__(self) -> None:
        super().__init__("Whistle and microphone")
        self._title = self._subtitle = self._hearing = self._conditions = ""
        self._hearing_ok = True

    def show_heading(self, title: str, subtitle: str, hearing: str, hearing_ok: bool, conditions: str) -> None:
        self._title, self._subtitle, self._conditions = title, subtitle, conditions
        self._hearing = hearing if hearing_ok else f"! {hearing}"
        self._hearing_ok = hearing_ok
        self.tell(f"{title}, {subtitle}. {hearing}. {conditions}")

    def _side_by_side(self, width_px: float) -> bool:
        """Whether both lines have room for their two halves."""
        title = words_width(self._title, self.dress.text_px(TITLE_PX), True)
        hearing = words_width(self._hearing, self.dress.text_px(HEARING_PX), True) + self.dress.px(16)
        small_px = self.dress.text_px(SMALL_PX)
        small = words_width(self._subtitle, small_px) + words_width(self._conditions, small_px)
        return max(title + hearing, small) + self.dress.px(GAP_PX) <= width_px

    def _lines(self) -> list[tuple[str, float, str, bool]]:
        return [
            (self._title, TITLE_PX, "ink", True), (self._subtitle, SMALL_PX, "muted", False),
            (self._hearing, HEARING_PX, "ink", True), (self._conditions, SMALL_PX, "muted", False),
        ]

    def wanted_height(self, width_px: float) -> float:
        if self._side_by_side(width_px):
            return self.dress.text_px(TITLE_PX + SMALL_PX) * 1.22 + self.dress.px(12)
        heights = [words_height(text, self.dress.text_px(size), width_px, bold) for text, size, _, bold in self._lines()]
        return sum(heights) + self.dress.px(14)

    def draw(self, pencil: Pencil) -> None:
        if self._side_by_side(self.width()):
            self._draw_halves(pencil)
        else:
            top_px = 0.0
            for text, size_px, colour, bold in self._lines():
                frame = QRectF(0, top_px, self.width(), self.height())
                top_px += pencil.words(frame, text, size_px, colour, bold=bold)
        pencil.painter.setPen(pencil.stroke("line", 1.2))
        foot_px = self.height() - self.dress.px(2)
        pencil.painter.drawLine(0, round(foot_px), self.width(), round(foot_px))

    def _draw_halves(self, pencil: Pencil) -> None:
        first = QRectF(0, 0, self.width(), self.dress.text_px(TITLE_PX) * 1.22)
        second = QRectF(0, first.bottom(), self.width(), self.dress.text_px(SMALL_PX) * 1.22)
        pencil.words(first, self._title, TITLE_PX, bold=True, middle=True)
        pencil.words(second, self._subtitle, SMALL_PX, "muted", middle=True)
        pencil.words(second, self._conditions, SMALL_PX, "muted", align=RIGHT, middle=True)
        if self._hearing_ok:
            pencil.words(first, self._hearing, HEARING_PX, bold=True, align=RIGHT, middle=True)
        else:
            self._draw_not_hearing(pencil, first)

    def _draw_not_hearing(self, pencil: Pencil, line: QRectF) -> None:
        """Framed, with a mark before it: seen without reading it."""
        width_px = words_width(self._hearing, self.dress.text_px(HEARING_PX), True) + self.dress.px(14)
        frame = QRectF(line.right() - width_px, line.top() + 1, width_px - 1, line.height() - 2)
        pencil.painter.setPen(pencil.stroke("ink", 2.4))
        pencil.painter.setBrush(Qt.BrushStyle.NoBrush)
        pencil.painter.drawRect(frame)
        pencil.words(frame, self._hearing, HEARING_PX, bold=True, align=Qt.AlignmentFlag.AlignHCenter, middle=True)


class TroubleBand(Painted):
    """Ink turned round: paper letters on a band of ink across the whole bench."""

    TROUBLE_PX = 21

    def __init__(self) -> None:
        super().__init__("Trouble")
        self._text = ""

    def show_trouble(self, text: str) -> None:
        self._text = f"Stop: {text}" if text else ""
        self.tell(text)

    def wanted_height(self, width_px: float) -> float:
        if not self._text:
            return 0.0
        room_px = width_px - self.dress.px(28)
        return words_height(self._text, self.dress.text_px(self.TROUBLE_PX), room_px, bold=True) + self.dress.px(18)

    def draw(self, pencil: Pencil) -> None:
        pencil.painter.fillRect(self.area(), pencil.palette["ink"])
        frame = self.area().adjusted(self.dress.px(14), self.dress.px(9), -self.dress.px(14), 0)
        pencil.words(frame, self._text, self.TROUBLE_PX, "paper", bold=True)
