"""The story stick: a strip of wood down the left side, a knife mark for every stage, an arrow at the one you are in."""
from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPolygonF, QResizeEvent

from app.ui.painted import Painted, PaintedButton, Pencil, words_width
from app.ui.theme import Dress
from app.ui.wood import long_grain
from app.view import Stage

STICK_WIDTH_PX = 26
NAME_PX = 17
HERE_PX = 20


class StoryStick(Painted):
    """The strip itself; each mark on it is a button of its own."""

    def __init__(self, choose: Callable[[Stage], None]) -> None:
        super().__init__("Story stick: the stages")
        self.marks = [StageMark(stage, choose, self) for stage in Stage]

    def show_stage(self, stage: Stage, done: tuple[Stage, ...]) -> None:
        for mark in self.marks:
            mark.show_state(mark.stage is stage, mark.stage in done)
        self.tell(f"at {stage.value}; done: {', '.join(s.value for s in done) or 'none yet'}")

    def wear(self, dress: Dress) -> None:
        super().wear(dress)
        for mark in self.marks:
            mark.wear(dress)

    def wanted_width(self) -> float:
        name_px = max(words_width(stage.value, self.dress.px(HERE_PX), bold=True) for stage in Stage)
        return self.dress.px(STICK_WIDTH_PX + 22) + name_px + 4

    def resizeEvent(self, _event: QResizeEvent) -> None:
        pitch_px = self.height() / len(self.marks)
        for number, mark in enumerate(self.marks):
            mark.setGeometry(0, round(number * pitch_px), self.width(), round(pitch_px))

    def draw(self, pencil: Pencil) -> None:
        stick = QRectF(1, 1, self.dress.px(STICK_WIDTH_PX), self.height() - 2)
        long_grain(pencil.painter, stick, self.dress, seed=7)
        pencil.painter.setBrush(Qt.BrushStyle.NoBrush)
        pencil.painter.setPen(pencil.stroke("edge", 1.2))
        pencil.painter.drawRect(stick)


class StageMark(PaintedButton):
    """One knife mark and the stage's name beside it."""

    def __init__(self, stage: Stage, choose: Callable[[Stage], None], parent: StoryStick) -> None:
        super().__init__(f"Stage {stage.value}", parent)
        self.stage = stage
        self._here = False
        self._done = False
        self.clicked.connect(lambda: choose(stage))

    def show_state(self, here: bool, done: bool) -> None:
        self._here, self._done = here, done
        self.setAccessibleDescription("you are here" if here else "done" if done else "still to come")
        self.update()

    def draw(self, pencil: Pencil) -> None:
        y_px, right_px = self.height() / 2, 1 + self.dress.px(STICK_WIDTH_PX)
        painter = pencil.painter
        cut_px = self.dress.px(6 if self._here else 4)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(pencil.palette["edge"])
        notch = [QPointF(right_px, y_px - cut_px), QPointF(right_px, y_px + cut_px), QPointF(1, y_px)]
        painter.drawPolygon(QPolygonF(notch))
        painter.setBrush(pencil.palette["paper"])
        if not self._here:  # the notch is cut right through: paper shows in it
            thin_px = self.dress.px(1.2)
            inner = [QPointF(right_px + 1, y_px - cut_px + thin_px), QPointF(right_px + 1, y_px + cut_px - thin_px),
                     QPointF(right_px * 0.38, y_px)]
            painter.drawPolygon(QPolygonF(inner))
        self._write_name(pencil, right_px, y_px)
        self.draw_focus(pencil)

    def _write_name(self, pencil: Pencil, right_px: float, y_px: float) -> None:
        left_px = right_px + self.dress.px(8)
        if self._here:
            tip_px, wing_px = right_px + self.dress.px(3), self.dress.px(8)
            pencil.painter.setBrush(pencil.palette["ink"])
            pencil.painter.drawPolygon(QPolygonF([
                QPointF(tip_px, y_px), QPointF(tip_px + wing_px * 1.6, y_px - wing_px),
                QPointF(tip_px + wing_px * 1.6, y_px + wing_px)]))
            left_px = tip_px + wing_px * 1.6 + self.dress.px(4)
        frame = QRectF(left_px, 0, self.width() - left_px, self.height())
        colour = "ink" if self._here or self._done else "muted"
        size_px = (HERE_PX if self._here else NAME_PX) / self.dress.text_scale  # large text: the sentence has the width
        pencil.words(frame, self.stage.value, size_px, colour, bold=self._here, middle=True)
