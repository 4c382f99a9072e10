"""The face of the window: stick at the left, heading, page, keys; the room view or all keys over them when asked."""
from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from app.events import Typed
from app.ui.heading import Heading, TroubleBand
from app.ui.help_page import HelpPage
from app.ui.keys_line import KeysLine
from app.ui.length_field import LengthField
from app.ui.page import Page, is_new
from app.ui.painted import Drawn, TextBox
from app.ui.panels import CautionPanel
from app.ui.room_view import RoomView
from app.ui.story_stick import StoryStick
from app.ui.theme import LIGHT, Dress
from app.view import RoomLines, Stage, View

MARGIN_PX = 22


class Bench(QWidget):
    """Lays its parts out by hand, so that each has exactly the room its words need.

    Signals: `covered_changed(bool)` when the room view or the keys were opened or put away.
    """

    covered_changed = Signal(bool)

    def __init__(
        self, choose_stage: Callable[[Stage], None], choose_chamber: Callable[[str], None],
        press: Callable[[str], None], typed: Callable[[Typed], None],
    ) -> None:
        super().__init__()
        self.dress = Dress(LIGHT, 1.0, 1.0)
        self.stick = StoryStick(choose_stage)
        self.heading, self.trouble = Heading(), TroubleBand()
        self.page = Page(choose_chamber)
        self.scroll = QScrollArea()
        self.scroll.setFrameShape(QFrame.Shape.NoFrame)
        self.scroll.setWidget(self.page)
        self.scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.keys = KeysLine(press)
        self.caution = CautionPanel()  # in place of the page's own, where the page scrolls
        self.length = LengthField(typed)
        self.room, self.help = RoomView(self.close_top), HelpPage(self.close_top)
        self._shown: View | None = None
        self._drawn = (self.stick, self.heading, self.trouble, self.page, self.caution, self.keys, self.room, self.help)
        for part in (self.stick, self.heading, self.trouble, self.scroll, self.caution, self.keys, self.length,
                     self.room, self.help):
            part.setParent(self)

    def show_view(self, view: View) -> None:
        before, self._shown = self._shown, view
        if is_new(view, before, "stage", "stages_done"):
            self.stick.show_stage(view.stage, view.stages_done)
        if is_new(view, before, "title", "subtitle", "hearing", "hearing_ok", "conditions"):
            self.heading.show_heading(view.title, view.subtitle, view.hearing, view.hearing_ok, view.conditions)
        if is_new(view, before, "trouble"):
            self.trouble.show_trouble(view.trouble)
        if is_new(view, before, "caution"):
            self.caution.show_caution(view.caution)
        self.page.show_view(view)
        self.keys.show_keys(view.keys if "?:" in view.keys else f"{view.keys} · ?: all keys")
        meant = next((row.letter for row in view.rows if row.meant), "")
        self.room.show_lines(view.room or RoomLines(meant, view.sentence))
        if not view.may_type:
            self.length.hide()
        self.lay_out()

    def wear(self, dress: Dress) -> None:
        self.dress = dress
        palette = self.palette()
        palette.setColor(self.backgroundRole(), dress.palette["paper"])
        self.setPalette(palette)
        self.setAutoFillBackground(True)
        for part in self._drawn:
            part.wear(dress)
        self.lay_out()

    def covered(self) -> bool:
        """Whether the room view or the page of keys lies over the bench."""
        return self.room.isVisible() or self.help.isVisible()

    def close_top(self) -> bool:
        """Put away what lies on top; False when nothing does."""
        for part in (self.help, self.room, self.length):
            if part.isVisible():
                part.hide()
                self.lay_out()
                self.covered_changed.emit(self.covered())
                self.window().setFocus()
                return True
        return False

    def turn(self, name: str) -> None:
        """Keys that change only what is shown."""
        if name == "d":
            self.page.blows.show_figures(not self.page.blows.shows_figures)
            self.lay_out()
        elif name == "b":
            self.page.breath.rest(not self.page.breath.rests)
        elif name in ("f", "?"):
            part = self.room if name == "f" else self.help
            part.setVisible(not part.isVisible())
            part.raise_()
            self.covered_changed.emit(self.covered())
        elif name in ("pgup", "pgdown"):
            bar = self.scroll.verticalScrollBar()
            bar.setValue(bar.value() + (1 if name == "pgdown" else -1) * round(self.scroll.height() * 0.8))

    def open_length(self, text: str, units: str) -> None:
        self.length.units = units
        self.length.open_with(text)
        self.lay_out()

    def resizeEvent(self, _event: QResizeEvent) -> None:
        self.lay_out()

    def lay_out(self) -> None:
        """All side by side where it fits; else under one another, with a short heading and a key that leads down."""
        for stacked in (False, True):
            self.heading.short = stacked
            self.keys.offer_more(stacked)
            self._place_parts(stacked)
            if not self.page.stacked:
                break

    def _place_parts(self, stacked: bool) -> None:
        """Stick and heading from the top, keys from the foot, the page in what is left."""
        margin_px = round(self.dress.px(MARGIN_PX))
        top_px, foot_px = round(margin_px * 0.6), self.height() - round(margin_px * 0.6)
        stick_px = round(self.stick.wanted_width())
        self.stick.setGeometry(margin_px, top_px, stick_px, foot_px - top_px)
        left_px = margin_px + stick_px + round(margin_px * 0.6)
        width_px = max(50, self.width() - left_px - margin_px)
        for part in (self.heading, self.trouble):
            height_px = round(part.wanted_height(width_px))
            part.setGeometry(left_px, top_px, width_px, height_px)
            part.setVisible(height_px > 0)
            top_px += height_px + (round(margin_px * 0.4) if height_px else 0)
        keys_px = round(self.keys.wanted_height(width_px)) + 1
        foot_px -= keys_px
        self.keys.setGeometry(left_px, foot_px, width_px, keys_px)
        foot_px -= round(margin_px * 0.3)
        self._lay_out_page(left_px, top_px, width_px, max(40, foot_px - top_px), stacked)
        if self.length.isVisible():
            length_px = max(self.length.sizeHint().height(), self.length.heightForWidth(width_px))
            # Over the cards, or over the foot of what scrolls: caution and sentence stay in sight.
            foot_px = self.scroll.geometry().bottom() + 1
            if not self.page.stacked:
                foot_px = top_px + self.page.sentence.y() - round(margin_px * 0.3)
            self.length.setGeometry(left_px, foot_px - length_px, width_px, length_px)
            self.length.raise_()
        for cover in (self.room, self.help):
            cover.setGeometry(self.rect())

    def _lay_out_page(self, left_px: int, top_px: int, width_px: int, height_px: int, stacked: bool) -> None:
        """All of the page where it fits; else it scrolls above the caution, which never does."""
        caution_px = round(self.caution.wanted_height(width_px)) if stacked else 0
        self.caution.setVisible(caution_px > 0)
        self.caution.setGeometry(left_px, top_px + height_px - caution_px, width_px, caution_px)
        if caution_px:
            height_px = max(40, height_px - caution_px - round(self.dress.px(MARGIN_PX) * 0.3))
        self.scroll.setGeometry(left_px, top_px, width_px, height_px)
        bar = Qt.ScrollBarPolicy.ScrollBarAlwaysOn if stacked else Qt.ScrollBarPolicy.ScrollBarAlwaysOff
        self.scroll.setVerticalScrollBarPolicy(bar)
        if stacked:  # the bar takes of the margin first
            spare_px = self.width() - left_px - width_px
            bar_px = self.scroll.verticalScrollBar().sizeHint().width() + round(self.dress.px(6))
            self.scroll.resize(width_px + min(bar_px, spare_px), height_px)
            width_px -= max(0, bar_px - spare_px)
        needed_px = self.page.arrange(width_px, height_px, stacked)
        self.page.resize(width_px, round(needed_px))

    def text_boxes(self) -> list[tuple[str, TextBox]]:
        """(name of the part, words as last painted) for all visible parts."""
        return [
            (part.accessibleName(), box)
            for part in self.findChildren(QWidget) if isinstance(part, Drawn) and part.isVisible()
            for box in part.text_boxes()
        ]
