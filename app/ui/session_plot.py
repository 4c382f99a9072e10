"""The session drawn: a line for each chamber over the steps, cents off its note upward, the air of the shop beneath."""
from __future__ import annotations

import math
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPen
from PySide6.QtWidgets import QSizePolicy

from app.story_plot import PlotPoint, plot_of
from app.story_readings import Reading, Story
from app.story_words import air_words, spoken, story_sentence
from app.ui.painted import MIDDLE, RIGHT, Painted, Pencil, words_width
from app.ui.plot_marks import DASHES, draw_mark

FIGURE_PX, LETTER_PX, NAME_PX = 13.0, 17.0, 14.0
AIR_HIGH_PX = 46.0
LEAST_HIGH_PX = 245
TITLES = {"air": "air, °C", "sharp": "cents sharp", "flat": "cents flat", "zero": "its note"}
LEAST_AIR_SPAN_C: Final = 2.0
LINE_PX = 2.2


class SessionPlot(Painted):
    """Told apart by letter, mark and dash, never by colour. Arrow keys go from point to point.

    Signals: `reading_chosen(Reading)`.
    """

    reading_chosen = Signal(object)

    def __init__(self, story: Story) -> None:
        super().__init__("Cents off its note, chamber by chamber over the steps of the session")
        self._story, self._layout = story, plot_of(story)
        self._chosen: Reading | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.tell(". ".join([story_sentence(story).rstrip("."), *(
            spoken(reading, story.letters[0]) for letter in story.letters for reading in story.of(letter))]))

    def sizeHint(self) -> QSize:
        scale = 0.4 + 0.6 * self.dress.text_scale
        return QSize(600, round(LEAST_HIGH_PX * scale))

    def minimumSizeHint(self) -> QSize:
        return QSize(300, self.sizeHint().height())

    def choose(self, reading: Reading | None) -> None:
        """Ring this point; nothing is told of it."""
        self._chosen = reading
        self.update()

    # ---- where things are ----------------------------------------------------------------------------------------
    def _size_px(self, design_px: float) -> float:
        return self.dress.text_px(design_px)

    def _room(self) -> QRectF:
        """Within the line that shows where the keyboard is."""
        pad_px = self.dress.px(8)
        return self.area().adjusted(pad_px, pad_px, -pad_px, -pad_px)

    def _frame(self) -> QRectF:
        """The field of the lines, within what the words around it need."""
        left_px = words_width(TITLES["zero"], self._size_px(FIGURE_PX), bold=True) + self.dress.px(12)
        right_px = 3.2 * self._size_px(LETTER_PX)
        top_px = 1.7 * self._size_px(NAME_PX)
        bottom_px = 1.7 * self._size_px(NAME_PX) + self._air_high_px()
        return self._room().adjusted(left_px, top_px, -right_px, -bottom_px)

    def _air_high_px(self) -> float:
        return self.dress.px(AIR_HIGH_PX) * (0.5 + 0.5 * self.dress.text_scale) if self._layout.airs else 0.0

    def _at(self, point: PlotPoint) -> QPointF:
        frame = self._frame()
        return QPointF(frame.left() + point.x * frame.width(), frame.top() + point.y * frame.height())

    # ---- drawing -------------------------------------------------------------------------------------------------
    def draw(self, pencil: Pencil) -> None:
        frame = self._frame()
        pencil.painter.fillRect(frame, pencil.palette["card"])
        self._draw_scale(pencil, frame)
        self._draw_columns(pencil, frame)
        for number, points in enumerate(self._layout.lines.values()):
            self._draw_line(pencil, number, points)
        self._draw_letters(pencil, frame)
        self._draw_chosen(pencil)
        if self.hasFocus():
            pencil.painter.setBrush(Qt.BrushStyle.NoBrush)
            pencil.painter.setPen(pencil.stroke("goal", 3))
            pencil.painter.drawRect(self.area().adjusted(2, 2, -2, -2))

    def _draw_scale(self, pencil: Pencil, frame: QRectF) -> None:
        """A thin line at each figure that has room, a strong one at the note itself."""
        high_px = 1.15 * self._size_px(FIGURE_PX)
        zero_px = frame.top() + self._layout.zero * frame.height()
        taken = [zero_px]
        for cents, y in sorted(self._layout.scale, key=lambda each: abs(each[0])):
            at_px = frame.top() + y * frame.height()
            pencil.painter.setPen(pencil.stroke("goal", 2) if cents == 0.0 else pencil.stroke("line", 1))
            pencil.painter.drawLine(QPointF(frame.left(), at_px), QPointF(frame.right(), at_px))
            if cents == 0.0 or all(abs(at_px - other) >= high_px for other in taken):
                taken.append(at_px)
                words = TITLES["zero"] if cents == 0.0 else f"{abs(cents):.0f}"
                left_px = self._room().left()
                box = QRectF(left_px, at_px - high_px, frame.left() - left_px - self.dress.px(6), 2 * high_px)
                pencil.words(box, words, FIGURE_PX, "goal" if cents == 0.0 else "muted", align=RIGHT, middle=True,
                             bold=cents == 0.0)
        room, under_px = self._room(), frame.bottom() + 0.65 * self._size_px(FIGURE_PX)
        for words, top_px in ((TITLES["sharp"], room.top()), (TITLES["flat"], under_px)):
            wide_px = words_width(words, self._size_px(FIGURE_PX)) + 4
            box = QRectF(room.left(), top_px, wide_px, 1.4 * self._size_px(FIGURE_PX))
            pencil.words(box, words, FIGURE_PX, "muted")

    def _draw_columns(self, pencil: Pencil, frame: QRectF) -> None:
        """As many names as have room, the last one always; a tick for each."""
        columns, size_px = self._layout.columns, self._size_px(NAME_PX)
        from_px = self._room().left() + words_width(TITLES["flat"], self._size_px(FIGURE_PX)) + self.dress.px(12)
        free_until_px = self._room().right()
        for x, name in reversed(columns):
            at_px = frame.left() + x * frame.width()
            pencil.painter.setPen(pencil.stroke("muted", 1))
            pencil.painter.drawLine(QPointF(at_px, frame.bottom()), QPointF(at_px, frame.bottom() + self.dress.px(5)))
            wide_px = words_width(name, size_px) + self.dress.px(6)
            left_px = min(at_px - wide_px / 2, self._room().right() - wide_px)
            if left_px >= from_px and left_px + wide_px <= free_until_px:
                free_until_px = left_px - self.dress.px(4)
                box = QRectF(left_px, frame.bottom() + self.dress.px(5), wide_px, 1.5 * size_px)
                pencil.words(box, name, NAME_PX, align=MIDDLE)
        self._draw_air(pencil, frame)

    def _draw_air(self, pencil: Pencil, frame: QRectF) -> None:
        """The coolest and warmest of each column, to its own scale, with figures where there is room."""
        airs = self._layout.airs
        if not airs:
            return
        size_px, high_px = self._size_px(FIGURE_PX), self._air_high_px()
        top_px = self._room().bottom() - high_px + 1.5 * size_px
        room_px = max(4.0, self._room().bottom() - top_px - self.dress.px(5))
        low, high = min(low for _, low, _ in airs), max(high for *_, high in airs)
        middle, span = (low + high) / 2, max(high - low, LEAST_AIR_SPAN_C)

        def at(x: float, air_c: float) -> QPointF:
            return QPointF(frame.left() + x * frame.width(), top_px + room_px * (0.5 - (air_c - middle) / span))

        box = QRectF(self._room().left(), top_px, frame.left() - self.dress.px(6), room_px)
        pencil.words(box, TITLES["air"], FIGURE_PX, "muted")
        pencil.painter.setPen(pencil.stroke("ink", 1.2, Qt.PenStyle.DotLine))
        points = [at(x, (coolest + warmest) / 2) for x, coolest, warmest in airs]
        pencil.painter.drawPolyline(points)
        pencil.painter.setPen(pencil.stroke("ink", 4))
        free_from_px = frame.left() - self.dress.px(20)
        for x, coolest, warmest in airs:
            tick = QPointF(0.0, self.dress.px(2))
            pencil.painter.drawLine(at(x, coolest) + tick, at(x, warmest) - tick)
            words = air_words(warmest) if warmest - coolest < 0.05 else f"{coolest:.1f} to {warmest:.1f}"
            wide_px = words_width(words, size_px) + self.dress.px(8)
            left_px = min(at(x, low).x() - wide_px / 2, self._room().right() - wide_px)
            if left_px >= free_from_px:
                free_from_px = left_px + wide_px
                above = QRectF(left_px, top_px - 1.45 * size_px, wide_px, 1.4 * size_px)
                pencil.words(above, words, FIGURE_PX, "muted", align=MIDDLE)
                pencil.painter.setPen(pencil.stroke("ink", 4))

    def _draw_line(self, pencil: Pencil, number: int, points: tuple[PlotPoint, ...]) -> None:
        painter, places = pencil.painter, [self._at(point) for point in points]
        pen = QPen(pencil.palette["ink"], self.dress.px(LINE_PX))
        if DASHES[number]:
            pen.setDashPattern(DASHES[number])
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if len(places) > 1:
            painter.drawPolyline(places)
        for place in places:
            draw_mark(pencil, number, place, self._mark_px())

    def _mark_px(self) -> float:
        return self.dress.px(5.0) * (0.6 + 0.4 * self.dress.text_scale)

    def _draw_letters(self, pencil: Pencil, frame: QRectF) -> None:
        """Each letter with its mark in the margin, as high as its last point, pushed apart where they would touch."""
        ends = [(number, letter, self._at(points[-1])) for number, (letter, points)
                in enumerate(self._layout.lines.items()) if points]
        ends.sort(key=lambda end: end[2].y())
        high_px = 1.2 * self._size_px(LETTER_PX)
        tops = _apart([end.y() - high_px / 2 for *_, end in ends], high_px, frame.top(), frame.bottom() + high_px / 2)
        for (number, letter, end), top_px in zip(ends, tops, strict=True):
            middle_px = top_px + high_px / 2
            left_px = frame.right() + 0.9 * self._size_px(LETTER_PX)
            pencil.painter.setPen(pencil.stroke("muted", 1, Qt.PenStyle.DotLine))
            start = QPointF(max(end.x() + 1.8 * self._mark_px(), frame.right() - self.dress.px(30)), end.y())
            pencil.painter.drawLine(QPointF(end.x() + 1.8 * self._mark_px(), end.y()), start)
            pencil.painter.drawLine(start, QPointF(left_px - 1.6 * self._mark_px(), middle_px))
            draw_mark(pencil, number, QPointF(left_px, middle_px), self._mark_px())
            box = QRectF(left_px + 1.6 * self._mark_px(), top_px, 1.5 * self._size_px(LETTER_PX), high_px)
            pencil.words(box, letter, LETTER_PX, bold=True, middle=True)

    def _draw_chosen(self, pencil: Pencil) -> None:
        for point in self._points():
            if point.reading is self._chosen:
                pencil.painter.setBrush(Qt.BrushStyle.NoBrush)
                pencil.painter.setPen(pencil.stroke("goal", 3))
                pencil.painter.drawEllipse(self._at(point), 2.4 * self._mark_px(), 2.4 * self._mark_px())

    # ---- choosing ------------------------------------------------------------------------------------------------
    def _points(self) -> list[PlotPoint]:
        return [point for points in self._layout.lines.values() for point in points]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        ways = {Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, -1), Qt.Key.Key_Down: (0, 1)}
        if event.key() not in ways:
            super().keyPressEvent(event)
            return
        self._go(*ways[Qt.Key(event.key())])

    def _go(self, steps: int, chambers: int) -> None:
        """Along the chamber's line, or to the next chamber's nearest step; from nowhere to the first point."""
        points = self._points()
        here = next((point for point in points if point.reading is self._chosen), None)
        if here is None:
            target = points[0] if points else None
        elif steps:
            line = self._layout.lines[here.reading.letter]
            target = line[min(max(line.index(here) + steps, 0), len(line) - 1)]
        else:
            letters = [letter for letter, line in self._layout.lines.items() if line]
            letter = letters[(letters.index(here.reading.letter) + chambers) % len(letters)]
            target = min(self._layout.lines[letter], key=lambda point: abs(point.x - here.x))
        self._choose_point(target)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._choose_point(min(self._points(), default=None, key=lambda point: math.hypot(
            self._at(point).x() - event.position().x(), self._at(point).y() - event.position().y())))

    def _choose_point(self, point: PlotPoint | None) -> None:
        if point is not None:
            self.choose(point.reading)
            self.reading_chosen.emit(point.reading)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()


def _apart(tops: list[float], high_px: float, first_px: float, last_px: float) -> list[float]:
    """As near to where they were as leaves each its height, within these bounds; given and returned in order."""
    placed: list[float] = []
    for top in tops:
        placed.append(max(top, first_px, placed[-1] + high_px if placed else first_px))
    limit = last_px
    for number in range(len(placed) - 1, -1, -1):
        placed[number] = min(placed[number], limit - high_px)
        limit = placed[number]
    return placed
