"""Where the parts of the page lie: side by side while their words fit, under one another when the text is large."""
from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QWidget

from app.ui.page_parts import PageParts
from app.ui.painted import LINE_PITCH

GAP_PX = 14
PICTURES_PX = 236  # height of the pictures, unless the sentence would become small for it
PICTURES_LEAST_PX = 190
HEAD_WIDTH_PX = 620  # least width of pictures and cards
PLUG_END_PX = 226
SENTENCE_PX = 76  # lettering of the sentence for which the pictures make room
LEAST_SHARE = 0.66  # of that lettering: with less, or less than all where the text is enlarged, parts stand as follows
SENTENCE_LEAST_PX = 27  # where parts stand under one another; grows with the text
SENTENCE_ENLARGED_PX = 94  # where the text was enlarged the sentence is no smaller than it was
SENTENCE_FLOOR_PX = 71  # it makes room for the notes no further than to this


class SideBySide:
    """Head (pictures and cards, blows beside them), sentence across, notes, foot (breath and caution).

    With `asides_below` the standing advice moves to the foot and the cards run across the whole width.
    Measured when made; `fits` says whether all words have room, `place` puts the parts there.
    """

    def __init__(self, page: PageParts, width_px: float, height_px: float, asides_below: bool) -> None:
        self.page, self.width_px, self.height_px, self.asides_below = page, width_px, height_px, asides_below
        self.gap_px = page.dress.px(GAP_PX)
        self.side_px = page.dress.px(30) + page.dress.text_px(196)
        self.head_width_px = width_px - self.side_px - 2 * self.gap_px
        self.notes_px = page.notes.wanted_height(width_px)
        self.cards_width_px = width_px if asides_below else self.head_width_px
        self.cards_px = page.chambers.wanted_height(self.cards_width_px) if page.has_pictures() else 0.0
        self.blows_px = page.blows.wanted_height(self.side_px)
        self.pictures_least_px = max(self._pictures_least(), self.blows_px if asides_below else 0.0)
        self.foot_px = self._foot_height()
        free_px = height_px - self.cards_px - self.notes_px - self.foot_px - 5 * self.gap_px
        self.sentence_px, self.sentence_wanted_px = self._sentence_heights(free_px)
        self.pictures_px = free_px - self.sentence_px
        self.head_px = self.pictures_px + self.gap_px + self.cards_px

    def fits(self) -> bool:
        asides_px = 0.0 if self.asides_below else self.gap_px + self.page.asides.wanted_height(self.side_px)
        return (
            self.pictures_px >= self.pictures_least_px - 1
            and self.blows_px + asides_px <= self.head_px
            and self.head_width_px >= self.page.dress.px(HEAD_WIDTH_PX)
            and (self.page.has_pictures() or self._cards_beside_px() <= self.head_px)
            and self.sentence_px >= self.sentence_wanted_px * (1.0 if self.page.dress.text_scale > 1.0 else LEAST_SHARE)
        )

    def place(self) -> None:
        page, width_px = self.page, self.width_px
        page.plug_end.captioned = True
        self._place_head(QRectF(0, 0, self.head_width_px, self.head_px))
        put(page.blows, QRectF(width_px - self.side_px, 0, self.side_px, self.blows_px))
        if not self.asides_below:
            asides_px = page.asides.wanted_height(self.side_px)
            put(page.asides, QRectF(width_px - self.side_px, self.head_px - asides_px, self.side_px, asides_px))
        top_px = self.head_px + self.gap_px
        put(page.sentence, QRectF(0, top_px, width_px, self.sentence_px))
        put(page.notes, QRectF(0, top_px + self.sentence_px + self.gap_px * 0.7, width_px, self.notes_px))
        left_px = 0.0
        for part, part_px in zip(self._foot_parts(), self._foot_columns(), strict=True):
            put(part, QRectF(left_px, self.height_px - self.foot_px, part_px, self.foot_px))
            left_px += part_px + 2 * self.gap_px

    def _sentence_heights(self, free_px: float) -> tuple[float, float]:
        """What it gets, as much as the width can use, and the least wanted: the pictures give way only below that."""
        sentence, dress = self.page.sentence, self.page.dress
        wanted_px = sentence.wanted_height(self.width_px, dress.px(SENTENCE_PX) * 2 * LINE_PITCH)
        room_px = max(free_px - dress.px(PICTURES_PX), min(wanted_px, free_px - self.pictures_least_px))
        return sentence.wanted_height(self.width_px, max(1.0, room_px)), wanted_px

    def _pictures_least(self) -> float:
        """Height below which the cut would be too small to show anything."""
        page = self.page
        if page.has_section and page.has_closer:
            return page.section.least_height() + self.gap_px * 0.5 + page.closer.least_height()
        least_px = page.dress.px(PICTURES_LEAST_PX)
        return max(least_px, page.table.least_height()) if page.has_table else least_px

    def _foot_parts(self) -> tuple[QWidget, ...]:
        page = self.page
        return (page.breath, page.caution, page.asides) if self.asides_below else (page.breath, page.caution)

    def _foot_columns(self) -> list[float]:
        shares = (0.32, 0.42, 0.26) if self.asides_below else (0.5, 0.5)
        free_px = self.width_px - 2 * self.gap_px * (len(shares) - 1)
        return [share * free_px for share in shares]

    def _foot_height(self) -> float:
        columns = self._foot_columns()
        heights = [self.page.breath.least_height(), self.page.caution.wanted_height(columns[1])]
        if self.asides_below:
            heights.append(self.page.asides.wanted_height(columns[2]))
        return max(heights)

    def _place_head(self, head: QRectF) -> None:
        """Pictures over the cards; with no cut to show, a large plug end and the cards beside it."""
        page, gap_px = self.page, self.gap_px
        if page.has_pictures():
            self._place_pictures(head.adjusted(0, 0, 0, -self.cards_px - gap_px))
            put(page.chambers, QRectF(0, head.bottom() - self.cards_px, self.cards_width_px, self.cards_px))
            return
        end_px = self._lone_end_width()
        put(page.plug_end, QRectF(head.left(), head.top(), end_px, head.height()))
        beside = head.adjusted(end_px + 2 * gap_px, 0, 0, 0)
        cards_px = self._cards_beside_px()
        put(page.chambers, QRectF(beside.left(), beside.center().y() - cards_px / 2, beside.width(), cards_px))

    def _lone_end_width(self) -> float:
        return min(self.head_px * 1.05, self.head_width_px * 0.45)

    def _cards_beside_px(self) -> float:
        return self.page.chambers.wanted_height(self.head_width_px - self._lone_end_width() - 2 * self.gap_px)

    def _place_pictures(self, frame: QRectF) -> None:
        """Plug end left; beside it the lengthwise cut, and the closer view under it."""
        page, gap_px = self.page, self.gap_px
        taller = max(1.0, frame.height() / page.dress.px(250))
        end_px = min(page.dress.px(PLUG_END_PX) * taller, frame.width() * 0.36)
        put(page.plug_end, QRectF(frame.left(), frame.top(), end_px, frame.height()))
        beside = frame.adjusted(end_px + gap_px, 0, 0, 0)
        if page.has_table:
            put(page.table, beside)
            return
        cut_px = page.section.wanted_height(beside.width())
        if page.has_closer:
            cut_px = min(cut_px, beside.height() - gap_px * 0.5 - page.closer.least_height())
            put(page.section, QRectF(beside.left(), beside.top(), beside.width(), cut_px))
            put(page.closer, beside.adjusted(0, cut_px + gap_px * 0.5, 0, 0))
        else:
            cut_px = min(cut_px, beside.height())
            above_px = (beside.height() - cut_px) / 2
            put(page.section, beside.adjusted(0, above_px, 0, -above_px))


