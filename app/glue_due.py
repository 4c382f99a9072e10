"""Whether glue that was left alone has had its time, from a whistle's records alone: no fit, so many can be asked."""
from __future__ import annotations

from collections.abc import Iterable, Sequence

from app.events import GlueKind
from app.glue_clock import CURE, NIGHT, after, is_past, latest
from app.glue_stage import NEXT_DAY
from app.records import ChordTaken, PlugSet, Record, StepTaken, VoiceChanged


def glue_due_utc(letters: Iterable[str], records: Sequence[Record]) -> str:
    """When it asks for its chord again; empty while a plug is not glued, and once that chord was blown or left.

    `records` are standing and in order.
    """
    glued = [n for n, r in enumerate(records) if isinstance(r, StepTaken) and r.step == "glued"]
    if set(letters) - {records[n].letter for n in glued}:  # type: ignore[union-attr]  # steps, as just chosen
        return ""
    since = records[glued[-1] + 1 :]
    if any(isinstance(r, PlugSet | VoiceChanged) for r in since):
        return ""
    cured = any(isinstance(r, StepTaken) and r.step == "cured" for r in since)
    wet = {r.text for n in glued if isinstance(r := records[n], StepTaken)} == {GlueKind.WATER.value}
    due_utc = after(latest(*(records[n].at_utc for n in glued)), NIGHT if wet or cured else CURE)
    return "" if any(_answers(r, due_utc) for r in since) else due_utc


def _answers(record: Record, due_utc: str) -> bool:
    """A chord of that day, or that the maker goes without."""
    if isinstance(record, StepTaken):
        return record.step == "glue_enough" and record.text == NEXT_DAY
    return isinstance(record, ChordTaken) and record.usable and is_past(due_utc, record.at_utc)
