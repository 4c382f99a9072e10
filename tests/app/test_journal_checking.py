"""A check changes nothing; a repair keeps the damaged file and everything in it that can still be read."""
import sqlite3

import pytest

from app.errors import WorldError
from app.journal import Journal
from app.journal.checking import check
from tests.app.journal_cases import WHISTLE, blow, one_of_each, step

N_STEPS = 400  # some dozens of pages


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "journal.sqlite"
    with Journal(path) as journal:
        journal.append_all([*one_of_each(), *(step(f"step {number}") for number in range(N_STEPS))])
    return path


def page_of(path, value):
    """Byte range of a page that holds `value` in its text, found by looking for it in the file."""
    data = path.read_bytes()
    page_bytes = int.from_bytes(data[16:18], "big")  # SQLite's file format, section 1.3: page size at offset 16
    at = data.index(value) // page_bytes * page_bytes
    return at, page_bytes


def damage(path, value):
    at, n_bytes = page_of(path, value)
    data = bytearray(path.read_bytes())
    data[at : at + n_bytes] = b"\xa5" * n_bytes
    path.write_bytes(data)


def test_a_sound_journal_is_called_sound_and_counted(path):
    found = check(path)
    assert found.sound
    assert found.n_records["step_taken"] == N_STEPS + 1
    assert found.n_records["blow_taken"] == 1


def test_a_check_changes_no_byte(path):
    damage(path, b"step 200")
    before = path.read_bytes()
    check(path)
    assert path.read_bytes() == before
    assert sorted(child.name for child in path.parent.iterdir()) == ["journal.sqlite"]


def test_missing_sounds_are_named(path):
    (path.parent / "sounds").mkdir()
    (path.parent / "sounds" / "here.flac").touch()
    with Journal(path) as journal:
        journal.append_all([blow(sound_file="sounds/here.flac"), blow(sound_file="sounds/gone.flac")])
    assert check(path).missing_sounds == ("sounds/gone.flac",)


def test_one_bad_page_costs_only_its_own_records(path):
    damage(path, b"step 200")
    found = check(path)
    assert not found.sound
    n_left = found.n_records["step_taken"]
    assert N_STEPS * 3 // 4 < n_left < N_STEPS + 1
    assert found.n_records["blow_taken"] == 1


def test_a_repair_sets_the_damaged_file_aside_and_keeps_what_can_be_read(path):
    damage(path, b"step 200")
    before = path.read_bytes()
    found = check(path, repair=True)
    assert found.set_aside.read_bytes() == before
    with Journal(path) as journal:
        records = journal.records(WHISTLE)
        journal.append(step("it goes on"))
    assert len(records) == sum(found.n_records.values())
    texts = [record.text for record in records if hasattr(record, "text")]
    assert {"step 0", f"step {N_STEPS - 1}"} <= set(texts)
    assert check(path).sound


def test_the_order_survives_a_repair(path):
    damage(path, b"step 200")
    check(path, repair=True)
    with Journal(path) as journal:
        numbers = [int(r.text.split()[1]) for r in journal.records() if getattr(r, "text", "").startswith("step ")]
    assert numbers == sorted(numbers)


def test_a_repair_of_a_sound_journal_does_nothing(path):
    before = path.read_bytes()
    assert check(path, repair=True).set_aside is None
    assert path.read_bytes() == before


def test_a_journal_cut_short_is_found_damaged_and_its_beginning_kept(path):
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) * 3 // 4])
    assert not check(path).sound
    found = check(path, repair=True)
    assert sum(found.n_records.values()) > 0
    assert check(path).sound


def test_a_row_with_an_impossible_value_is_not_carried_over(path):
    with sqlite3.connect(path) as other:
        other.execute("DROP TRIGGER blow_taken_keeps_from_update")
        other.execute("UPDATE blow_taken SET stop = 'thumb'")
    other.close()
    damage(path, b"step 200")
    assert check(path).n_records["blow_taken"] == 0


def test_a_missing_journal_is_told(tmp_path):
    with pytest.raises(WorldError, match="no journal at"):
        check(tmp_path / "journal.sqlite")


def test_a_check_leaves_a_file_that_is_no_journal_alone(tmp_path):
    path = tmp_path / "journal.sqlite"
    path.write_text("a letter")
    with pytest.raises(WorldError, match="no journal"):
        check(path, repair=True)
    assert path.read_text() == "a letter"
