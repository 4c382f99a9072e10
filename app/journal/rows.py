"""A record as a table row and back, and the check on every record that comes in from outside."""
from __future__ import annotations

import math
import uuid
from dataclasses import asdict, fields
from datetime import datetime
from functools import cache
from typing import Any, get_type_hints

from acoustics.blow import Verdict
from acoustics.chord import Heard
from acoustics.tuning import Stop
from app.errors import OurError, WorldError
from app.journal.schema import RECORD_TYPES
from app.records import BlowTaken, ChordTaken, Record

CODES = {"stop": {stop.value for stop in Stop}, "verdict": {verdict.value for verdict in Verdict}}
HEARD = {heard.value for heard in Heard}
FREQUENCY_HZ = (20.0, 20_000.0)
DEPTH_MM = (-50.0, 500.0)


def table_of(record: Record) -> str:
    """The table that holds records of this type."""
    for table, kind in RECORD_TYPES.items():
        if type(record) is kind:
            return table
    raise OurError(f"a {type(record).__name__} is no record of the journal")


@cache
def field_names(table: str) -> tuple[str, ...]:
    return tuple(field.name for field in fields(RECORD_TYPES[table]))


@cache
def field_types(table: str) -> dict[str, Any]:
    return get_type_hints(RECORD_TYPES[table])


def row_of(record: Record) -> dict[str, Any]:
    """The record's fields; refuses what the file would silently turn into "no value"."""
    row = asdict(record)
    for key, value in row.items():
        if isinstance(value, float) and not math.isfinite(value):
            raise OurError(f"{key} of a {type(record).__name__} is {value}, which the journal cannot hold")
    return row


def plain_values(table: str, row: dict[str, Any]) -> dict[str, Any]:
    """A row of the file with yes and no where it has 1 and 0; columns of other versions are left aside."""
    known = {key: row[key] for key in field_names(table) if key in row}
    for key, hint in field_types(table).items():
        if hint is bool and known.get(key) in (0, 1):
            known[key] = bool(known[key])
    return known


def record_of(table: str, row: dict[str, Any]) -> Record:
    """The record in a row of the file; ValueError when no program of ours wrote that row: it is damaged."""
    import msgspec

    record: Record = msgspec.convert(plain_values(table, row), type=RECORD_TYPES[table])
    for key, codes in CODES.items():
        if getattr(record, key, None) not in (None, *codes):
            raise ValueError(f"{key} is no word of the journal")
    return record


def checked_record(table: str, raw: dict[str, Any], where: str) -> Record:
    """The record in a row from outside, or WorldError with the key, its value and what it must be."""
    import msgspec

    if table not in RECORD_TYPES:
        kinds = ", ".join(RECORD_TYPES)
        raise WorldError(f"{where}: “{str(table)[:40]}” is not a kind of record; it is one of {kinds}.")
    try:
        record = msgspec.convert({key: raw[key] for key in field_names(table) if key in raw}, type=RECORD_TYPES[table])
    except msgspec.ValidationError as error:
        raise WorldError(f"{where}: {str(error).replace('`', '').replace(' - at $.', ' in ')}.") from error
    for key, value in asdict(record).items():
        problem = _problem(key, value)
        if problem:
            raise WorldError(f"{where}: {key} is {str(value)[:40]!r}; it must be {problem}.")
    if isinstance(record, BlowTaken) and record.usable and None in (record.frequency_hz, record.standard_error_cents):
        raise WorldError(f"{where}: a usable blow must have frequency_hz and standard_error_cents.")
    if isinstance(record, ChordTaken):
        _require_whole(record, where)
    return record


def _require_whole(chord: ChordTaken, where: str) -> None:
    """A usable chord says something of its lowest chamber, and a chamber that was heard has a pitch with its error."""
    if chord.usable and chord.a_heard is None:
        raise WorldError(f"{where}: a usable chord must have a_heard.")
    for letter in "abcdef":
        voice = chord.voice(letter)
        if voice is None:
            continue
        told = voice.heard in (Heard.HEARD, Heard.WEAK)
        if {voice.frequency_hz is not None, voice.standard_error_cents is not None} != {told}:
            raise WorldError(f"{where}: {letter}_hz and {letter}_standard_error_cents do not fit {letter}_heard.")


def _problem(key: str, value: Any) -> str:
    """What the value must be, when it is not; empty when it may stand."""
    if key in CODES and value not in CODES[key]:
        return f"one of {', '.join(sorted(CODES[key]))}"
    if key.endswith("_heard") and value is not None and value not in HEARD:
        return f"one of {', '.join(sorted(HEARD))}"
    if key in ("id", "whistle_id", "voids_id") and not _is_uuid(value):
        return "a UUID"
    if key == "at_utc" and not _is_utc(value):
        return "a date and time with its offset from UTC"
    if isinstance(value, float):
        low, high = -math.inf, math.inf
        if key.endswith("_hz"):
            low, high = FREQUENCY_HZ
        elif key == "depth_mm":
            low, high = DEPTH_MM
        elif key in ("depth_sd_mm", "duration_s", "spread_cents") or key.endswith("standard_error_cents"):
            low = 0.0
        if not (math.isfinite(value) and low <= value <= high):
            return f"from {low:g} to {high:g}"
    return ""


def _is_uuid(text: str) -> bool:
    try:
        return str(uuid.UUID(text)) == text.lower()
    except ValueError:
        return False


def _is_utc(text: str) -> bool:
    try:
        return datetime.fromisoformat(text).tzinfo is not None
    except ValueError:
        return False
