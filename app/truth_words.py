"""After practice: one sentence on what the invented whistle truly became, and how near the belief came to it."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from acoustics.tuning import Advice
from acoustics.units import cents_between, shift_hz
from app.remark import listed

if TYPE_CHECKING:
    from app.invented_maker import ChamberTruth

GOES_ON = "It goes on: space leads to the glue, there W, I or E. After the next day the truth is told once more."
NEXT_DAY_KEY = "space: practice, let it be the next day"


def aimed_truth(truth: Sequence[ChamberTruth], lowered_cents: float) -> tuple[ChamberTruth, ...]:
    """Counted from the notes aimed at, where the whole chord was taken down; `lowered_cents` is mostly below 0."""
    return tuple(
        replace(each, target_hz=shift_hz(each.target_hz, lowered_cents),
                deviation_cents=each.deviation_cents - lowered_cents)
        for each in truth
    )


def believed_off_cents(truth: Sequence[ChamberTruth], advice: Mapping[str, Advice]) -> dict[str, float | None]:
    """What is believed of each plug against its planned note; the walk itself counts from the home chamber's own."""
    return {each.letter: _believed_off_cents(each.target_hz, advice[each.letter]) for each in truth}


def _believed_off_cents(target_hz: float, advice: Advice) -> float | None:
    if advice.deviation_cents is None:
        return None
    return cents_between(shift_hz(advice.target_hz, advice.deviation_cents), target_hz)


def truth_sentence(
    truth: Sequence[ChamberTruth], believed_cents: Mapping[str, float | None], tolerance_cents: float
) -> str:
    """How many chambers truly are on their note, the largest error of what was believed, and which plugs leak."""
    return " ".join(part for part in (_notes_text(truth, believed_cents, tolerance_cents), _leaks_text(truth)) if part)


def _notes_text(
    truth: Sequence[ChamberTruth], believed_cents: Mapping[str, float | None], tolerance_cents: float
) -> str:
    n_right = sum(abs(each.deviation_cents) <= tolerance_cents for each in truth)
    said = f"{_of_all(n_right, len(truth))} truly within {tolerance_cents:.0f} cents of the note"
    errors = {each.letter: abs(believed - each.deviation_cents) for each in truth
              if (believed := believed_cents.get(each.letter)) is not None}
    if not errors:
        return f"{said}; nothing was read of any plug yet."
    worst = max(errors, key=lambda letter: errors[letter])
    where = f", at {worst}" if len(errors) > 1 else ""
    return f"{said}; what was believed is off by {errors[worst]:.1f} cents at most{where}."


def _leaks_text(truth: Sequence[ChamberTruth]) -> str:
    """The chord has the leak in it; the note of the chamber by itself is told as if it were sealed."""
    leaking = [each.letter for each in truth if each.leaks]
    if not leaking:
        return ""
    lets, note = ("let", "their own notes are") if len(leaking) > 1 else ("lets", "its own note is")
    return f"{listed(leaking)} {lets} air by: {note} told as if sealed, the chord as it is."


def _of_all(n: int, n_all: int) -> str:
    if n == n_all:
        return f"All {n_all} chambers are"
    return f"None of {n_all} chambers is" if not n else f"{n} of {n_all} chambers {'is' if n == 1 else 'are'}"

