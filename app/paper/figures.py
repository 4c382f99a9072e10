"""How lengths stand on paper, in the maker's units: the first figure is the one to work to, the second stands under it.

As everywhere, what is left standing is written rounded down, what is needed rounded up. A figure is never broken over
two lines.
"""
from __future__ import annotations

from dataclasses import dataclass

from acoustics.constants import MM_PER_INCH
from acoustics.units import mm_to_inch
from app.paper.lettering import HARD
from app.remark import Lengths

_ON_THE_RULE_MM = 0.02  # a size this near a 64th of an inch was meant as one


@dataclass(frozen=True)
class Figure:
    """One length, once or twice."""

    main: str
    also: str = ""

    def __str__(self) -> str:
        return f"{self.main} ({self.also})" if self.also else self.main


def lettered(letter: str, figure: Figure) -> str:
    """A chamber's letter and its figure, kept on one line."""
    return f"{letter} {figure}".replace(" ", HARD)


@dataclass(frozen=True)
class Figures:
    units: str  # "mm", "inch" or "both"

    def size(self, length_mm: float) -> Figure:
        """As it was given or drawn."""
        return self._figure(Lengths("mm").size(length_mm), inch_size(length_mm))

    def needed(self, length_mm: float) -> Figure:
        """Never written as less: what is sawn or turned."""
        return self._figure(Lengths("mm").needed(length_mm), Lengths("inch").needed(length_mm))

    def left(self, length_mm: float) -> Figure:
        """Never written as more: a wall."""
        if length_mm < 0.0:
            return Figure("broken out")
        return self._figure(Lengths("mm").left(length_mm), Lengths("inch").left(length_mm))

    def set_out(self, length_mm: float) -> Figure:
        """For dividers and calipers."""
        return self._figure(f"{length_mm:.1f} mm", f"{mm_to_inch(length_mm):.3f} in")

    def _figure(self, in_mm: str, in_inch: str) -> Figure:
        in_mm, in_inch = in_mm.replace(" ", HARD), in_inch.replace(" ", HARD)
        if self.units == "inch":
            return Figure(in_inch)
        return Figure(in_mm, in_inch if self.units == "both" else "")


def inch_size(length_mm: float) -> str:
    """A fraction where it is one, else thousandths."""
    nearest = round(length_mm / MM_PER_INCH * 64.0) * MM_PER_INCH / 64.0
    if abs(nearest - length_mm) <= _ON_THE_RULE_MM:
        return Lengths("inch").size(nearest)
    return f"{mm_to_inch(length_mm):.3f} in"
