"""How much room words take before any typeface is known: a little more than a wide plain face needs.

A sheet is laid out without a window library, so widths are taken from this table; the painter then draws words in the
room they were given, narrower where a face should be wider still.
"""
from __future__ import annotations

from collections.abc import Iterator
from typing import Final

MM_PER_PT: Final = 25.4 / 72.0
HARD: Final = "\u00a0"  # a space at which no line is broken
RISE_EM, DROP_EM = 0.80, 0.24  # above and below the baseline
LEADING_EM: Final = 1.32  # from baseline to baseline
# Widths in em, rounded up from measurements of a wide sans serif face; what is not listed is the widest.
_WIDTH_EM: Final = {
    sign: width_em
    for width_em, signs in (
        (0.33, f" {HARD}',.·’ijlIJ"),
        (0.41, "!()-/:;\\[]frt|"),
        (0.54, '"*_`?szc°–“”♭♯'),
        (0.64, "abdeghknopquvxyEFLPSTY$0123456789{}⌀"),
        (0.70, "ABCKRVXZ"),
        (0.79, "DGHNOQU&"),
        (0.87, "w#+<=>^~×±Mµ↑→−"),
    )
    for sign in signs
}
_WIDEST_EM: Final = 1.0
_BOLD_WIDER: Final = 1.18


def width_mm(words: str, size_pt: float, bold: bool = False) -> float:
    """Room for one line of words."""
    em = sum(_WIDTH_EM.get(sign, _WIDEST_EM) for sign in words)
    return em * (_BOLD_WIDER if bold else 1.0) * size_pt * MM_PER_PT


def wrapped(words: str, room_mm: float, size_pt: float, bold: bool = False) -> list[str]:
    """The words in lines no wider than the room; a word that is wider by itself is broken."""
    lines = [""]
    for word in words.split(" "):  # what a hard space joins stays together
        for piece in _broken(word, room_mm, size_pt, bold):
            longer = f"{lines[-1]} {piece}".strip(" ")
            if lines[-1] and width_mm(longer, size_pt, bold) > room_mm:
                lines.append(piece)
            else:
                lines[-1] = longer
    return lines


def fitted(words: str, room_mm: float, size_pt: float, bold: bool = False) -> str:
    """The words, or as many of their letters as fit on one line, with an ellipsis."""
    if width_mm(words, size_pt, bold) <= room_mm:
        return words
    while words and width_mm(f"{words}…", size_pt, bold) > room_mm:
        words = words[:-1]
    return f"{words.rstrip()}…"


def _broken(word: str, room_mm: float, size_pt: float, bold: bool) -> Iterator[str]:
    while width_mm(word, size_pt, bold) > room_mm and len(word) > 1:
        fitting = (n for n in range(len(word) - 1, 1, -1) if width_mm(word[:n], size_pt, bold) <= room_mm)
        n_fit = next(fitting, 1)
        yield word[:n_fit]
        word = word[n_fit:]
    yield word
