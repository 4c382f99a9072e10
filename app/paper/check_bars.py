"""Bars to lay a rule on before a sheet is used at its size: printers shrink pages unless they are told not to."""
from __future__ import annotations

from app.paper.drawing import Drawing
from app.paper.model import Align, Weight

BAR_100_MM, BAR_4_IN_MM = 100.0, 101.6
TICK_MM, LONG_TICK_MM, END_TICK_MM = 1.2, 2.0, 4.0
TELL = "Measure these bars first."
HOW = "Print at 100 % (“actual size”), never “fit to page”. If a bar is not as long as it says, throw this page away."
_BARS = ((BAR_100_MM, 10, "100 mm"), (BAR_4_IN_MM, 8, "4 in"))
_APART_MM = 9.0


def bars_across(drawing: Drawing, x_mm: float, y_mm: float) -> None:
    """Both bars, one under the other, from `x_mm` to the right; they take about 16 mm downwards."""
    for row, (length_mm, n_parts, words) in enumerate(_BARS):
        y = y_mm + 5.0 + row * _APART_MM
        drawing.line(x_mm, y, x_mm + length_mm, y)
        for part in range(n_parts + 1):
            reach_mm = _tick_mm(part, n_parts)
            x = x_mm + length_mm * part / n_parts
            drawing.line(x, y - reach_mm, x, y, Weight.THIN if reach_mm < END_TICK_MM else Weight.PLAIN)
        drawing.write(x_mm + length_mm / 2.0, y + 3.4, words, 8.5, bold=True, align=Align.MIDDLE)


def bars_down(drawing: Drawing, x_mm: float, y_mm: float) -> None:
    """Both bars, side by side, from `y_mm` down; they take about 18 mm to the right."""
    for column, (length_mm, n_parts, words) in enumerate(_BARS):
        x = x_mm + 4.0 + column * _APART_MM
        drawing.line(x, y_mm, x, y_mm + length_mm)
        for part in range(n_parts + 1):
            reach_mm = _tick_mm(part, n_parts)
            y = y_mm + length_mm * part / n_parts
            drawing.line(x - reach_mm, y, x, y, Weight.THIN if reach_mm < END_TICK_MM else Weight.PLAIN)
        drawing.write(x + 3.4, y_mm + length_mm / 2.0, words, 8.5, bold=True, align=Align.MIDDLE, upward=True)


def _tick_mm(part: int, n_parts: int) -> float:
    if part in (0, n_parts):
        return END_TICK_MM
    return LONG_TICK_MM if 2 * part == n_parts else TICK_MM
