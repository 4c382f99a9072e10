"""The shop's temperature as people type it."""
from __future__ import annotations

import re

from app.errors import WorldError

COLDEST_C = 0.0
WARMEST_C = 40.0

_READING = re.compile(r"(?P<number>[-+−]?[0-9]{1,4}(?:[.,][0-9]*)?)\s*°?\s*(?P<unit>c|f|celsius|fahrenheit)?\.?")


def parse_temperature_c(text: str) -> float | None:
    """Degrees Celsius from "19.5", "19,5 °C" or "67 F"; None when nothing was typed (no thermometer)."""
    plain = text.strip().lower()
    if not plain:
        return None
    match = _READING.fullmatch(plain)
    if not match:
        raise WorldError(f"“{text.strip()[:20]}” is not read as a temperature: write it like 19.5 or 67 F.")
    number = float(match["number"].replace(",", ".").replace("−", "-"))
    in_fahrenheit = (match["unit"] or "c").startswith("f")
    temperature_c = (number - 32) * 5 / 9 if in_fahrenheit else number
    if not COLDEST_C <= temperature_c <= WARMEST_C:
        raise WorldError(_out_of_range(number, in_fahrenheit))
    return temperature_c


def temperature_text(temperature_c: float | None, fahrenheit: bool = False) -> str:
    """The temperature as it would be typed, to a tenth; empty when it is not known."""
    if temperature_c is None:
        return ""
    number = temperature_c * 9 / 5 + 32 if fahrenheit else temperature_c
    return f"{number:.1f}".removesuffix(".0") + (" °F" if fahrenheit else " °C")


def _out_of_range(number: float, in_fahrenheit: bool) -> str:
    if in_fahrenheit:
        return f"{number:g} °F is outside 32 to 104 °F: a slip of the finger?"
    hint = f"was it Fahrenheit? Write {number:g} F" if 40 < number <= 104 else "a slip of the finger?"
    return f"{number:g} °C is outside {COLDEST_C:g} to {WARMEST_C:g} °C: {hint}" + ("" if hint.endswith("?") else ".")