def place_stacked(page: PageParts, width_px: float, height_px: float) -> float:
    """What to do and why first, then all else; returns the height needed. The caution stands below the page."""
    gap_px = page.dress.px(GAP_PX)
    page.plug_end.captioned = False
    small_px, notes_px = _small_pictures_height(page), page.notes.wanted_height(width_px)
    least_px = page.dress.text_px(SENTENCE_LEAST_PX) * 2 * LINE_PITCH
    if page.dress.text_scale > 1.0:
        floor_px, enlarged_px = (page.dress.px(px) * 2 * LINE_PITCH for px in (SENTENCE_FLOOR_PX, SENTENCE_ENLARGED_PX))
        least_px = max(least_px, min(enlarged_px, max(floor_px, height_px - notes_px - gap_px), height_px))
    pictures_first = small_px + least_px + notes_px + 2 * gap_px <= height_px
    room_px = height_px - notes_px - gap_px - (small_px + gap_px if pictures_first else 0.0)
    words: list[tuple[QWidget, float]] = [
        (page.sentence, page.sentence.wanted_height(width_px, max(least_px, min(room_px, height_px * 0.4)))),
        (page.notes, notes_px),
    ]
    if page.has_table:  # what can be done comes before what was measured
        words.append((page.asides, page.asides.wanted_height(width_px)))
    top_px = 0.0
    if pictures_first:
        top_px = _place_small_pictures(page, width_px, top_px) + gap_px * 0.5
    top_px = _place_column(words, width_px, top_px, gap_px)
    if not pictures_first:
        top_px = _place_small_pictures(page, width_px, top_px) + gap_px * 0.5
    top_px = _place_column(_stacked_below(page, width_px), width_px, top_px, gap_px)
    return max(height_px, top_px)


