"""The chambers as a row of cards, one each: letter, note, state and figure; the one that is meant is framed."""
from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from app.ui.painted import PaintedButton, Pencil, words_height, words_width
from app.ui.theme import Dress
from app.view import ChamberRow

LETTER_PX = 25
NOTE_PX = 15
FIGURE_PX = 16
GAP_PX = 8
LONE_SCALE = 1.5  # with no cut to show there is room, and the figures are what is read from across the shop


class Chambers(QWidget):
    """Lays the cards out, as many in a row as fit."""

    def __init__(self, choose: Callable[[str], None]) -> None:
        super().__init__()
        self.setAccessibleName("Chambers")
        self.cards: list[ChamberCard] = []
        self._choose = choose
        self._dress: Dress | None = None

    def show_rows(self, rows: tuple[ChamberRow, ...]) -> None:
        while len(self.cards) > len(rows):
            card = self.cards.pop()
            card.hide()
            card.deleteLater()
        while len(self.cards) < len(rows):
            card = ChamberCard(self._choose, self)
            if self._dress is not None:
                card.wear(self._dress)
            card.show()
            self.cards.append(card)
        for card, row in zip(self.cards, rows, strict=True):
            card.show_row(row)
        self._lay_out()

    def enlarge(self, large: bool) -> None:
        """Larger lettering, for where the cards stand with the plug end alone."""
        scale = LONE_SCALE if large else 1.0
        if all(card.scale == scale for card in self.cards):
            return
        for card in self.cards:
            card.scale = scale
            card.update()
        self._lay_out()

    def wear(self, dress: Dress) -> None:
        self._dress = dress
        for card in self.cards:
            card.wear(dress)

    def wanted_height(self, width_px: float) -> float:
        n_rows, card_px = self._rows_for(width_px)
        return n_rows * self._card_height(card_px) + (n_rows - 1) * self._gap_px()

    def resizeEvent(self, _event: QResizeEvent) -> None:
        self._lay_out()

    def _gap_px(self) -> float:
        return self._dress.px(GAP_PX) if self._dress else GAP_PX

    def _rows_for(self, width_px: float) -> tuple[int, float]:
        """How many rows of cards, and how wide a card is."""
        n_cards = max(1, len(self.cards))
        least_px = max((card.least_width() for card in self.cards), default=1.0)
        n_across = max(1, min(n_cards, int((width_px + self._gap_px()) / (least_px + self._gap_px()))))
        n_rows = -(-n_cards // n_across)
        n_across = -(-n_cards // n_rows)
        return n_rows, (width_px - (n_across - 1) * self._gap_px()) / n_across

    def _card_height(self, card_px: float) -> float:
        return max((card.wanted_height(card_px) for card in self.cards), default=0.0)

    def _lay_out(self) -> None:
        n_rows, card_px = self._rows_for(self.width())
        n_across = -(-max(1, len(self.cards)) // n_rows)
        height_px = self._card_height(card_px)
        for number, card in enumerate(self.cards):
            row, column = divmod(number, n_across)
            left_px, top_px = column * (card_px + self._gap_px()), row * (height_px + self._gap_px())
            card.setGeometry(round(left_px), round(top_px), round(left_px + card_px) - round(left_px),
                             round(top_px + height_px) - round(top_px))


class ChamberCard(PaintedButton):
    def __init__(self, choose: Callable[[str], None], parent: Chambers) -> None:
        super().__init__("Chamber", parent)
        self.row = ChamberRow("", "", "", "", False)
        self.scale = 1.0
        self.clicked.connect(lambda: choose(self.row.letter))

    def show_row(self, row: ChamberRow) -> None:
        if row == self.row:
            return
        self.row = row
        self.setAccessibleName(f"Chamber {row.letter}")
        meant = ", meant now" if row.meant else ""
        self.setAccessibleDescription(f"{row.note}, {row.state}{', ' if row.figure else ''}{row.figure}{meant}")
        self.update()

    def _letter_room(self) -> float:
        return self.dress.px(15) + self.dress.text_px(LETTER_PX * self.scale) * 0.86

    def least_width(self) -> float:
        """The width at which no line of the card needs to wrap, within reason."""
        note = words_width(f"{self.row.note}  {self.row.state}", self.dress.text_px(NOTE_PX * self.scale))
        figure = words_width(self.row.figure, self.dress.text_px(FIGURE_PX * self.scale), bold=True)
        return self._letter_room() + max(note, figure) + self.dress.px(8)

    def wanted_height(self, width_px: float) -> float:
        room_px = width_px - self._letter_room() - self.dress.px(5)
        text_px = words_height(f"{self.row.note}  {self.row.state}", self.dress.text_px(NOTE_PX * self.scale), room_px)
        text_px += words_height(self.row.figure or " ", self.dress.text_px(FIGURE_PX * self.scale), room_px, bold=True)
        return text_px + self.dress.px(13)

    def draw(self, pencil: Pencil) -> None:
        area, painter = self.area(), pencil.painter
        weight = 2.4 if self.row.meant else 1.0
        inset = self.dress.px(weight) / 2
        painter.setPen(pencil.stroke("ink" if self.row.meant else "line", weight))
        painter.setBrush(pencil.palette["card"] if self.row.meant else Qt.BrushStyle.NoBrush)
        painter.drawRect(area.adjusted(inset, inset, -inset, -inset))
        left_px = self._letter_room()
        letter = QRectF(self.dress.px(9), 0, left_px - self.dress.px(9), area.height())
        pencil.words(letter, self.row.letter, LETTER_PX * self.scale, bold=True, middle=True)
        room_px = area.width() - left_px - self.dress.px(5)
        words = f"{self.row.note}  {self.row.state}"
        used_px = words_height(words, self.dress.text_px(NOTE_PX * self.scale), room_px)
        used_px += words_height(self.row.figure, self.dress.text_px(FIGURE_PX * self.scale), room_px, bold=True)
        top_px = (area.height() - used_px) / 2
        top_px += pencil.words(QRectF(left_px, top_px, room_px, area.height()), words, NOTE_PX * self.scale, "muted")
        figure = QRectF(left_px, top_px, room_px, area.height())
        pencil.words(figure, self.row.figure, FIGURE_PX * self.scale, bold=self.row.meant)
        self.draw_focus(pencil)
