"""The journal keeps what it confirmed, in order, and says plainly what the world does to it."""
import sqlite3
import subprocess
import sys
import threading
from dataclasses import replace

import pytest

from app.errors import OurError, WorldError
from app.journal import Journal
from app.journal.trouble import SENTENCES, fault_for
from tests.app.journal_cases import OTHER_WHISTLE, WHISTLE, blow, one_of_each, plug, step, void


@pytest.fixture
def path(tmp_path):
    return tmp_path / "home" / "journal.sqlite"


@pytest.fixture
def journal(path):
    with Journal(path) as journal:
        yield journal


def test_what_is_appended_comes_back_equal_and_in_order(journal):
    records = one_of_each()
    for record in records:
        journal.append(record)
    assert journal.records(WHISTLE) == records


def test_a_record_is_seen_by_another_program_as_soon_as_append_returns(journal, path):
    record = step("Trim")
    journal.append(record)
    # a general library outside this project reads the file, in another process
    reads = "import sqlite3, sys; print(sqlite3.connect(sys.argv[1]).execute('SELECT id FROM step_taken').fetchall())"
    seen = subprocess.run([sys.executable, "-c", reads, str(path)], capture_output=True, text=True, check=True).stdout
    assert seen.strip() == str([(record.id,)])


def test_records_of_another_whistle_are_left_aside(journal):
    mine, other = step("Trim"), step("Cut", whistle_id=OTHER_WHISTLE)
    journal.append(mine)
    journal.append(other)
    assert journal.records(WHISTLE) == (mine,)
    assert journal.records() == (mine, other)


def test_a_voided_record_stays_in_the_file_and_does_not_stand(journal):
    taken = blow()
    tombstone = void(taken)
    journal.append(taken)
    journal.append(tombstone)
    assert journal.records(WHISTLE) == (taken, tombstone)
    assert journal.standing(WHISTLE) == ()


def test_the_latest_revision_of_each_whistle_is_listed_in_the_order_of_first_filing(journal):
    first, *_ = one_of_each()
    later = replace(first, id=step("").id, revision="1" * 64)
    other = replace(first, id=step("").id, whistle_id=OTHER_WHISTLE)
    journal.append_all((first, other, later))
    assert journal.whistles() == (later, other)


def test_all_or_none_of_several_records_are_kept(journal):
    first = step("Trim")
    journal.append(first)
    with pytest.raises(sqlite3.IntegrityError):  # the same UUID twice is a fault of the program's own
        journal.append_all((step("Cut"), first))
    assert journal.records() == (first,)


@pytest.mark.parametrize("statement", [
    "DELETE FROM blow_taken", "UPDATE blow_taken SET frequency_hz = 1.0", "UPDATE plug_set SET depth_mm = 1.0",
    "DELETE FROM voided", "UPDATE whistle_filed SET at_utc = ''",
])
def test_no_program_can_change_or_delete_a_fact(journal, path, statement):
    records = one_of_each()
    journal.append_all(records)
    other = sqlite3.connect(path)
    with pytest.raises(sqlite3.IntegrityError, match="only ever added to"):
        other.execute(statement)
    other.close()
    assert journal.records() == records


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_a_value_the_file_would_turn_into_none_is_refused(journal, value):
    with pytest.raises(OurError, match="frequency_hz"):
        journal.append(blow(frequency_hz=value))
    assert journal.records() == ()


def test_every_commit_is_synced_to_the_disk_and_logged_ahead(journal):
    # SQLite's documentation, "PRAGMA synchronous": 2 is FULL, which syncs at every commit in WAL mode
    assert journal._db.execute("PRAGMA synchronous").fetchone() == (2,)
    assert journal._db.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_two_programs_append_at_once_and_both_are_kept(path):
    def append_ten():
        with Journal(path) as journal:
            for _ in range(10):
                journal.append(step("Trim"))

    threads = [threading.Thread(target=append_ten) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with Journal(path) as journal:
        assert [place for place, _ in journal.places()] == list(range(1, 21))


# ---- the world's faults --------------------------------------------------------------------------------------------
def test_a_full_disk_is_one_sentence_and_what_was_confirmed_stays(journal):
    kept = step("Trim")
    journal.append(kept)
    pages = journal._db.execute("PRAGMA page_count").fetchone()[0]
    journal._db.execute(f"PRAGMA max_page_count = {pages}")  # the library's own way of running out of room
    with pytest.raises(WorldError, match="disk is full") as refusal:
        journal.append_all(step("Cut" * 200) for _ in range(500))
    assert "\n" not in str(refusal.value)
    assert journal.records() == (kept,)
    journal._db.execute("PRAGMA max_page_count = 1000000")
    journal.append(step("Glue"))  # room was made: it goes on


def test_a_newer_journal_is_refused_and_left_as_it_is(path):
    with Journal(path) as journal:
        journal.append(step("Trim"))
    with sqlite3.connect(path) as other:
        other.execute("PRAGMA user_version = 99")
    other.close()
    before = path.read_bytes()
    with pytest.raises(WorldError, match="newer Whistlewright.*99"):
        Journal(path)
    assert path.read_bytes() == before


def test_a_database_of_another_program_is_refused_and_left_as_it_is(path):
    path.parent.mkdir()
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE recipe (name TEXT)")
    other.close()
    before = path.read_bytes()
    with pytest.raises(WorldError, match="another program"):
        Journal(path)
    assert path.read_bytes() == before


def test_a_file_that_is_no_database_is_refused_and_left_as_it_is(path):
    path.parent.mkdir()
    path.write_text("Dear diary, today I turned a whistle.")
    with pytest.raises(WorldError, match="no journal"):
        Journal(path)
    assert path.read_text().startswith("Dear diary")


def test_a_folder_in_place_of_the_journal_is_refused(path):
    path.mkdir(parents=True)
    with pytest.raises(WorldError, match="is a folder"):
        Journal(path)


def test_a_file_in_place_of_the_folder_is_refused(tmp_path):
    (tmp_path / "home").write_text("")
    with pytest.raises(WorldError, match="could not be opened"):
        Journal(tmp_path / "home" / "journal.sqlite")


def test_an_empty_file_becomes_a_journal(path):
    path.parent.mkdir()
    path.write_bytes(b"")  # what a power cut at the very first start leaves
    with Journal(path) as journal:
        journal.append(plug())
        assert len(journal.records()) == 1


@pytest.mark.parametrize("code", SENTENCES)
def test_every_known_fault_of_the_world_has_one_sentence(code, path):
    error = sqlite3.OperationalError("raw text of the library")
    error.sqlite_errorcode = code | (3 << 8)  # an extended code: its low byte is the family
    sentence = str(fault_for(error, path))
    assert sentence.endswith((".", "?"))
    assert str(path) in sentence
    assert "raw text" not in sentence


def test_a_fault_of_the_programs_own_has_no_sentence(path):
    error = sqlite3.OperationalError("no such column")
    error.sqlite_errorcode = sqlite3.SQLITE_ERROR
    assert fault_for(error, path) is None
