"""The panels of words: blows on this plug (or the figures), the caution with its authority, standing advice."""
from __future__ import annotations

from PySide6.QtCore import QRectF

from app.ui.painted import Painted, Pencil, words_height
from app.view import Breath, Caution

HEADING_PX = 16
BODY_PX = 15
SMALL_PX = 13
Piece = tuple[str, float, str, bool, float]  # text, design size, colour, bold, design space after it


class Panel(Painted):
    """Pieces of text under one another."""

    indent_px = 0.0

    def pieces(self) -> list[Piece]:
        raise NotImplementedError

    def wanted_height(self, width_px: float) -> float:
        width_px -= self.dress.px(self.indent_px)
        return sum(
            words_height(text, self.dress.text_px(size_px), width_px, bold) + self.dress.px(after_px)
            for text, size_px, _colour, bold, after_px in self.pieces()
        )

    def draw(self, pencil: Pencil) -> None:
        left_px, top_px = self.dress.px(self.indent_px), 0.0
        for text, size_px, colour, bold, after_px in self.pieces():
            frame = QRectF(left_px, top_px, self.width() - left_px, 10_000)
            top_px += pencil.words(frame, text, size_px, colour, bold=bold) + self.dress.px(after_px)


class BlowsPanel(Panel):
    """What the blows on this plug said, in words; one key away the figures behind them."""

    def __init__(self) -> None:
        super().__init__("Blows")
        self._blows = Breath("", (), "", "")
        self._figures: tuple[str, ...] = ()
        self.shows_figures = False

    def show_blows(self, blows: Breath, figures: tuple[str, ...]) -> None:
        self._blows, self._figures = blows, figures
        self._tell_all()

    def show_figures(self, shown: bool) -> None:
        self.shows_figures = shown
        self._tell_all()

    def _tell_all(self) -> None:
        self.setAccessibleName("Figures" if self.shows_figures else "Blows")
        self.tell(". ".join(text for text, *_ in self.pieces()))

    def pieces(self) -> list[Piece]:
        if self.shows_figures:
            lines = self._figures or ("no figures yet",)
            return [("Figures", HEADING_PX, "ink", True, 5), *((line, BODY_PX, "ink", False, 3) for line in lines)]
        found: list[Piece] = [(self._blows.title, HEADING_PX, "ink", True, 5)]
        for line in self._blows.lines:
            counted = line[:1].isdigit()
            found.append((line, BODY_PX, "ink" if counted else "muted", False, 3))
        if self._blows.agreement:
            found.append((self._blows.agreement, BODY_PX, "ink", True, 3))
        if self._blows.wish:
            found.append((self._blows.wish, SMALL_PX, "muted", False, 0))
        return [piece for piece in found if piece[0]]


class CautionPanel(Panel):
    """A bar, a word, the caution of this step and whose it is."""

    indent_px = 14.0

    def __init__(self) -> None:
        super().__init__("Caution")
        self._caution: Caution | None = None

    def show_caution(self, caution: Caution | None) -> None:
        self._caution = caution
        self.tell(f"{caution.text} Source: {caution.authority}" if caution else "none at this step")

    def pieces(self) -> list[Piece]:
        if self._caution is None:
            return []
        return [
            ("Caution", HEADING_PX, "ink", True, 2), (self._caution.text, SMALL_PX + 1, "ink", False, 2),
            (self._caution.authority, SMALL_PX, "muted", False, 0),
        ]

    def draw(self, pencil: Pencil) -> None:
        if self._caution is None:
            return
        pencil.painter.fillRect(QRectF(0, 0, self.dress.px(5), self.height()), pencil.palette["ink"])
        super().draw(pencil)


class AsidesPanel(Panel):
    """Short standing advice of this step."""

    def __init__(self) -> None:
        super().__init__("Standing advice")
        self._asides: tuple[str, ...] = ()

    def show_asides(self, asides: tuple[str, ...]) -> None:
        self._asides = asides
        self.tell(" ".join(asides))

    def pieces(self) -> list[Piece]:
        return [(text, SMALL_PX + 1, "ink" if number == 0 else "muted", False, 5)
                for number, text in enumerate(self._asides)]
