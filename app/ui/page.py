"""Where everything lies between heading and keys: side by side while it fits, under one another for large text."""
from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.ui.breath_line import BreathLine
from app.ui.chambers import Chambers
from app.ui.closer import CloserPicture
from app.ui.panels import AsidesPanel, BlowsPanel, CautionPanel
from app.ui.plug_end import PlugEnd
from app.ui.section import SectionPicture
from app.ui.sentence import Notes, Sentence
from app.ui.theme import LIGHT, Dress
from app.view import View

GAP_PX = 14
PICTURES_PX = 236  # least height of the pictures side by side
PLUG_END_PX = 226
SENTENCE_PX = 52  # lettering of the sentence below which the parts are put under one another instead


class Page(QWidget):
    """All parts of the bench that show a view."""

    def __init__(self, choose: Callable[[str], None]) -> None:
        super().__init__()
        self.dress = Dress(LIGHT, 1.0, 1.0)
        self.stacked = False
        self._has_section = self._has_closer = False
        self.plug_end = PlugEnd(choose)
        self.section, self.closer = SectionPicture(), CloserPicture()
        self.chambers = Chambers(choose)
        self.sentence, self.notes = Sentence(), Notes()
        self.blows, self.caution, self.asides = BlowsPanel(), CautionPanel(), AsidesPanel()
        self.breath = BreathLine()
        self.parts = (self.plug_end, self.section, self.closer, self.chambers, self.sentence, self.notes, self.blows,
                      self.asides, self.breath, self.caution)
        for part in self.parts:
            part.setParent(self)

    def show_view(self, view: View) -> None:
        self.plug_end.show_ends(view.ends)
        self.section.show_section(view.section)
        self.closer.show_closer(view.closer)
        self._has_section, self._has_closer = view.section is not None, view.closer is not None
        self.section.setVisible(self._has_section)
        self.closer.setVisible(self._has_closer)
        self.chambers.show_rows(view.rows)
        self.sentence.show_sentence(view.sentence)
        self.notes.show_notes(view.held_back, view.why)
        self.blows.show_blows(view.blows, view.figures)
        self.caution.show_caution(view.caution)
        self.asides.show_asides(view.asides)
        self.breath.show_level(view.level)

    def wear(self, dress: Dress) -> None:
        self.dress = dress
        for part in self.parts:
            part.wear(dress)

    def arrange(self, width_px: float, height_px: float) -> float:
        """Place all parts; the height that is needed, more than `height_px` when the page must scroll."""
        self.stacked = not self._arrange_side_by_side(width_px, height_px)
        needed_px = self._arrange_stacked(width_px, height_px) if self.stacked else height_px
        self.closer.match_scale(self.section.px_per_mm())
        self.update()
        return needed_px

    # ---- side by side --------------------------------------------------------------------------------------------
    def _arrange_side_by_side(self, width_px: float, height_px: float) -> bool:
        """False, with nothing promised, when the words do not fit this way."""
        gap_px = self.dress.px(GAP_PX)
        side_px = self.dress.px(30) + self.dress.text_px(196)
        left_px = width_px - side_px - 2 * gap_px
        cards_px = self.chambers.wanted_height(left_px)
        notes_px = self.notes.wanted_height(width_px)
        breath_px = (width_px - 2 * gap_px) * 0.5
        caution_px = width_px - 2 * gap_px - breath_px
        foot_px = max(self.breath.least_height(), self.caution.wanted_height(caution_px))
        free_px = height_px - cards_px - notes_px - foot_px - 5 * gap_px
        pictures_least_px = self.dress.px(PICTURES_PX)
        sentence_px = self.sentence.wanted_height(width_px, max(1.0, free_px - pictures_least_px))
        pictures_px = free_px - sentence_px
        head_px = pictures_px + gap_px + cards_px
        words_px = self.blows.wanted_height(side_px) + gap_px + self.asides.wanted_height(side_px)
        if pictures_px < pictures_least_px or words_px > head_px or left_px < self.dress.px(640):
            return False
        top_px = self._place_pictures(QRectF(0, 0, left_px, pictures_px)) + gap_px
        _place(self.chambers, QRectF(0, top_px, left_px, cards_px))
        self._place_side(QRectF(width_px - side_px, 0, side_px, head_px))
        top_px += cards_px + gap_px
        _place(self.sentence, QRectF(0, top_px, width_px, sentence_px))
        top_px += sentence_px + gap_px
        _place(self.notes, QRectF(0, top_px, width_px, notes_px))
        _place(self.breath, QRectF(0, height_px - foot_px, breath_px, foot_px))
        _place(self.caution, QRectF(width_px - caution_px, height_px - foot_px, caution_px, foot_px))
        return self.sentence.size_px() >= self.dress.px(SENTENCE_PX) or self.dress.text_scale <= 1.0

    def _place_side(self, column: QRectF) -> None:
        blows_px = self.blows.wanted_height(column.width())
        asides_px = self.asides.wanted_height(column.width())
        _place(self.blows, QRectF(column.left(), column.top(), column.width(), blows_px))
        _place(self.asides, QRectF(column.left(), column.bottom() - asides_px, column.width(), asides_px))

    def _place_pictures(self, frame: QRectF) -> float:
        """Plug end left; beside it the lengthwise cut, and the closer view under it; returns the foot."""
        gap_px = self.dress.px(GAP_PX)
        end_px = min(self.dress.px(PLUG_END_PX) * max(1.0, frame.height() / self.dress.px(250)), frame.width() * 0.36)
        if not (self._has_section or self._has_closer):
            _place(self.plug_end, frame)
            return frame.bottom()
        _place(self.plug_end, QRectF(frame.left(), frame.top(), end_px, frame.height()))
        right = QRectF(frame.left() + end_px + gap_px, frame.top(), frame.width() - end_px - gap_px, frame.height())
        share = 0.56 if self._has_closer else 1.0
        cut_px = (right.height() - (gap_px * 0.5 if self._has_closer else 0)) * share
        _place(self.section, QRectF(right.left(), right.top(), right.width(), cut_px))
        closer_top_px = right.top() + cut_px + gap_px * 0.5
        _place(self.closer, QRectF(right.left(), closer_top_px, right.width(), right.bottom() - closer_top_px))
        return frame.bottom()

    # ---- under one another ---------------------------------------------------------------------------------------
    def _arrange_stacked(self, width_px: float, height_px: float) -> float:
        gap_px = self.dress.px(GAP_PX)
        picture_px = self.dress.px(120) + self.dress.text_px(50)
        top_px = self._place_stacked_pictures(QRectF(0, 0, width_px, picture_px)) + gap_px * 0.5
        sentence_px = self.sentence.wanted_height(width_px, height_px * 0.4)
        column = [(self.sentence, sentence_px), (self.notes, self.notes.wanted_height(width_px)),
                  (self.caution, self.caution.wanted_height(width_px))]
        if self._has_closer and self._has_section:
            column.append((self.closer, self.dress.px(90) + self.dress.text_px(60)))
        column += [
            (self.chambers, self.chambers.wanted_height(width_px)), (self.blows, self.blows.wanted_height(width_px)),
            (self.asides, self.asides.wanted_height(width_px)), (self.breath, self.breath.least_height()),
        ]
        for part, part_px in column:
            _place(part, QRectF(0, top_px, width_px, part_px))
            top_px += part_px + (gap_px if part_px else 0)
        return max(height_px, top_px)

    def _place_stacked_pictures(self, frame: QRectF) -> float:
        end_px = min(frame.width() * 0.3, frame.height() * 1.15)
        beside = frame.adjusted(end_px + self.dress.px(GAP_PX), 0, 0, 0)
        if not (self._has_section or self._has_closer):
            end_px = frame.width()
        _place(self.plug_end, QRectF(frame.left(), frame.top(), end_px, frame.height()))
        _place(self.section if self._has_section else self.closer, beside)
        return frame.bottom()

    # ---- the arrow ------------------------------------------------------------------------------------------------
    def paintEvent(self, _event: QPaintEvent) -> None:
        """From the bore that is meant to its cut."""
        start = self.plug_end.meant_point()
        if start is None or not self._has_section:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw_arrow(painter, QPointF(self.plug_end.pos()) + start, QPointF(self.section.pos()) + self.section.end_point(),
                   self.dress)
        painter.end()


def draw_arrow(painter: QPainter, tail: QPointF, tip: QPointF, dress: Dress) -> None:
    """A plain arrow with a filled head."""
    along = tip - tail
    length_px = max(1.0, (along.x() ** 2 + along.y() ** 2) ** 0.5)
    ahead = along / length_px
    aside = QPointF(-ahead.y(), ahead.x())
    head_px = dress.px(11)
    painter.setPen(QPen(dress.palette["ink"], dress.px(2.4)))
    painter.drawLine(tail, tip - ahead * head_px * 0.8)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(dress.palette["ink"])
    base = tip - ahead * head_px
    painter.drawPolygon(QPolygonF([tip, base + aside * head_px * 0.5, base - aside * head_px * 0.5]))


def _place(part: QWidget, frame: QRectF) -> None:
    part.setGeometry(round(frame.left()), round(frame.top()), round(frame.width()), max(0, round(frame.height())))
