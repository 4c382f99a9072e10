"""Every key of the bench on one page, over the bench."""
from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRectF
from PySide6.QtGui import QMouseEvent

from app.ui.painted import Painted, Pencil, words_height, words_width

HEADING_PX = 34
BODY_PX = 26
PAD_PX = 36
TOP_PX = 24
ROW_GAP_PX = 8
KEYS = (
    ("space", "I have done it; two short toots say the same"),
    ("backspace", "forget the last blow, or the last “done”"),
    ("escape", "one stage back; or close what lies on top"),
    ("R", "I changed the voice of this chamber: its readings are set aside"),
    ("N", "go on without the blow or check that is asked; else leave this chamber as it is"),
    ("S", "the microphone or I moved: begin a new set"),
    ("T, or a digit", "type a length off the calipers"),
    ("D", "figures: cents, hertz, milliseconds"),
    ("F", "room view: the sentence alone, to be read from afar"),
    ("left, right", "the chamber before, the chamber after"),
    ("B", "the breath line holds still, or moves again"),
    ("C", "at a club evening: call the next in turn"),
    ("O", "other ways out, where wood has run out"),
    ("W, I, E", "which glue it will be: water-based, instant, epoxy"),
    ("ctrl and 1 to 7", "go to a stage"),
    ("ctrl and L", "lay out the whistle on the bench: sound, wood, papers"),
    ("ctrl and B", "before and after: the session so far"),
    ("ctrl and E", "club evening: all whistles, whose turn"),
    ("ctrl and N", "describe a new whistle"),
    ("ctrl and O", "open a whistle of the journal, or one from its document"),
    ("ctrl and S", "keep the document of this whistle as a file"),
    ("P", "practise on an invented whistle, while the bench is empty"),
    ("F11", "the whole screen, or a window again"),
    ("page up, page down", "see more, where the text is large"),
    ("alt, or F10", "the menu"),
    ("?", "this page"),
)
Rows = tuple[tuple[str, str], ...]


class HelpPage(Painted):
    """The page closes by the same key, Escape or a click."""

    def __init__(self, close: Callable[[], object]) -> None:
        super().__init__("All keys")
        self.setAccessibleDescription("; ".join(f"{key}: {meaning}" for key, meaning in KEYS))
        self._close = close
        self.hide()

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        self._close()

    def _body_design_px(self) -> float:
        """The body's size, made smaller where the page would overflow."""
        size = BODY_PX + 0.0
        while size > 8 and self._needed_height(size) > self.height():
            size -= 0.5
        return size

    def _columns(self, design_px: float) -> list[tuple[float, float, Rows]]:
        """Left edge, width of the keys and rows of each of the two columns."""
        half, room_px = -(-len(KEYS) // 2), (self.width() - 3 * self.dress.px(PAD_PX)) / 2
        size_px = self.dress.text_px(design_px)
        found = []
        for number, rows in enumerate((KEYS[:half], KEYS[half:])):
            key_px = max(words_width(key, size_px, True) for key, _ in rows) + self.dress.px(20)
            found.append((self.dress.px(PAD_PX) + number * (room_px + self.dress.px(PAD_PX)), key_px, rows))
        return found

    def _meaning_px(self, key_px: float) -> float:
        return (self.width() - 3 * self.dress.px(PAD_PX)) / 2 - key_px

    def _needed_height(self, design_px: float) -> float:
        size_px = self.dress.text_px(design_px)
        rows_px = max(
            sum(words_height(meaning, size_px, self._meaning_px(key_px)) + self.dress.px(ROW_GAP_PX)
                for _, meaning in rows)
            for _, key_px, rows in self._columns(design_px))
        return rows_px + self.dress.text_px(design_px * 1.4) * 1.6 + 2 * self.dress.px(TOP_PX)

    def draw(self, pencil: Pencil) -> None:
        pencil.painter.fillRect(self.area(), pencil.palette["paper"])
        size, pad_px, top_px = self._body_design_px(), self.dress.px(PAD_PX), self.dress.px(TOP_PX)
        heading = QRectF(pad_px, top_px, self.width() - 2 * pad_px, self.height())
        top_px += pencil.words(heading, "All keys", min(HEADING_PX, size * 1.4), bold=True) + self.dress.px(8)
        for left_px, key_px, rows in self._columns(size):
            row_px = top_px
            for key, meaning in rows:
                pencil.words(QRectF(left_px, row_px, key_px, self.height()), key, size, bold=True)
                frame = QRectF(left_px + key_px, row_px, self._meaning_px(key_px), self.height())
                row_px += pencil.words(frame, meaning, size) + self.dress.px(ROW_GAP_PX)
