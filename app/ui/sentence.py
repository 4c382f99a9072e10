"""The sentence: two lines of equal size, as large as fits; beneath it what is held back, and why."""
from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QFontMetricsF

from app.ui.painted import LINE_PITCH, MIDDLE, Painted, Pencil, fitted_size_px, words_height
from app.ui.theme import lettering

STRETCH = 92  # a little narrower than the face is drawn: taller lettering from the same width
NOTE_PX = 17


class Sentence(Painted):
    """What to do now. Spoken to a screen reader whenever it changes."""

    def __init__(self) -> None:
        super().__init__("What to do now")
        self._lines: tuple[str, ...] = ()

    def show_sentence(self, sentence: tuple[str, str]) -> None:
        lines = tuple(line for line in sentence if line)
        if lines == self._lines:
            return
        self._lines = lines
        self.tell(", ".join(lines))
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, ", ".join(lines)))

    def wanted_height(self, width_px: float, at_most_px: float) -> float:
        size_px = fitted_size_px(self._lines, width_px, at_most_px, STRETCH)
        return min(at_most_px, size_px * LINE_PITCH * len(self._lines))

    def size_px(self) -> float:
        return fitted_size_px(self._lines, self.width(), self.height(), STRETCH)

    def cap_height_px(self) -> float:
        """Height of a capital, by which legibility at a distance is reckoned."""
        return QFontMetricsF(lettering(self.size_px(), True, STRETCH)).capHeight()

    def draw(self, pencil: Pencil) -> None:
        size_px = self.size_px()
        metrics = QFontMetricsF(lettering(size_px, True, STRETCH))
        used_px = size_px * LINE_PITCH * len(self._lines)
        baseline_px = (self.height() - used_px) / 2 + size_px * (LINE_PITCH - 1) / 2 + size_px * 0.80
        for line in self._lines:
            left_px = (self.width() - metrics.horizontalAdvance(line)) / 2
            pencil.line(QPointF(left_px, baseline_px), line, size_px, stretch=STRETCH)
            baseline_px += size_px * LINE_PITCH


class Notes(Painted):
    """What is held back, muted; then why, in ink."""

    def __init__(self) -> None:
        super().__init__("What is held back, and why")
        self._held_back = ""
        self._why = ""

    def show_notes(self, held_back: str, why: str) -> None:
        self._held_back, self._why = held_back, why
        self.tell(f"{held_back} {why}".strip())

    def wanted_height(self, width_px: float) -> float:
        size_px = self.dress.text_px(NOTE_PX)
        texts = [text for text in (self._held_back, self._why) if text]
        return sum(words_height(text, size_px, width_px) for text in texts) + self.dress.px(3) * max(0, len(texts) - 1)

    def draw(self, pencil: Pencil) -> None:
        top_px = 0.0
        for text, colour in ((self._held_back, "muted"), (self._why, "ink")):
            frame = QRectF(0, top_px, self.width(), self.height())
            used_px = pencil.words(frame, text, NOTE_PX, colour, align=MIDDLE)
            top_px += used_px + self.dress.px(3) if used_px else 0.0
