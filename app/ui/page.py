"""Everything between heading and keys: pictures, cards, sentence, panels, breath."""
from __future__ import annotations

from collections.abc import Callable
from itertools import product

from PySide6.QtCore import QPointF

from app.ui.arrangement import SideBySide, place_stacked
from app.ui.page_parts import PageParts
from app.ui.theme import Dress
from app.view import View


def is_new(view: View, before: View | None, *names: str) -> bool:
    """Whether one of these fields changed: a part is painted again only then, and most blows change little."""
    return before is None or any(getattr(view, name) != getattr(before, name) for name in names)


class Page(PageParts):
    """The parts, showing a view and put where they belong."""

    def __init__(self, choose: Callable[[str], None]) -> None:
        super().__init__(choose)
        self.stacked = False
        self._shown: View | None = None

    def show_view(self, view: View) -> None:
        before, self._shown = self._shown, view
        if is_new(view, before, "ends"):
            self.plug_end.show_ends(view.ends)
        if is_new(view, before, "section"):
            self.section.show_section(view.section)
        if is_new(view, before, "closer"):
            self.closer.show_closer(view.closer)
        if is_new(view, before, "table"):
            self.table.show_table(view.table)
        self.has_section, self.has_closer = view.section is not None, view.closer is not None
        self.has_table = bool(view.table)
        self.table.setVisible(self.has_table)
        self.section.setVisible(self.has_section)
        self.closer.setVisible(self.has_closer)
        self.chambers.show_rows(view.rows)
        self.sentence.show_sentence(view.sentence)
        if is_new(view, before, "held_back", "why"):
            self.notes.show_notes(view.held_back, view.why)
        self.notes.setVisible(bool(view.held_back or view.why))
        if is_new(view, before, "blows", "figures"):
            self.blows.show_blows(view.blows, view.figures)
        if is_new(view, before, "caution"):
            self.caution.show_caution(view.caution)
        if is_new(view, before, "asides"):
            self.asides.show_asides(view.asides)
        self.rest.show_rest(view.subtitle, view.conditions)
        if is_new(view, before, "level"):
            self.breath.show_level(view.level)
        if is_new(view, before, "blows", "sentence"):
            self.breath.catch_up()

    def wear(self, dress: Dress) -> None:
        self.dress = dress
        for part in self.parts:
            part.wear(dress)

    def arrange(self, width_px: float, height_px: float, stacked: bool = False) -> float:
        """Place all parts, under one another if need be or `stacked`; the height that is needed, to be scrolled."""
        for large, asides_below in product((False,) if self.has_pictures() else (True, False), (False, True)):
            self.chambers.enlarge(large)
            side_by_side = SideBySide(self, width_px, height_px, asides_below)
            if side_by_side.fits():
                break
        self.stacked = stacked or not side_by_side.fits()
        self.caution.setVisible(not self.stacked)  # stacked, the bench itself shows it, where nothing scrolls
        self.rest.setVisible(self.stacked)
        if self.stacked:
            needed_px = place_stacked(self, width_px, height_px)
        else:
            side_by_side.place()
            needed_px = height_px
        self.closer.match_scale(self.section.px_per_mm())
        self._point_arrow()
        return needed_px

    def _point_arrow(self) -> None:
        """From the bore that is meant to its cut; none where it would run over a letter."""
        corner = QPointF(self.plug_end.pos())
        way = tuple(corner + point for point in self.plug_end.way_out())
        tip = QPointF(self.section.pos()) + self.section.end_point()
        shown = bool(way) and self.has_section and not self.plug_end.crosses_letter(way[-1] - corner, tip - corner)
        self.arrow.show_way((*way, tip) if shown else ())
        self.arrow.setGeometry(self.plug_end.geometry().united(self.section.geometry()))
        self.arrow.raise_()
