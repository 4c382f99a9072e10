"""Cents, millimetres and inch fractions.

Conventions
-----------
`deviation_cents` is measured minus target, so `cents_between` takes the measured frequency first; positive is sharp.
Inch fractions round the way that spares wood: what is cut off is rounded down, what is left standing is rounded up.
"""
from __future__ import annotations

import math
from dataclasses import dataclass

from acoustics.constants import CENTS_PER_OCTAVE, MM_PER_INCH
from acoustics.errors import OutOfRangeError, require_between

# A length that is a whole number of 64ths up to rounding in the last digits must not be pushed to the next one.
_SAME_FRACTION = 1e-6
_MAX_LENGTH_MM = 10_000.0


def cents_between(frequency_hz: float, reference_hz: float) -> float:
    """Cents from `reference_hz` up to `frequency_hz`; positive when `frequency_hz` is the sharper.

    Parameters
    ----------
    frequency_hz, reference_hz : float
        Both above 0.

    Raises
    ------
    OutOfRangeError
        If either is not a positive, finite number.
    """
    for name, value_hz in (("frequency in Hz", frequency_hz), ("reference in Hz", reference_hz)):
        if not 0.0 < value_hz < math.inf:
            raise OutOfRangeError(f"{name} is {value_hz:g}; it must be above 0. Was silence read as a note?")
    return CENTS_PER_OCTAVE * math.log2(frequency_hz / reference_hz)


def shift_hz(frequency_hz: float, cents: float) -> float:
    """The frequency that lies `cents` above `frequency_hz` (below, when negative).

    Notes
    -----
    Inverse of `cents_between`: ``cents_between(shift_hz(f, c), f) == c``.
    """
    return float(frequency_hz * 2.0 ** (cents / CENTS_PER_OCTAVE))


def mm_to_inch(length_mm: float) -> float:
    """Inches in `length_mm`."""
    return length_mm / MM_PER_INCH


def inch_to_mm(length_inch: float) -> float:
    """Millimetres in `length_inch`."""
    return length_inch * MM_PER_INCH


@dataclass(frozen=True)
class InchFraction:
    """A length on an inch rule, in lowest terms, and what the rule cannot show.

    Parameters
    ----------
    whole : int
        Whole inches.
    numerator, denominator : int
        The fraction in lowest terms; ``0/1`` for a whole number of inches.
    leftover_mm : float
        True length minus this fraction: 0 or more after `inch_fraction_down`, 0 or less after `inch_fraction_up`.
    """

    whole: int
    numerator: int
    denominator: int
    leftover_mm: float

    @property
    def length_mm(self) -> float:
        """The fraction itself, without the leftover."""
        return inch_to_mm(self.whole + self.numerator / self.denominator)

    def __str__(self) -> str:
        if self.numerator == 0:
            return str(self.whole)
        fraction = f"{self.numerator}/{self.denominator}"
        return f"{self.whole} {fraction}" if self.whole else fraction


def inch_fraction_down(length_mm: float, parts: int = 64) -> InchFraction:
    """The longest inch fraction that is not above `length_mm`: for what is cut off.

    Parameters
    ----------
    length_mm : float
        0 to 10 000.
    parts : int
        Divisions of the inch: 2, 4, 8, 16, 32 or 64.

    Raises
    ------
    OutOfRangeError
        If `length_mm` is negative, too large or not a number, or an inch rule has no such `parts`.
    """
    return _fraction(length_mm, math.floor(_parts_in(length_mm, parts) + _SAME_FRACTION), parts)


def inch_fraction_up(length_mm: float, parts: int = 64) -> InchFraction:
    """The shortest inch fraction that is not below `length_mm`: for what is left standing.

    Parameters and errors are those of `inch_fraction_down`.
    """
    return _fraction(length_mm, math.ceil(_parts_in(length_mm, parts) - _SAME_FRACTION), parts)


def _parts_in(length_mm: float, parts: int) -> float:
    require_between("length in mm", length_mm, 0.0, _MAX_LENGTH_MM)
    if parts not in (2, 4, 8, 16, 32, 64):
        raise OutOfRangeError(f"an inch rule has no {parts} parts to the inch; it has 2, 4, 8, 16, 32 or 64.")
    return mm_to_inch(length_mm) * parts


def _fraction(length_mm: float, n_parts: int, parts: int) -> InchFraction:
    whole, numerator = divmod(n_parts, parts)
    divisor = math.gcd(numerator, parts)
    leftover_mm = length_mm - inch_to_mm(n_parts / parts)
    return InchFraction(whole, numerator // divisor, parts // divisor, leftover_mm)
