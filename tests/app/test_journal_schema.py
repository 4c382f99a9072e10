"""The file's format: columns named as the fields, versions step by step, and a version 1 file that opens for ever."""
import shutil
import sqlite3
from dataclasses import fields, replace

import pytest

from app.errors import WorldError
from app.evidence import closures, observations
from app.journal import Journal, schema
from app.journal.exchange import as_csv, as_json, import_file
from app.journal.salvage import salvage
from app.records import BlowTaken, ChordTaken, PlugSet, StepTaken, VoiceChanged, Voided, WhistleFiled
from app.whistle import decode_whistle, revision
from tests.app.journal_cases import blow, chord, step

UNIT_ENDINGS = ("_mm", "_hz", "_cents", "_c", "_s", "_ms", "_dbfs", "_db", "_utc", "_frames")
# dimensionless, or told otherwise beside the field: humidity 0 to 1, and a step's value in the unit of its step
WITHOUT_UNIT = {"relative_humidity", "value"}
NOW = schema.CURRENT_VERSION


@pytest.fixture
def version_1(root, tmp_path):
    """A copy of the file that version 1 wrote; the frozen one is never opened itself."""
    return shutil.copyfile(root / "tests" / "data" / "journal-v1.sqlite", tmp_path / "journal.sqlite")


@pytest.mark.parametrize("table", schema.RECORD_TYPES)
def test_the_columns_are_the_fields_of_the_record(table, tmp_path):
    """When this fails after a change of a record: add a migration, never edit a published one."""
    Journal(tmp_path / "journal.sqlite").close()
    db = sqlite3.connect(tmp_path / "journal.sqlite")
    columns = schema.column_names(db, table)
    db.close()
    assert set(columns) == {"sequence", *(field.name for field in fields(schema.RECORD_TYPES[table]))}


@pytest.mark.parametrize("table", schema.RECORD_TYPES)
def test_every_measured_column_says_its_unit(table, tmp_path):
    Journal(tmp_path / "journal.sqlite").close()
    db = sqlite3.connect(tmp_path / "journal.sqlite")
    measured = [row[1] for row in db.execute(f"PRAGMA table_info({table})") if row[2] == "REAL"]
    db.close()
    assert [name for name in measured if not name.endswith(UNIT_ENDINGS) and name not in WITHOUT_UNIT] == []


def test_the_version_1_file_opens_with_every_record(version_1):
    with Journal(version_1) as journal:
        records = journal.records()
    kinds = [type(record) for record in records]
    assert kinds == [
        WhistleFiled, StepTaken, BlowTaken, BlowTaken, PlugSet, BlowTaken, BlowTaken, Voided, VoiceChanged,
    ]
    overblown, on_plug = records[3], records[5]
    assert (overblown.verdict, overblown.usable, overblown.frequency_hz) == ("overblown", False, None)
    assert overblown.heard_hz == 1702.4
    assert (on_plug.frequency_hz, on_plug.depth_measured, on_plug.sound_file) == (701.3, True, "sounds/2026/one.flac")
    assert records[8].note == "lip recut; “crisper”"


def test_the_version_1_file_still_teaches_what_it_taught(version_1):
    with Journal(version_1) as journal:
        records = journal.records()
    assert [seen.frequency_hz for seen in observations(records)] == [566.2, 701.3]  # one blow was forgotten
    assert closures(records)["A"].depth_mm == 24.9


def test_the_document_in_the_version_1_file_still_has_its_revision(version_1):
    with Journal(version_1) as journal:
        filed, = journal.whistles()
    whistle = decode_whistle(filed.document_json, "the frozen journal")
    assert whistle.name == "Harbour pilot"
    assert revision(whistle) == filed.revision


def test_the_version_1_file_can_be_added_to_and_merged(version_1, tmp_path):
    with Journal(version_1) as journal:
        journal.append(step("Trim"))
        with Journal(tmp_path / "new.sqlite") as new:
            assert import_file(new, version_1).n_added == 10
            assert new.records() == journal.records()


def test_the_version_1_file_takes_chords_after_its_first_opening(version_1):
    with Journal(version_1) as journal:
        before = journal.records()
        journal.append(chord())
    with Journal(version_1) as journal:
        assert journal.records()[:-1] == before
        assert journal.records()[-1].voice("B").heard == "missing"


def test_the_version_2_file_opens_with_its_chord_and_the_one_that_was_forgotten(root, tmp_path):
    path = shutil.copyfile(root / "tests" / "data" / "journal-v2.sqlite", tmp_path / "journal.sqlite")
    with Journal(path) as journal:
        chords = [record for record in journal.records() if isinstance(record, ChordTaken)]
        standing = [record for record in journal.standing(chords[0].whistle_id) if isinstance(record, ChordTaken)]
    assert standing == chords[:1]
    assert (chords[0].a_hz, chords[0].b_heard, chords[0].b_level_db) == (700.125, "weak", -16.5)
    assert chords[1].voice("B").frequency_hz is None


@pytest.fixture
def blows_of_version_2(root, tmp_path):
    return shutil.copyfile(root / "tests" / "data" / "journal-v2-blows.sqlite", tmp_path / "journal.sqlite")