def _stacked_below(page: PageParts, width_px: float) -> list[tuple[QWidget, float]]:
    """What comes after sentence, notes and pictures, with the height of each."""
    column: list[tuple[QWidget, float]] = []
    if page.has_table:
        column.append((page.table, page.table.least_height() * 1.4))
    if page.has_closer and page.has_section:
        column.append((page.closer, page.closer.least_height() + page.dress.px(50)))
    parts = [page.chambers, page.blows, *(() if page.has_table else (page.asides,))]
    column += [(part, part.wanted_height(width_px)) for part in parts]
    column += [(page.breath, page.breath.least_height()), (page.rest, page.rest.wanted_height(width_px))]
    return column


def _place_column(column: list[tuple[QWidget, float]], width_px: float, top_px: float, gap_px: float) -> float:
    """Parts under one another; returns where the next one begins."""
    for part, part_px in column:
        put(part, QRectF(0, top_px, width_px, part_px))
        top_px += part_px + (gap_px if part_px else 0)
    return top_px


def _small_pictures_height(page: PageParts) -> float:
    return page.dress.px(100) + page.dress.text_px(38)


def _place_small_pictures(page: PageParts, width_px: float, top_px: float) -> float:
    """Plug end and cut side by side, small; returns their foot."""
    height_px = _small_pictures_height(page)
    end_px = min(width_px * 0.3, height_px * 1.15) if page.has_section or page.has_closer else width_px
    put(page.plug_end, QRectF(0, top_px, end_px, height_px))
    left_px = end_px + page.dress.px(GAP_PX)
    if page.has_section or page.has_closer:
        picture = page.section if page.has_section else page.closer
        put(picture, QRectF(left_px, top_px, width_px - left_px, height_px))
    return top_px + height_px


def put(part: QWidget, frame: QRectF) -> None:
    """Give a part its place, on whole pixels, edges kept."""
    left_px, top_px = round(frame.left()), round(frame.top())
    part.setGeometry(left_px, top_px, round(frame.right()) - left_px, max(0, round(frame.bottom()) - top_px))
