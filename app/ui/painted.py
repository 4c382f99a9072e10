"""The ground of every painted part: it wears a `Dress`, and it remembers the words it drew and where."""
from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QWidget

from app.ui.theme import LIGHT, Dress, lettering

LEFT = Qt.AlignmentFlag.AlignLeft
RIGHT = Qt.AlignmentFlag.AlignRight
MIDDLE = Qt.AlignmentFlag.AlignHCenter
_TIED = re.compile(
    r"(?<=[0-9]) (?=(?:mm|in|c|ms|dB|Hz|°C|[0-9]+/[0-9]+)(?![a-z]))"  # "57.6 mm", "2 17/64 in"
    r"|(?<=[a-z,]) (?=[A-F](?![A-Za-z]))"  # "plug B", "A, B and C"
    r"|(?<=\bW) (?=water)|(?<=\bI) (?=instant)|(?<=\bE) (?=epoxy)"  # a key and what it says
)
ROUNDING_PX = 1.0  # parts lie on whole pixels, words do not
LINE_PITCH = 1.08  # of the large lettering, in ems: as close as descenders allow


@dataclass(frozen=True)
class TextBox:
    """Words as they were drawn, in the part's own pixels."""

    text: str
    rect: QRectF
    colour: QColor
    size_px: float


def words_height(text: str, size_px: float, width_px: float, bold: bool = False) -> float:
    """Height that `text` takes when wrapped to this width."""
    if not text:
        return 0.0
    return wrapped_rect(text, lettering(size_px, bold), width_px).height() + ROUNDING_PX


def words_width(text: str, size_px: float, bold: bool = False) -> float:
    return QFontMetricsF(lettering(size_px, bold)).horizontalAdvance(text)


def wrapped_rect(text: str, font: QFont, width_px: float) -> QRectF:
    frame = QRectF(0, 0, width_px, 100_000)
    return QFontMetricsF(font).boundingRect(frame, int(Qt.TextFlag.TextWordWrap), unbroken(text))


def unbroken(text: str) -> str:
    """The same words with every number tied to its unit or fraction, and every letter to what bears it, so that no line
    breaks between them."""
    return _TIED.sub("\u00a0", text)


def fitted_size_px(
    lines: Sequence[str], width_px: float, height_px: float, stretch: int = 100, pitch: float = LINE_PITCH
) -> float:
    """The largest bold lettering in which every line fits the width, and all of them the height."""
    metrics = QFontMetricsF(lettering(100, True, stretch))
    widest_px = max((metrics.horizontalAdvance(line) for line in lines), default=0.0) or 1.0
    return min(100 * width_px / widest_px, height_px / (pitch * max(1, len(lines)))) * 0.985


class Pencil:
    """A painter that writes in the bench's lettering and keeps account of it."""

    def __init__(self, painter: QPainter, dress: Dress, boxes: list[TextBox]) -> None:
        self.painter = painter
        self.dress = dress
        self.palette = dress.palette
        self._boxes = boxes

    def words(
        self, at: QRectF, text: str, design_px: float, colour: str = "ink", *, bold: bool = False,
        align: Qt.AlignmentFlag = LEFT, middle: bool = False,
    ) -> float:
        """Write wrapped words from the top of `at` (or in its middle); return the height used."""
        if not text:
            return 0.0
        size_px = self.dress.text_px(design_px)
        flags = int(Qt.TextFlag.TextWordWrap) | align.value
        flags |= (Qt.AlignmentFlag.AlignVCenter if middle else Qt.AlignmentFlag.AlignTop).value
        self.painter.setFont(lettering(size_px, bold))
        self.painter.setPen(self.palette[colour])
        drawn = self.painter.boundingRect(at, flags, unbroken(text))
        self.painter.drawText(at if at.height() >= drawn.height() else drawn, flags, unbroken(text))
        self._boxes.append(TextBox(text, drawn, self.palette[colour], size_px))
        return drawn.height()

    def line(
        self, baseline: QPointF, text: str, size_px: float, colour: str = "ink", *, bold: bool = True,
        stretch: int = 100,
    ) -> None:
        """One unwrapped line from a baseline, in real pixels: for lettering that was fitted."""
        font = lettering(size_px, bold, stretch)
        self.painter.setFont(font)
        self.painter.setPen(self.palette[colour])
        self.painter.drawText(baseline, text)
        drawn = QFontMetricsF(font).tightBoundingRect(text).translated(baseline)
        self._boxes.append(TextBox(text, drawn, self.palette[colour], size_px))

    def stroke(self, colour: str, design_px: float, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
        pen = QPen(self.palette[colour], self.dress.px(design_px), style)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        return pen


class Drawn:
    """Mixed into a widget: subclasses write `draw(pencil)`."""

    dress: Dress = Dress(LIGHT, 1.0, 1.0)
    _boxes: list[TextBox]

    def wear(self, dress: Dress) -> None:
        self.dress = dress
        self.update()  # type: ignore[attr-defined]

    def text_boxes(self) -> list[TextBox]:
        """What was written at the last painting."""
        return list(getattr(self, "_boxes", []))

    def paintEvent(self, _event: QPaintEvent) -> None:
        boxes: list[TextBox] = []
        painter = QPainter(self)  # type: ignore[call-overload]
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        try:
            self.draw(Pencil(painter, self.dress, boxes))
        finally:
            painter.end()
        self._boxes = boxes

    def draw(self, pencil: Pencil) -> None:
        raise NotImplementedError

    def area(self) -> QRectF:
        return QRectF(self.rect())  # type: ignore[attr-defined]


class Painted(Drawn, QWidget):
    """A part that is only looked at; what it shows is also its accessible description."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)

    def tell(self, text: str) -> None:
        """Give the words of this part to whoever cannot see it."""
        self.setAccessibleDescription(text)
        self.update()


class PaintedButton(Drawn, QAbstractButton):
    """A part that can be chosen: by mouse, or by Tab and Enter (Space always means "I have done it")."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def draw_focus(self, pencil: Pencil) -> None:
        if self.hasFocus():
            pencil.painter.setBrush(Qt.BrushStyle.NoBrush)
            pencil.painter.setPen(pencil.stroke("goal", 2, Qt.PenStyle.DashLine))
            inset = pencil.dress.px(2)
            pencil.painter.drawRect(self.area().adjusted(inset, inset, -inset, -inset))
