"""The notes that are aimed at: those of the document, or all lower where the maker took the whole chord down."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from acoustics.notes import nearest_note
from acoustics.units import shift_hz
from app.place import taken_down_cents
from app.records import Record
from app.rescue_words import down_text
from app.whistle import Chamber, Whistle, to_plan

LEAST_CENTS = 0.5  # less is not said


def aimed(whistle: Whistle, standing: Sequence[Record]) -> tuple[Whistle, float]:
    """(the whistle with the notes aimed at, cents off its document's, mostly below 0); its notes keep their names."""
    cents = taken_down_cents(to_plan(whistle), standing)
    if not cents:
        return whistle, 0.0
    chambers = tuple(_moved(chamber, cents, whistle.a4_hz) for chamber in whistle.chambers)
    return replace(whistle, chambers=chambers), cents


def _moved(chamber: Chamber, cents: float, a4_hz: float) -> Chamber:
    named = chamber.note or str(nearest_note(chamber.target_hz, a4_hz))
    return replace(chamber, target_hz=shift_hz(chamber.target_hz, cents), note=named)


def whole_chord_text(lowered_cents: float) -> str:
    """ "whole chord 25 cents down"; empty where it is not."""
    return f"whole {down_text(lowered_cents)}" if abs(lowered_cents) >= LEAST_CENTS else ""


def aimed_note(note: str, lowered_cents: float) -> str:
    """ "E5 −25 c": what a single note is aimed at."""
    if abs(lowered_cents) < LEAST_CENTS:
        return note
    return f"{note} {'−' if lowered_cents < 0.0 else '+'}{abs(lowered_cents):.0f} c"
