"""Records out of the bare pages of a damaged file, where the database library finds no way to them.

After SQLite's database file format (sqlite.org/fileformat2.html): sections 1.5 (pages of a b-tree), 1.6 (overflow),
2.1 (rows) and 4.1 (write-ahead log). Every page is looked at by itself, so a lost schema or inner page costs no row.
"""
from __future__ import annotations

import struct
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from app.errors import WorldError
from app.journal.rows import checked_record, field_names, plain_values
from app.journal.schema import ADDED_COLUMNS, RECORD_TYPES
from app.records import Record

LEAF_OF_TABLE = 0x0D
FILE_HEADER, LOG_HEADER, FRAME_HEADER = 100, 32, 24  # bytes
MOST_ROW_BYTES = 2_000_000  # more than a whistle document may have; a longer row is damage
USUAL_PAGE_BYTES = 4096  # what the library makes unless told otherwise
INTEGER_BYTES = (0, 1, 2, 3, 4, 6, 8)  # by serial type
COLUMNS = {table: ("sequence", "id", "at_utc", "whistle_id", *field_names(table)[3:]) for table in RECORD_TYPES}

Page = tuple[int, bytes]  # where its b-tree header begins, its bytes
Overflow = Callable[[int], bytes]


def salvage(path: Path) -> list[tuple[int, Record]]:
    """Every record that stands whole on some page of the file or its log, each once, with its place."""
    data = path.read_bytes()
    size = _page_bytes(data)
    pages = [data[start : start + size].ljust(size, b"\0") for start in range(0, len(data), size)]
    log = path.with_name(path.name + "-wal")
    for number, page in _logged(log.read_bytes() if log.exists() else b"", size):
        pages.extend([b""] * (number - len(pages)))
        pages[number - 1] = page

    def page_at(number: int) -> bytes:
        return pages[number - 1] if 0 < number <= len(pages) else b""

    found: dict[str, tuple[int, Record]] = {}
    for number, page in enumerate(pages):
        for values in _rows((FILE_HEADER if number == 0 else 0, page), page_at):
            place_and_record = _record(values)
            if place_and_record is not None:
                found.setdefault(place_and_record[1].id, place_and_record)
    return sorted(found.values(), key=lambda pair: pair[0])


def _page_bytes(data: bytes) -> int:
    size = int.from_bytes(data[16:18], "big")
    size = 65_536 if size == 1 else size
    return size if size >= 512 and size & (size - 1) == 0 else USUAL_PAGE_BYTES


def _logged(log: bytes, page_bytes: int) -> Iterator[tuple[int, bytes]]:
    """Pages that a commit had put into the log, the latest last."""
    waiting: list[tuple[int, bytes]] = []
    for start in range(LOG_HEADER, len(log) - FRAME_HEADER - page_bytes + 1, FRAME_HEADER + page_bytes):
        number, size_after = struct.unpack(">II", log[start : start + 8])
        if log[start + 8 : start + 16] != log[16:24] or not 0 < number < 2**20:
            return  # the salts differ: left over from before the log was begun anew
        waiting.append((number, log[start + FRAME_HEADER : start + FRAME_HEADER + page_bytes]))
        if size_after:
            yield from waiting
            waiting = []


def _rows(page: Page, page_at: Overflow) -> Iterator[list[Any]]:
    """The rows of one leaf page; nothing of any other page."""
    start, data = page
    if len(data) < start + 8 or data[start] != LEAF_OF_TABLE:
        return
    n_cells = int.from_bytes(data[start + 3 : start + 5], "big")
    for cell in range(min(n_cells, len(data) // 4)):
        at = start + 8 + 2 * cell
        try:
            yield _values(_payload(data, int.from_bytes(data[at : at + 2], "big"), page_at))
        except (IndexError, ValueError, struct.error):
            continue  # this row is lost


def _payload(data: bytes, at: int, page_at: Overflow) -> bytes:
    """The bytes of one row, the part on overflow pages too."""
    n_bytes, at = _varint(data, at)
    _, at = _varint(data, at)  # the row's number
    usable = len(data)
    if n_bytes > MOST_ROW_BYTES:
        raise ValueError("no row is that long")
    if n_bytes > usable - 35:
        least = (usable - 12) * 32 // 255 - 23
        local = least + (n_bytes - least) % (usable - 4)
        local = least if local > usable - 35 else local
    else:
        local = n_bytes
    payload, at = data[at : at + local], at + local
    following = int.from_bytes(data[at : at + 4], "big") if local < n_bytes else 0
    while len(payload) < n_bytes:
        page = page_at(following)
        if not page:
            raise ValueError("the rest of the row is gone")
        payload += page[4 : 4 + n_bytes - len(payload)]
        following = int.from_bytes(page[:4], "big")
    return payload


def _varint(data: bytes, at: int) -> tuple[int, int]:
    value = 0
    for n_read in range(9):
        byte = data[at + n_read]
        if n_read == 8:
            return value << 8 | byte, at + 9
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at + n_read + 1
    raise ValueError("unreachable")


def _values(payload: bytes) -> list[Any]:
    """A row's columns, by the serial types at its head."""
    head_bytes, at = _varint(payload, 0)
    types = []
    while at < head_bytes:
        kind, at = _varint(payload, at)
        types.append(kind)
    values = []
    for kind in types:
        value, n_bytes = _value(kind, payload, at)
        values.append(value)
        at += n_bytes
    if at > len(payload):
        raise ValueError("the row ends too early")
    return values


def _value(kind: int, payload: bytes, at: int) -> tuple[Any, int]:
    if kind == 0:
        return None, 0
    if kind <= 6:
        n_bytes = INTEGER_BYTES[kind]
        return int.from_bytes(payload[at : at + n_bytes], "big", signed=True), n_bytes
    if kind == 7:
        return struct.unpack(">d", payload[at : at + 8])[0], 8
    if kind in (8, 9):
        return kind - 8, 0
    if kind < 13 or kind % 2 == 0:
        raise ValueError("the journal keeps no such column")
    n_bytes = (kind - 13) // 2
    return payload[at : at + n_bytes].decode("utf-8"), n_bytes


def _record(values: list[Any]) -> tuple[int, Record] | None:
    """The record in a row; which table it was of is told by what fits."""
    for table, columns in COLUMNS.items():
        n_absent = len(columns) - len(values)  # of a row that an older version wrote
        if 0 <= n_absent <= ADDED_COLUMNS.get(table, 0) and isinstance(values[0], int):
            named = dict(zip(columns, values, strict=False))
            try:
                record = checked_record(table, plain_values(table, named), table)
            except WorldError:
                continue
            if _fits(table, named):
                return values[0], record
    return None


def _fits(table: str, named: dict[str, Any]) -> bool:
    """Three tables have as many columns of text: a tombstone names an id (checked), a chamber is one letter."""
    if table == "voice_changed":
        return len(named["letter"]) == 1
    return table != "whistle_filed" or len(named["revision"]) == 64
