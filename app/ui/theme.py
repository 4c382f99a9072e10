"""Paper, ink and wood: the palettes, the lettering's family, and the scale that everything on the bench is drawn to."""
from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtGui import QColor, QFont

DESIGN_WIDTH_PX = 1280  # sizes in the code are for this screen and grow with the window
DESIGN_HEIGHT_PX = 800
FAMILIES = ["DejaVu Sans", "Noto Sans", "Liberation Sans", "sans-serif"]


@dataclass(frozen=True)
class Palette:
    """Colours by what they are of. Nothing is told by colour alone: hatch, weight and words say it too."""

    paper: str
    card: str  # the lighter paper behind drawings
    ink: str
    muted: str
    line: str  # thin rules between parts
    edge: str  # outline of wood
    wood: str
    grain: str
    plug: str
    plug_grain: str
    air: str
    hole: str
    hole_depth: str
    waste: str
    hatch: str
    goal: str
    chalk: str  # strokes on something dark

    def __getitem__(self, name: str) -> QColor:
        return QColor(getattr(self, name))


LIGHT = Palette(
    paper="#f6f1e7", card="#fffdf8", ink="#2b2622", muted="#655c52", line="#cfc5b6", edge="#2b2622",
    wood="#dfc499", grain="#c5a172", plug="#bd9563", plug_grain="#9a764b", air="#ffffff", hole="#352e28",
    hole_depth="#5d5145", waste="#f8e3d0", hatch="#b9520f", goal="#0f4a7c",
    chalk="#fffdf8",
)
DARK = Palette(
    paper="#201c18", card="#2a2520", ink="#f4ebdc", muted="#bfb3a2", line="#514940", edge="#e2d4bb",
    wood="#8b6d48", grain="#735837", plug="#654a2d", plug_grain="#82623d", air="#171410", hole="#0c0a08",
    hole_depth="#2f2822", waste="#45301f", hatch="#ff9d55", goal="#8ccaf8",
    chalk="#f4ebdc",
)
# For eyes that need more: every letter and every stroke that tells something has at least 7 times the contrast of its
# ground, and rules and outlines are as black as letters. The wood stays wood, but pale, or nearly black.
HIGH_LIGHT = Palette(
    paper="#ffffff", card="#ffffff", ink="#000000", muted="#262626", line="#000000", edge="#000000",
    wood="#f7ecd9", grain="#d8c29d", plug="#ecd5b0", plug_grain="#c6a878", air="#ffffff", hole="#000000",
    hole_depth="#3a3a3a", waste="#ffffff", hatch="#7d2f00", goal="#00285c",
    chalk="#ffffff",
)
HIGH_DARK = Palette(
    paper="#000000", card="#000000", ink="#ffffff", muted="#e4e4e4", line="#ffffff", edge="#ffffff",
    wood="#33240f", grain="#57401f", plug="#241804", plug_grain="#4a3516", air="#000000", hole="#000000",
    hole_depth="#2b2b2b", waste="#000000", hatch="#ffb277", goal="#9fd6ff",
    chalk="#ffffff",
)


@dataclass(frozen=True)
class Dress:
    """How the bench is drawn now: every painted part wears the same one."""

    palette: Palette
    unit_px: float  # screen pixels to one pixel of the design
    text_scale: float
    inches: bool = False

    def px(self, design_px: float) -> float:
        return design_px * self.unit_px

    def text_px(self, design_px: float) -> float:
        return design_px * self.unit_px * self.text_scale


@lru_cache(maxsize=256)
def lettering(size_px: float, bold: bool = False, stretch: int = 100) -> QFont:
    """A plain upright face; a stretch under 100 is narrower, so that it can be taller."""
    font = QFont()
    font.setFamilies(FAMILIES)
    font.setStyleHint(QFont.StyleHint.SansSerif)
    font.setPixelSize(max(1, round(size_px)))
    font.setBold(bold)
    font.setStretch(stretch)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


def luminance(colour: QColor) -> float:
    """Relative luminance, 0 to 1, of an sRGB colour (Web Content Accessibility Guidelines 2.1, definitions)."""

    def linear(channel: float) -> float:
        return channel / 12.92 if channel <= 0.03928 else ((channel + 0.055) / 1.055) ** 2.4

    return 0.2126 * linear(colour.redF()) + 0.7152 * linear(colour.greenF()) + 0.0722 * linear(colour.blueF())


def contrast(one: QColor, other: QColor) -> float:
    """Contrast ratio, 1 to 21 (same guidelines)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def palette_for(theme: str, contrast_wish: str = "usual") -> Palette:
    """Theme "light", "dark" or "system", contrast "usual", "high" or "system": what the desktop asks for."""
    dark = theme == "dark" or (theme == "system" and _system_is_dark())
    high = contrast_wish == "high" or (contrast_wish == "system" and _system_wants_contrast())
    if high:
        return HIGH_DARK if dark else HIGH_LIGHT
    return DARK if dark else LIGHT


def _system_is_dark() -> bool:
    from PySide6.QtCore import Qt
    from PySide6.QtGui import QGuiApplication

    return QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark


def _system_wants_contrast() -> bool:
    """Asked of Qt, which knows it from 6.10 on."""
    from PySide6.QtCore import Qt
    from PySide6.QtGui import QGuiApplication

    hints = QGuiApplication.styleHints()
    return hasattr(hints, "accessibility") and (
        hints.accessibility().contrastPreference() == Qt.ContrastPreference.HighContrast)
