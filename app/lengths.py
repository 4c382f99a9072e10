"""Lengths as people type them, and lengths put back into the fields they were typed in.

A fraction is always inches; a bare number is millimetres unless the maker works in inches only.
"""
from __future__ import annotations

import re
from fractions import Fraction

from acoustics.units import MM_PER_INCH
from app.errors import WorldError

MOST_MM = 1000.0  # no part of a hand whistle is a metre long: more is a slip of the decimal point or of the unit
RULE_DENOMINATORS = (2, 4, 8, 16, 32, 64, 128)
EXAMPLES = "write it like 57.6, 57.6 mm, 2.27 in or 2 17/64"

_UNIT_MM = {"mm": 1.0, "cm": 10.0, "in": MM_PER_INCH}
_UNIT_WORDS = {"millimetre": "mm", "millimeter": "mm", "centimetre": "cm", "centimeter": "cm", "inch": "in"}
_SINGLE_SIGNS = {
    "¼": " 1/4", "½": " 1/2", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
    "⁄": "/", "″": "in", "”": "in", "“": "in", '"': "in", "\u00a0": " ",
}  # fmt: skip
_DECIMAL = re.compile(r"(?P<number>[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)\s*(?P<unit>[a-z]*)\.?")
_FRACTION = re.compile(
    r"(?:(?P<whole>[0-9]{1,6})(?:\s*-\s*|\s+))?(?P<over>[0-9]{1,6})\s*/\s*(?P<under>[0-9]{1,6})\s*(?P<unit>[a-z]*)\.?"
)


def parse_length_mm(text: str, units: str = "mm") -> float:
    """The length that was typed, in mm; `units` ("mm", "inch", "both") says what a bare number means."""
    plain = _plain(text)
    if not plain:
        raise WorldError(f"No length was typed: {EXAMPLES}.")
    if plain.startswith(("-", "−")):
        raise WorldError(f"{text.strip()} is below zero; a length is 0 or more: was the minus sign meant as a dash?")
    if match := _FRACTION.fullmatch(plain):
        return _within_reach(_fraction_mm(match, text), text)
    if match := _DECIMAL.fullmatch(plain):
        return _within_reach(_decimal_mm(match, text, "in" if units == "inch" else "mm"), text)
    raise WorldError(f"“{_short(text)}” is not read as a length: {EXAMPLES}.")


def length_text(length_mm: float, units: str = "mm") -> str:
    """The length as it would be typed: `parse_length_mm` reads it back to 0.001 mm, exactly when it is a 64th."""
    if units != "inch":
        return f"{length_mm:.3f}".rstrip("0").rstrip(".")
    sixty_fourths = Fraction(round(length_mm / MM_PER_INCH * 64), 64)
    if abs(float(sixty_fourths) * MM_PER_INCH - length_mm) > 1e-3:
        return f"{length_mm / MM_PER_INCH:.5f}".rstrip("0").rstrip(".")
    whole, rest = divmod(sixty_fourths, 1)
    if rest == 0:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def _plain(text: str) -> str:
    lowered = text.lower()
    for sign, written in _SINGLE_SIGNS.items():
        lowered = lowered.replace(sign, written)
    return lowered.replace("''", "in").strip()


def _unit(word: str, bare: str, text: str) -> str:
    if not word:
        return bare
    singular = word.removesuffix("es") if word == "inches" else word.removesuffix("s")
    unit = _UNIT_WORDS.get(singular, singular)
    if unit not in _UNIT_MM:
        raise WorldError(f"“{_short(text)}” ends in “{word}”, which is not a unit known here: {EXAMPLES}.")
    return unit


def _decimal_mm(match: re.Match[str], text: str, bare: str) -> float:
    return float(match["number"].replace(",", ".")) * _UNIT_MM[_unit(match["unit"], bare, text)]


def _fraction_mm(match: re.Match[str], text: str) -> float:
    over, under = int(match["over"]), int(match["under"])
    if _unit(match["unit"], "in", text) != "in":
        raise WorldError(f"“{_short(text)}” is a fraction of a millimetre; fractions are read as inches: a slip?")
    if under not in RULE_DENOMINATORS:
        raise WorldError(f"{over}/{under} is on no inch rule; below the bar stands 2, 4, 8, 16, 32, 64 or 128: a slip?")
    if match["whole"] and over >= under:
        raise WorldError(f"“{_short(text)}” has a fraction of {over}/{under}, a whole inch or more: a slip?")
    return float((int(match["whole"] or 0) + Fraction(over, under)) * Fraction(str(MM_PER_INCH)))


def _within_reach(length_mm: float, text: str) -> float:
    if length_mm > MOST_MM:
        raise WorldError(
            f"“{_short(text)}” is longer than {MOST_MM:.0f} mm ({MOST_MM / MM_PER_INCH:.1f} in), "
            "the most that is read: a lost decimal point, or the wrong unit?"
        )
    return length_mm


def _short(text: str) -> str:
    stripped = " ".join(text.split())
    return stripped if len(stripped) <= 24 else stripped[:23] + "…"
