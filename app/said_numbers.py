"""Figures that are no lengths, as their maker writes them: a slope in degrees, a humidity in percent."""
from __future__ import annotations

import math

from app.description import FieldRefusedError
from app.whistle_limits import WHISTLE_LIMITS, Limit

# key of the document -> how a sentence calls it, its unit, what it may be
NUMBERS: dict[str, tuple[str, str, Limit]] = {
    "lip_slope_deg": ("Slope of the lip", "degrees", WHISTLE_LIMITS["lip_slope_deg"]),
    "relative_humidity": ("Humidity of the air", "%", Limit(0.0, 100.0, "half of what air can hold is 50")),
}
_ENDINGS = ("degrees", "degree", "deg", "°", "%")


def number_said(key: str, text: str) -> float:
    """The figure in its unit of `NUMBERS`; FieldRefusedError when it is none, or out of its limit."""
    name, unit, (low, high, hint) = NUMBERS[key]
    plain = text.strip().casefold()
    for ending in _ENDINGS:
        plain = plain.removesuffix(ending).rstrip()
    try:
        number = float(plain.replace(",", "."))
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise FieldRefusedError(key, f"{name}: “{text.strip()[:12]}” is no figure: write it in {unit}, such as 45.")
    if not low <= number <= high:
        raise FieldRefusedError(
            key, f"{name} is {number:.4g} {unit}; it must be from {low:g} to {high:g} {unit}: {hint}.")
    return number


def number_text(number: float) -> str:
    """As it would be typed; `number_said` reads it back to nine figures."""
    return f"{number:.9g}"
