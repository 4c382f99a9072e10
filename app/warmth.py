"""Whether the bores are warm of breath: their air is not the shop's. Written times are compared, no clock is asked.

The lowest chamber is the yardstick. After ten minutes without a blow, and at the beginning of another day, it is asked
for before any other: two blows warm up, and the one that counts tells whether shop or breath has moved since.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.chamber import Chamber
from app.glue_clock import IDLE, after, is_past
from app.records import BlowTaken, ChordTaken, Record, StepTaken

COLD = "cold"  # text of the request for the yardstick
LEFT_COLD = "left_cold"  # a step: the maker went on without it


@dataclass(frozen=True)
class Warmth:
    """cold : the lowest chamber has not been heard since the bores cooled, though it stands on its note
    due_utc : when that will be so, if nobody blows; empty where nothing is to be asked
    """

    cold: bool = False
    due_utc: str = ""


def since_cold(records: Sequence[Record], now_utc: str) -> tuple[Record, ...]:
    """Blows up to now without ten idle minutes between them, the earliest first. Not told, now is the last of them."""
    found: list[Record] = []
    for record in reversed(records):
        if not (isinstance(record, BlowTaken | ChordTaken) or _is_left(record)):
            continue
        later_utc = found[-1].at_utc if found else now_utc
        if later_utc and is_past(after(record.at_utc, IDLE), later_utc):
            break
        found.append(record)
    return tuple(reversed(found))


def warmth_of(records: Sequence[Record], lowest: Chamber, now_utc: str) -> Warmth:
    """Of a whistle whose lowest plug stands on its note."""
    if lowest.accepted is None or lowest.plug is None or lowest.glued:
        return Warmth()
    recent = since_cold(records, now_utc)
    if not any(_is_yardstick(record, lowest) for record in recent):
        return Warmth(cold=any(isinstance(record, BlowTaken | ChordTaken) for record in records))
    return Warmth(due_utc=after(recent[-1].at_utc, IDLE))


def _is_left(record: Record) -> bool:
    return isinstance(record, StepTaken) and record.step == LEFT_COLD


def _is_yardstick(record: Record, lowest: Chamber) -> bool:
    if isinstance(record, BlowTaken):
        mine = record.letter == lowest.letter and lowest.plug is not None and record.closure_id == lowest.plug.id
        return mine and record.usable and not record.warm_up
    return _is_left(record) or (isinstance(record, ChordTaken) and record.usable and not record.warm_up)
