"""The sentence of the bench as a voice should say it: numbers, fractions and units in words."""
from __future__ import annotations

import re

ONES = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
PARTS = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second", 64: "sixty-fourth"}

_INCHES = re.compile(
    r"(?:(?P<whole>\d{1,3}) (?=\d+/|in\b))?(?:(?P<over>\d+)/(?P<under>\d+) )?\bin\b(?P<mark> mark)?"
)
_NUMBER = re.compile(r"(?P<whole>\d{1,3})(?:\.(?P<digits>\d+))?(?P<unit> mm)?(?P<mark> mark)?")
_LETTER_A = re.compile(r"\bA (?=\w)")


def spoken(lines: tuple[str, str]) -> str:
    """Both lines as one sentence."""
    first, second = lines
    joint = "" if not (first and second) else " " if first.endswith(("?", ".")) else ", "
    text = f"{first}{joint}{second}".replace(": ", ", ")
    text = _NUMBER.sub(_decimal, _INCHES.sub(_inches, text))
    text = _LETTER_A.sub("A, ", text)  # in mid-sentence voices take it for the article
    return text if not text or text.endswith(("?", ".")) else f"{text}."


def number_words(number: int) -> str:
    """0 to 999."""
    if number < 20:
        return ONES[number]
    if number < 100:
        tens, ones = divmod(number, 10)
        return TENS[tens] + (f"-{ONES[ones]}" if ones else "")
    hundreds, rest = divmod(number, 100)
    return f"{ONES[hundreds]} hundred" + (f" and {number_words(rest)}" if rest else "")


def _decimal(found: re.Match[str]) -> str:
    words = number_words(int(found["whole"]))
    if found["digits"]:
        words += " point " + " ".join(ONES[int(digit)] for digit in found["digits"])
    if not found["unit"]:
        return words + (found["mark"] or "")
    if found["mark"]:
        return f"{words} millimetre mark"
    return f"{words} millimetre{'' if words == 'one' else 's'}"


def _inches(found: re.Match[str]) -> str:
    """As read off a rule: "one sixty-fourth of an inch", "two and seventeen sixty-fourths inches"."""
    if not (found["whole"] or found["over"]):
        return found[0]
    whole = number_words(int(found["whole"])) if found["whole"] else ""
    part = _part(int(found["over"]), int(found["under"])) if found["over"] else ""
    words = " and ".join(word for word in (whole, part) if word)
    if found["mark"]:
        return f"{words} inch mark"
    if not whole:
        return f"{words} of an inch"
    return f"{words} inch{'' if words == 'one' else 'es'}"


def _part(over: int, under: int) -> str:
    name = PARTS.get(under)
    if name is None:
        return f"{number_words(over)} over {number_words(under)}"
    return f"{number_words(over)} {name}{'' if over == 1 else 's'}"
