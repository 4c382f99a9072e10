"""Colours and letters of the sheets, as one style sheet."""
from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QPalette

from app.settings import Settings
from app.ui.theme import FAMILIES, Palette, palette_for

LETTER_PX = 19  # at text scale 1


@dataclass(frozen=True)
class Paper:
    """What a sheet is drawn with."""

    palette: Palette
    text_scale: float = 1.0


def paper_for(settings: Settings) -> Paper:
    """The paper for the maker's theme and size of text."""
    return Paper(palette_for(settings.theme, settings.contrast), settings.text_scale)


def paper_palette(paper: Paper) -> QPalette:
    """For what the style sheet leaves to the system: ticks, arrows, lists."""
    palette = QPalette()
    role = QPalette.ColorRole
    for roles, colour in (
        ((role.Window, role.Button), "paper"),
        ((role.Base, role.AlternateBase, role.HighlightedText), "card"),
        ((role.WindowText, role.Text, role.ButtonText), "ink"),
        ((role.PlaceholderText,), "muted"),
        ((role.Highlight, role.Accent), "goal"),
    ):
        for one in roles:
            palette.setColor(one, paper.palette[colour])
    return palette


def outlined_palette(paper: Paper) -> QPalette:
    """For boxes and buttons: styles draw their outline in a darker shade of the window's colour, lost on dark paper."""
    palette = paper_palette(paper)
    palette.setColor(QPalette.ColorRole.Window, paper.palette["muted"])
    return palette


def paper_style(paper: Paper) -> str:
    """The style sheet; sizes follow the text."""
    colour = paper.palette
    letter_px = round(LETTER_PX * paper.text_scale)
    pad_px = round(letter_px * 0.4)
    families = ", ".join(f'"{family}"' for family in FAMILIES[:-1])
    return f"""
    QWidget {{ font-family: {families}; font-size: {letter_px}px; color: {colour.ink}; }}
    QLabel#heading {{ font-size: {round(letter_px * 1.6)}px; font-weight: bold; }}
    QLabel#large {{ font-size: {round(letter_px * 1.4)}px; font-weight: bold; }}
    QLabel#strong {{ font-weight: bold; }}
    QLabel#muted {{ color: {colour.muted}; font-size: {round(letter_px * 0.88)}px; }}
    QLabel#trouble {{ font-weight: bold; border: 2px solid {colour.ink}; padding: {pad_px}px; }}
    QFrame#caution {{ border: none; border-left: 5px solid {colour.ink}; }}
    QLineEdit, QListWidget {{ background: {colour.card}; border: 1px solid {colour.muted}; padding: {pad_px}px;
        placeholder-text-color: {colour.muted}; }}
    QScrollBar:vertical {{ background: {colour.paper}; width: 14px; margin: 0; }}
    QScrollBar:horizontal {{ background: {colour.paper}; height: 14px; margin: 0; }}
    QScrollBar::handle:vertical {{ background: {colour.muted}; min-height: {letter_px * 2}px; }}
    QScrollBar::handle:horizontal {{ background: {colour.muted}; min-width: {letter_px * 2}px; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ background: none; width: 0; height: 0; }}
    QScrollBar::add-page, QScrollBar::sub-page {{ background: none; }}
    QScrollArea#side {{ border: 2px solid transparent; }}
    QScrollArea#side:focus {{ border: 2px solid {colour.goal}; }}
    QLineEdit:focus, QListWidget:focus {{ border: 3px solid {colour.goal}; }}
    QComboBox, QAbstractSpinBox {{ min-height: {2 * letter_px}px; }}
    QListWidget::item {{ padding: {pad_px}px; }}
    QListWidget#choices::item {{ padding: {pad_px // 2}px 0; border-bottom: 1px solid {colour.line}; }}
    QListWidget::item:selected {{ background: {colour.goal}; color: {colour.card}; }}
    QComboBox QAbstractItemView {{ background: {colour.card}; selection-background-color: {colour.goal};
        selection-color: {colour.card}; }}
    QPushButton {{ background: {colour.card}; border: 2px solid {colour.ink}; padding: {pad_px}px {2 * pad_px}px; }}
    QPushButton#default {{ background: {colour.ink}; color: {colour.paper}; font-weight: bold; }}
    QPushButton#page {{ border: none; border-bottom: 4px solid {colour.line}; background: {colour.paper};
        color: {colour.muted}; font-weight: bold; }}
    QPushButton#page:checked {{ border-bottom: 4px solid {colour.ink}; color: {colour.ink}; }}
    QPushButton:focus, QPushButton#page:focus {{ border: 4px solid {colour.goal}; }}
    QPushButton:disabled {{ color: {colour.muted}; border-color: {colour.muted}; }}
    QRadioButton, QCheckBox {{ spacing: {pad_px}px; padding: {pad_px // 2}px; border: 2px solid transparent; }}
    QRadioButton:focus, QCheckBox:focus {{ border: 2px solid {colour.goal}; }}
    QRadioButton::indicator, QCheckBox::indicator {{ width: {letter_px}px; height: {letter_px}px; }}
    """