def test_no_blow_of_version_2_was_blown_with_a_finger_over_the_plug(blows_of_version_2):
    with Journal(blows_of_version_2) as journal:
        blows = [record for record in journal.records() if isinstance(record, BlowTaken)]
        assert [(taken.frequency_hz, taken.covered) for taken in blows] == [
            (612.3, False), (701.3, False), (702.1, False), (690.0, False),
        ]
        journal.append(blow("B", covered=True))
    with Journal(blows_of_version_2) as journal:
        assert journal.records()[-1].covered is True


def test_the_added_column_cannot_be_changed_either(blows_of_version_2):
    Journal(blows_of_version_2).close()
    db = sqlite3.connect(blows_of_version_2)
    for statement in ("UPDATE blow_taken SET covered = 1", "UPDATE blow_taken SET usable = 0",
                      "DELETE FROM blow_taken"):
        with pytest.raises(sqlite3.IntegrityError, match="only ever added to"):
            db.execute(statement)
    db.close()


def test_rows_of_version_2_are_read_out_of_bare_pages_beside_those_of_version_3(blows_of_version_2):
    bare = salvage(blows_of_version_2)
    with Journal(blows_of_version_2) as journal:
        assert [record for _, record in bare] == list(journal.records())
        journal.append(blow("B", covered=True))
        everything = list(journal.records())
    assert [record for _, record in salvage(blows_of_version_2)] == everything


def test_blows_of_version_2_are_merged_into_a_journal_of_version_3(blows_of_version_2, root, tmp_path):
    frozen = shutil.copyfile(root / "tests" / "data" / "journal-v3.sqlite", tmp_path / "v3.sqlite")
    with Journal(tmp_path / "new.sqlite") as new:
        assert import_file(new, blows_of_version_2).n_added == 6
        covered = [record.frequency_hz for record in new.records() if getattr(record, "covered", False)]
        assert covered == []
    with Journal(tmp_path / "other.sqlite") as other:
        assert import_file(other, frozen).n_added == 8
        covered = [record.frequency_hz for record in other.records() if getattr(record, "covered", False)]
        assert covered == [684.2, 683.8]


@pytest.mark.parametrize(("form", "old"), [(as_json, False), (as_csv, False), (as_json, True), (as_csv, True)])
def test_covered_blows_go_through_an_exported_file_and_an_older_one_has_none(form, old, root, tmp_path):
    path = shutil.copyfile(root / "tests" / "data" / "journal-v3.sqlite", tmp_path / "journal.sqlite")
    with Journal(path) as journal:
        exported, records = form(journal), journal.records()
    if old:  # what the program of version 2 would have written
        exported = exported.replace(b',\n   "covered": true', b"").replace(b',\n   "covered": false', b"")
        exported = exported.replace(b"model_version,covered,", b"model_version,other,")
        assert b"covered" not in exported
    (tmp_path / "exported").write_bytes(exported)
    with Journal(tmp_path / "new.sqlite") as new:
        import_file(new, tmp_path / "exported")
        came = new.records()
    assert [getattr(record, "covered", False) for record in came].count(True) == (0 if old else 2)
    assert [replace(r, covered=False) if isinstance(r, BlowTaken) else r for r in came] == [
        replace(r, covered=False) if isinstance(r, BlowTaken) else r for r in records]


def test_the_version_3_file_tells_the_model_which_blows_were_covered(root, tmp_path):
    path = shutil.copyfile(root / "tests" / "data" / "journal-v3.sqlite", tmp_path / "journal.sqlite")
    with Journal(path) as journal:
        seen = observations(journal.records())
    assert [(each.frequency_hz, each.covered) for each in seen] == [
        (612.3, False), (701.3, False), (702.1, False), (684.2, True), (683.8, True),
    ]


def test_a_migration_that_fails_leaves_the_file_as_it_was(version_1, monkeypatch):
    def failing(connection):
        connection.execute("CREATE TABLE half_made (a TEXT)")
        raise sqlite3.OperationalError("in the middle")

    monkeypatch.setattr(schema, "MIGRATIONS", (*schema.MIGRATIONS, failing))
    monkeypatch.setattr(schema, "CURRENT_VERSION", NOW + 1)
    with pytest.raises(sqlite3.OperationalError, match="in the middle"):
        Journal(version_1)
    monkeypatch.undo()
    db = sqlite3.connect(version_1)
    assert db.execute("PRAGMA user_version").fetchone() == (NOW,)
    assert "half_made" not in [row[0] for row in db.execute("SELECT name FROM sqlite_master")]
    db.close()
    with Journal(version_1) as journal:
        assert len(journal.records()) == 9


def test_a_migration_brings_an_older_file_up_in_one_step_each(version_1, monkeypatch):
    def wider(connection):
        connection.execute("ALTER TABLE voice_changed ADD COLUMN depth_mm REAL")

    monkeypatch.setattr(schema, "MIGRATIONS", (*schema.MIGRATIONS, wider))
    monkeypatch.setattr(schema, "CURRENT_VERSION", NOW + 1)
    with Journal(version_1) as journal:
        assert len(journal.records()) == 9
        assert journal._db.execute("PRAGMA user_version").fetchone() == (NOW + 1,)
    monkeypatch.undo()
    with pytest.raises(WorldError, match="newer"):
        Journal(version_1)


@pytest.mark.parametrize("table", schema.RECORD_TYPES)
def test_every_table_and_column_stands_in_the_documents(root, table):
    text = (root / "docs" / "journal.md").read_text(encoding="utf-8")
    assert f"### `{table}`" in text
    assert [field.name for field in fields(schema.RECORD_TYPES[table]) if f"`{field.name}`" not in text] == []
