"""The journal to and from other files: JSON and CSV out; JSON, CSV or another laptop's journal in, merged by UUID."""
from __future__ import annotations

import csv
import io
import json
import tempfile
from dataclasses import asdict, dataclass
from pathlib import Path
from types import NoneType
from typing import Any, get_args

from app.errors import WorldError
from app.journal.checking import copy_with_log, read_copy
from app.journal.merging import merge
from app.journal.rows import checked_record, field_names, field_types, table_of
from app.journal.schema import CURRENT_VERSION, RECORD_TYPES
from app.journal.sounds import bring_sounds
from app.journal.store import HEADER, Journal
from app.records import Record
from app.whole_file import reason_of

FORMAT = "whistlewright-journal"
NEITHER = "{path} is neither a journal nor JSON nor CSV in UTF-8."


@dataclass(frozen=True)
class Imported:
    """What an import did. `differing` have an id that is here already with other facts: ours were kept."""

    n_added: int
    n_here_already: int
    n_differing: int
    n_sounds_copied: int  # sounds
    n_sounds_missing: int  # sounds that are named and lie on neither side


def rows(journal: Journal, whistle_id: str | None = None) -> list[dict[str, Any]]:
    """Every record as a plain row: its kind, its place in the order, its fields."""
    return [
        {"kind": table_of(record), "sequence": place, **asdict(record)} for place, record in journal.places(whistle_id)
    ]


def as_json(journal: Journal, whistle_id: str | None = None) -> bytes:
    document = {"format": FORMAT, "version": CURRENT_VERSION, "records": rows(journal, whistle_id)}
    return (json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode("utf-8")


def as_csv(journal: Journal, whistle_id: str | None = None) -> bytes:
    """One sheet: a column for every field of every kind, empty where a record has none."""
    columns = ["kind", "sequence", *dict.fromkeys(name for table in RECORD_TYPES for name in field_names(table))]
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, columns, restval="")
    writer.writeheader()
    for row in rows(journal, whistle_id):
        writer.writerow({key: int(value) if isinstance(value, bool) else value for key, value in row.items()})
    return text.getvalue().encode("utf-8")


def import_file(journal: Journal, path: Path, *, damaged: bool = False) -> Imported:
    """Merge the records of a file into the journal, all or none. The same file twice adds nothing.

    Of another laptop's journal the sounds come along; with `damaged`, whatever can still be read of it.
    """
    theirs, beside = _read_file(path, damaged)
    merged = merge(journal, theirs)
    return Imported(**asdict(merged), **asdict(bring_sounds(theirs, beside, journal.path.parent)))


def _read_file(path: Path, damaged: bool) -> tuple[list[Record], Path | None]:
    """The records, and the folder where their sounds lie, of a journal."""
    try:
        data = path.read_bytes()
    except OSError as error:
        raise WorldError(f"{path} could not be read: {reason_of(error)}.") from error
    if not data.strip():
        raise WorldError(f"{path} is empty: there is nothing to import.")
    text = "" if data.startswith(HEADER) else _text_of(data)
    if not text:
        return _read_journal(path, damaged), path.parent
    raw = _json_rows(text, path) if text.lstrip().startswith(("{", "[")) else _csv_rows(text, path)
    return [
        checked_record(row.pop("kind", ""), row, f"{path}, record {number}") for number, row in enumerate(raw, start=1)
    ], None


def _text_of(data: bytes) -> str:
    """Empty for what is no text, as a journal whose head is lost: an export has no zero byte in its first line."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return ""
    return "" if "\0" in text.partition("\n")[0] else text


def _read_journal(path: Path, damaged: bool) -> list[Record]:
    """The records of another journal file, read from a copy: the other file is neither migrated nor touched."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / path.name
        copy_with_log(path, copy)
        try:
            faults, found = read_copy(copy, path)
        except WorldError as refusal:
            with path.open("rb") as file:
                known = file.read(len(HEADER)) == HEADER
            raise (refusal if known else WorldError(NEITHER.format(path=path))) from None
    if faults and not damaged:
        raise WorldError(
            f"The journal {path} is damaged: {faults[0]}; nothing was taken; --damaged takes the {len(found)}"
            " records that can be read."
        )
    return [record for _, record in found]


def _json_rows(text: str, path: Path) -> list[dict[str, Any]]:
    try:
        document = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise WorldError(f"{path} is not readable JSON: {error}.") from error
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise WorldError(f'{path} is not an exported journal: its "format" is not "{FORMAT}".')
    version, found = document.get("version"), document.get("records")
    if not isinstance(version, int) or version > CURRENT_VERSION:
        raise WorldError(f"{path} is a journal of version {version}; this program reads up to {CURRENT_VERSION}.")
    if not isinstance(found, list) or not all(isinstance(row, dict) for row in found):
        raise WorldError(f'{path}: "records" must be a list of records.')
    return found


def _csv_rows(text: str, path: Path) -> list[dict[str, Any]]:
    reader = csv.DictReader(io.StringIO(text, newline=""), strict=True)
    if "kind" not in (reader.fieldnames or ()):
        raise WorldError(f"{path} is not an exported journal: its first line has no column “kind”.")
    try:
        return [_typed(row, f"{path}, line {reader.line_num}") for row in reader]
    except csv.Error as error:
        raise WorldError(f"{path}, after line {reader.line_num}: {error}.") from error


def _typed(row: dict[str, Any], where: str) -> dict[str, Any]:
    """A row of text as a row of values: an empty cell is no value where the field may have none."""
    kind = row["kind"]
    typed: dict[str, Any] = {"kind": kind}
    for name, hint in field_types(kind).items() if kind in RECORD_TYPES else ():
        cell = row.get(name)
        if cell is None:
            continue
        if cell == "" and NoneType in get_args(hint):
            typed[name] = None
        else:
            typed[name] = _value(cell, (hint, *get_args(hint)), name, where)
    return typed


def _value(cell: str, kinds: tuple[Any, ...], name: str, where: str) -> Any:
    try:
        if bool in kinds:
            return {"0": False, "1": True}[cell]
        if int in kinds:
            return int(cell)
        if float in kinds:
            return float(cell)
    except (KeyError, ValueError):
        must = "0 or 1" if bool in kinds else "a number"
        raise WorldError(f"{where}: {name} is “{cell[:40]}”; it must be {must}.") from None
    return cell
