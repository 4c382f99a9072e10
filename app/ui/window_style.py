"""The few parts of the bench that Qt draws itself: menu, scroll bar, fields, in the bench's own colours."""
from __future__ import annotations

from app.ui.theme import FAMILIES, Dress


def window_style(dress: Dress) -> str:
    colour = dress.palette
    letter_px, small_px = round(dress.text_px(16)), round(dress.text_px(13))
    pad_px = max(2, round(dress.px(4)))
    families = ", ".join(f'"{family}"' for family in FAMILIES[:-1])
    return f"""
    QMainWindow, QScrollArea, QScrollArea > QWidget > QWidget {{ background: {colour.paper}; border: none; }}
    QWidget {{ font-family: {families}; }}
    QMenuBar {{ background: {colour.paper}; color: {colour.ink}; font-size: {small_px}px;
        padding-left: {pad_px * 4}px; }}
    QMenuBar::item {{ padding: {pad_px}px {pad_px * 2}px; background: transparent; color: {colour.ink}; }}
    QMenuBar::item:selected {{ background: {colour.ink}; color: {colour.paper}; }}
    QMenu {{ background: {colour.card}; color: {colour.ink}; font-size: {small_px}px; border: 1px solid {colour.ink}; }}
    QMenu::item {{ padding: {pad_px}px {pad_px * 6}px; }}
    QMenu::item:selected {{ background: {colour.ink}; color: {colour.paper}; }}
    QMenu::separator {{ height: 1px; background: {colour.line}; margin: {pad_px}px; }}
    QScrollBar:vertical {{ background: {colour.paper}; width: {pad_px * 3}px; margin: 0; }}
    QScrollBar::handle:vertical {{ background: {colour.muted}; min-height: {pad_px * 8}px; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ background: none; height: 0; }}
    QScrollBar::add-page, QScrollBar::sub-page {{ background: none; height: 0; }}
    #length_field {{ background: {colour.card}; border: 2px solid {colour.ink}; }}
    #length_field QLabel, #length_field QCheckBox {{ color: {colour.ink}; font-size: {small_px}px; }}
    #length_field QLineEdit {{ background: {colour.paper}; color: {colour.ink}; font-size: {letter_px}px;
        border: 1px solid {colour.muted}; padding: {pad_px}px; }}
    #length_field QLineEdit:focus {{ border: 2px solid {colour.goal}; }}
    #length_field QPushButton {{ background: {colour.ink}; color: {colour.paper}; font-size: {small_px}px;
        padding: {pad_px}px {pad_px * 3}px; border: none; }}
    """
