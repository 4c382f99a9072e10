"""Damage of every sort: told in one sentence, the file set aside byte for byte, and what can be read is read.

Outside authorities: the bytes of the file itself say which records stand on pages that were not touched (each record's
UUID is looked for there), and SQLite's own `integrity_check` says whether the new journal is sound.
"""
from __future__ import annotations

import random
import sqlite3
from collections.abc import Callable
from contextlib import closing

import pytest

from app.errors import WorldError
from app.journal import Journal
from app.journal.checking import check
from app.journal.salvage import salvage
from app.journal.trouble import DamagedJournalError
from tests.app.journal_cases import blow, chord, one_of_each, plug, step, voice, void

N_SEEDS = 50
PAGE_BYTES = 4096  # SQLite's default, asserted below
Damage = Callable[[random.Random, bytearray], None]


def scattered(chance: random.Random, data: bytearray) -> None:
    """Single bytes anywhere."""
    for _ in range(chance.choice((1, 4, 16, 64))):
        data[chance.randrange(len(data))] = chance.randrange(256)


def bad_page(chance: random.Random, data: bytearray) -> None:
    """One to three pages of random bytes or zeros, the first included."""
    for _ in range(chance.choice((1, 1, 3))):
        start = chance.randrange(len(data) // PAGE_BYTES) * PAGE_BYTES
        data[start : start + PAGE_BYTES] = chance.choice((bytes(PAGE_BYTES), chance.randbytes(PAGE_BYTES)))


def first_page(chance: random.Random, data: bytearray) -> None:
    """The head, or all of the page that knows where the tables begin."""
    length = chance.choice((16, 100, PAGE_BYTES))
    data[:length] = chance.randbytes(length)


def cut_short(chance: random.Random, data: bytearray) -> None:
    del data[chance.randrange(PAGE_BYTES, len(data)) :]


def shuffled(chance: random.Random, data: bytearray) -> None:
    """A disk that gave two pages in each other's place."""
    one, other = (n * PAGE_BYTES for n in chance.sample(range(len(data) // PAGE_BYTES), 2))
    data[one : one + PAGE_BYTES], data[other : other + PAGE_BYTES] = (
        data[other : other + PAGE_BYTES], data[one : one + PAGE_BYTES],
    )


SORTS = (scattered, bad_page, first_page, cut_short, shuffled)


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    """The bytes of a sound journal of some seventy pages, and its records."""
    path = tmp_path_factory.mktemp("whole") / "journal.sqlite"
    chance = random.Random(13)
    with Journal(path) as journal:
        journal.append_all(one_of_each())
        for number in range(120):
            taken = blow(chance.choice("ABCD"), frequency_hz=chance.uniform(400.0, 1200.0))
            journal.append_all((taken, plug(chance.choice("ABCD")), chord(), step(f"step {number}", number % 60)))
            if number % 10 == 0:
                journal.append_all((void(taken), voice("C")))
        records = journal.records()
    data = path.read_bytes()
    assert int.from_bytes(data[16:18], "big") == PAGE_BYTES
    return data, records


@pytest.mark.parametrize("seed", range(N_SEEDS))
def test_damage_never_crashes_is_told_in_one_sentence_and_costs_only_what_it_hit(tmp_path, whole, seed):
    data, records = whole
    path = tmp_path / "journal.sqlite"
    chance, sort = random.Random(seed), SORTS[seed % len(SORTS)]
    harmed = bytearray(data)
    sort(chance, harmed)
    path.write_bytes(harmed)
    found = check(path, repair=True)
    if found.sound:  # what was hit bears nothing, or one fact became another one that may be
        assert found.set_aside is None
    else:
        assert found.set_aside.read_bytes() == harmed
        assert "\n" not in found.faults[0]
    with Journal(path) as journal:
        read = {record.id: record for record in journal.records()}
        journal.append(step("it goes on"))
    with closing(sqlite3.connect(path)) as outside:
        assert outside.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    originals = {record.id: record for record in records}
    if sort is not scattered:  # a single byte may turn a fact into another: SQLite keeps no checksums
        assert all(originals[record_id] == record for record_id, record in read.items())
    lost = [record for record in records if record.id not in read]
    assert not [record for record in lost if on_untouched_page(record, data, bytes(harmed))], sort.__name__


def on_untouched_page(record: object, data: bytes, harmed: bytes) -> bool:
    """Whether the row (not the index entry) stands on a page that is still somewhere in the file."""
    name, whose = record.id.encode(), record.whistle_id.encode()  # type: ignore[attr-defined]
    for start in range(0, len(data), PAGE_BYTES):
        page = data[start : start + PAGE_BYTES]
        if page[0] == 0x0D and name + record.at_utc.encode() + whose in page:  # type: ignore[attr-defined]
            return page in harmed
    return False


@pytest.mark.parametrize("seed", range(N_SEEDS))
def test_opening_and_reading_a_damaged_journal_says_what_to_do_or_reads_on(tmp_path, whole, seed):
    path = tmp_path / "journal.sqlite"
    harmed = bytearray(whole[0])
    SORTS[seed % len(SORTS)](random.Random(1000 + seed), harmed)
    path.write_bytes(harmed)
    told = f"{path}"
    try:
        with Journal(path) as journal:
            journal.records()
    except WorldError as refusal:
        told = str(refusal)
    assert str(path) in told
    assert "\n" not in told


def test_a_row_on_overflow_pages_is_read_out_of_bare_pages(tmp_path):
    path = tmp_path / "journal.sqlite"
    long = step("a long word " * 2000)
    with Journal(path) as journal:
        journal.append_all((step("before"), long, step("after")))
        records = journal.records()
    assert [record for _, record in salvage(path)] == list(records)


def test_what_stands_in_the_log_alone_is_read_out_of_bare_pages_when_the_head_is_lost(tmp_path):
    path, copy = tmp_path / "journal.sqlite", tmp_path / "copy" / "journal.sqlite"
    copy.parent.mkdir()
    with Journal(path) as journal:
        journal.append_all(one_of_each())
        for ending in ("", "-wal"):
            source = path.with_name(path.name + ending)
            copy.with_name(copy.name + ending).write_bytes(source.read_bytes())
        records = journal.records()
    copy.write_bytes(b"\xff" * 100 + copy.read_bytes()[100:])
    found = check(copy, repair=True)
    assert not found.sound
    with Journal(copy) as journal:
        assert journal.records() == records


def test_an_unfinished_commit_in_the_log_is_not_taken_for_a_fact(tmp_path):
    path = tmp_path / "journal.sqlite"
    with Journal(path) as journal:
        journal.append(step("kept"))
        log = path.with_name("journal.sqlite-wal").read_bytes()
        journal.append(step("cut off"))
        longer = path.with_name("journal.sqlite-wal").read_bytes()
    head, frame = 32, 24 + PAGE_BYTES  # SQLite's file format, section 4.1
    assert len(longer) > len(log) + frame, "the second commit must have several pages"
    path.with_name("journal.sqlite-wal").write_bytes(longer[: len(log) + frame])
    assert (len(log) - head) % frame == 0
    assert [record.text for _, record in salvage(path) if hasattr(record, "text")][:1] == ["kept"]


# ---- which refusals mean damage --------------------------------------------------------------------------------------
@pytest.mark.parametrize("hit", [slice(0, 16), slice(68, 72)], ids=["the first words", "the application's mark"])
def test_a_lost_head_is_told_as_damage_that_can_be_repaired(tmp_path, whole, hit):
    path = tmp_path / "journal.sqlite"
    harmed = bytearray(whole[0])
    harmed[hit] = b"\xa5" * (hit.stop - hit.start)  # SQLite's file format, section 1.3: magic string, application id
    path.write_bytes(harmed)
    with pytest.raises(DamagedJournalError, match="journal check --repair") as refusal:
        Journal(path)
    assert "move it away" not in str(refusal.value)
    assert path.read_bytes() == harmed
    assert sum(check(path, repair=True).n_records.values()) == len(whole[1])


def test_a_strangers_file_is_still_to_be_moved_away(tmp_path):
    path = tmp_path / "journal.sqlite"
    path.write_bytes(b"Bread, cheese, half a pound of linseed oil.\n" * 200)
    with pytest.raises(WorldError, match="move it away") as refusal:
        Journal(path)
    assert not isinstance(refusal.value, DamagedJournalError)


def test_a_journal_of_a_later_version_is_never_set_aside(tmp_path, whole):
    path = tmp_path / "journal.sqlite"
    path.write_bytes(whole[0])
    with closing(sqlite3.connect(path)) as later:
        later.execute("PRAGMA user_version = 99")
    before = path.read_bytes()
    with pytest.raises(WorldError, match="newer Whistlewright"):
        check(path, repair=True)
    with pytest.raises(WorldError, match="newer Whistlewright") as refusal:
        Journal(path)
    assert not isinstance(refusal.value, DamagedJournalError)
    assert path.read_bytes() == before
    assert [each.name for each in tmp_path.iterdir()] == ["journal.sqlite"]
