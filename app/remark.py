"""One sentence about a plan, and how lengths are written in it.

A wall is always written rounded down, what is needed rounded up: nothing looks thicker or roomier than it is.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from acoustics.units import inch_fraction_down, inch_fraction_up, mm_to_inch
from app import lengths

COUNTS = ("no", "one", "two", "three", "four", "five", "six")
_SAME_MM = 1e-6  # rounding in the last digits must not push a length to the next tenth


class Weight(StrEnum):
    REFUSE = "refuse"  # it cannot be made so
    CARE = "care"  # it can, and something is likely to go wrong
    NOTE = "note"


@dataclass(frozen=True)
class Remark:
    """One sentence about the plan; `code` says which, for tests and sheets."""

    code: str
    weight: Weight
    sentence: str


@dataclass(frozen=True)
class Lengths:
    """Lengths in the maker's units."""

    units: str

    def size(self, length_mm: float) -> str:
        """A size that was given or drawn, as it stands."""
        if self.units == "inch":
            text = lengths.length_text(length_mm, "inch")
            return f"{text if '.' not in text else f'{mm_to_inch(length_mm):.3f}'} in"
        return f"{_tenths(round(length_mm * 10.0))} mm"

    def tool(self, length_mm: float) -> str:
        """A drill's or a rod's own size, to the last figure that was given."""
        return f"{lengths.length_text(length_mm, self.units)} {'in' if self.units == 'inch' else 'mm'}"

    def left(self, length_mm: float) -> str:
        """What is left of something: never written as more than it is."""
        if self.units == "inch":
            return f"{inch_fraction_down(max(0.0, length_mm))} in"
        return f"{_tenths(math.floor(length_mm * 10.0 + _SAME_MM))} mm"

    def needed(self, length_mm: float) -> str:
        """What is needed of something: never written as less than it is."""
        if self.units == "inch":
            return f"{inch_fraction_up(max(0.0, length_mm))} in"
        return f"{_tenths(math.ceil(length_mm * 10.0 - _SAME_MM))} mm"

    def needed_mm(self, length_mm: float) -> float:
        """The length that `needed` writes: what is worked out from a written one must hold for it."""
        if self.units == "inch":
            return length_mm - inch_fraction_up(max(0.0, length_mm)).leftover_mm
        return math.ceil(length_mm * 10.0 - _SAME_MM) / 10.0

    def fine(self, length_mm: float) -> str:
        """What only calipers tell: how a dowel fits."""
        return f"{mm_to_inch(length_mm):.3f} in" if self.units == "inch" else f"{length_mm:.2f} mm"


def listed(words: Sequence[str]) -> str:
    """A; A and B; A, B and C."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _tenths(n_tenths: int) -> str:
    return f"{n_tenths / 10:.1f}".removesuffix(".0")
