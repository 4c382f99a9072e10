"""A caution on paper: beside its step, behind a heavy bar, with its authority under it."""
from __future__ import annotations

from app.paper.drawing import Drawing, paragraph_height_mm
from app.paper.model import Weight
from app.view import Caution

TEXT_PT, AUTHORITY_PT = 9.0, 7.5
_BAR_MM = 3.5


def caution_height_mm(caution: Caution, room_mm: float) -> float:
    return (
        paragraph_height_mm(_text(caution), TEXT_PT, room_mm - _BAR_MM)
        + paragraph_height_mm(caution.authority, AUTHORITY_PT, room_mm - _BAR_MM) + 0.6
    )


def draw_caution(drawing: Drawing, caution: Caution, x_mm: float, top_mm: float, room_mm: float) -> float:
    """Returns where it ends."""
    below_mm = drawing.paragraph(x_mm + _BAR_MM, top_mm, _text(caution), TEXT_PT, room_mm - _BAR_MM)
    below_mm = drawing.paragraph(x_mm + _BAR_MM, below_mm + 0.4, caution.authority, AUTHORITY_PT, room_mm - _BAR_MM)
    drawing.line(x_mm + 0.8, top_mm + 0.4, x_mm + 0.8, below_mm - 0.4, Weight.HEAVY)
    return below_mm


def _text(caution: Caution) -> str:
    return f"Caution. {caution.text}"
