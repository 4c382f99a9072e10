"""What kind of value each key of a whistle document takes, said to the maker when another stands there."""
from __future__ import annotations

import json
import re
from typing import Any

from app.whistle_limits import (
    AIR_LIMITS,
    BODY_LIMITS,
    CHAMBER_LIMITS,
    MAX_CHAMBERS,
    MAX_TEXT_CHARACTERS,
    MIN_CHAMBERS,
    STOCK_LIMITS,
    UNSAID_CHAMBER_LIMITS,
    WHISTLE_LIMITS,
    Limit,
    chamber_place,
)

_LIMITS: dict[str, Limit] = (
    WHISTLE_LIMITS | AIR_LIMITS | CHAMBER_LIMITS | UNSAID_CHAMBER_LIMITS | BODY_LIMITS | STOCK_LIMITS
)
_WHOLE = {"number": "a whole number from 1 to 9999", "of": "a whole number from 1 to 9999", "version": "the number 1"}
_KINDS = {
    "int": "a whole number", "float": "a number", "object": "keys with their values in braces, { }",
    "str": f"text in quotation marks, of at most {MAX_TEXT_CHARACTERS} characters",
    "array": f"a list of {MIN_CHAMBERS} to {MAX_CHAMBERS} chambers in brackets, [ ]",
}  # fmt: skip
_WRONG = re.compile(r"Expected `(?P<kind>\w+)[^`]*`, got `\w+`(?: - at `\$\.?(?P<place>.*)`)?")
_MISSING = re.compile(r"Object missing required field `(?P<key>\w+)`(?: - at `\$\.?(?P<place>.*)`)?")
_STEP = re.compile(r"(\w+)|\[(\d+)\]")
_SHOWN_CHARACTERS = 30


def complaint(error: Exception, raw: dict[str, Any]) -> str:
    """The value that is of the wrong kind, or the key that is missing, with what belongs there; no full stop.

    `error` is what msgspec says of `raw`: "Expected `float | null`, got `str` - at `$.body.length_mm`".
    """
    text = str(error)
    if missing := _MISSING.fullmatch(text):
        place, key = missing["place"] or "", missing["key"]
        kind = "float" if key in _LIMITS else "array" if key == "chambers" else "str"
        return f"{chamber_place(f'{place}.' * bool(place) + key)} is missing: it must be {_wanted(key, kind)}"
    wrong = _WRONG.fullmatch(text)
    if wrong is None:
        return text.replace("`", "")
    place = wrong["place"] or ""
    steps = _STEP.findall(place)
    shown = json.dumps(_at(raw, steps), ensure_ascii=False)
    if len(shown) > _SHOWN_CHARACTERS:
        shown = f"{shown[:_SHOWN_CHARACTERS]}…"
    key = steps[-1][0] if steps else ""
    return f"{chamber_place(place)} is {shown}: it must be {_wanted(key, wrong['kind'])}"


def _at(raw: Any, steps: list[tuple[str, str]]) -> Any:
    """The value at that place of the document."""
    for key, index in steps:
        raw = raw[key] if key else raw[int(index)]
    return raw


def _wanted(key: str, kind: str) -> str:
    if key in _LIMITS:
        return f"a number from {_LIMITS[key].low:g} to {_LIMITS[key].high:g}, without quotation marks"
    return _WHOLE.get(key) or _KINDS.get(kind, kind)
