"""The journal's commands, from the first reading to a merge on another laptop."""
import csv
import io
import json
from dataclasses import replace
from datetime import datetime

import pytest

from app.journal import Journal
from app.records import BlowTaken, PlugSet, VoiceChanged, WhistleFiled
from tests.app.command_line import HARBOUR, CommandLine

HARBOUR_BLOW = "44444444-4444-4444-8444-444444444444"


@pytest.fixture
def command(tmp_path, capfd):
    return CommandLine(tmp_path / "home", capfd)


@pytest.fixture
def other(tmp_path, capfd):
    return CommandLine(tmp_path / "other laptop", capfd)


def told(command, *words):
    return command.fine("journal", "add", "--whistle", HARBOUR, *words, "--json").json["added"]


def test_a_typed_reading_is_kept_with_what_it_was_taken_under(command):
    told(command, "--chamber", "b", "--hz", "612.5", "--stop", "flat", "--error", "1.5", "--temperature", "18",
         "--mouthpiece-off")
    filed, reading = command.records()
    assert isinstance(filed, WhistleFiled)
    assert isinstance(reading, BlowTaken)
    assert (reading.letter, reading.stop) == ("B", "flat")
    assert (reading.frequency_hz, reading.standard_error_cents) == (612.5, 1.5)
    assert (reading.temperature_c, reading.mouthpiece_on, reading.neighbours_shut) == (18.0, False, True)
    assert reading.level_dbfs is None, "nobody measured it"
    assert datetime.fromisoformat(reading.at_utc).utcoffset().total_seconds() == 0


def test_the_document_is_filed_once_and_again_when_it_changes(command, tmp_path):
    told(command, "--chamber", "A", "--voice", "lip recut")
    told(command, "--chamber", "A", "--voice", "lip recut")
    changed = tmp_path / "changed.json"
    changed.write_text(json.dumps(json.loads(HARBOUR.read_text()) | {"wood": "pear"}))
    command.fine("journal", "add", "--whistle", changed, "--chamber", "A", "--voice", "once more")
    kinds = [type(record) for record in command.records()]
    assert kinds == [WhistleFiled, VoiceChanged, VoiceChanged, WhistleFiled, VoiceChanged]


@pytest.mark.parametrize(("words", "depth_mm", "length_mm"), [
    (("--length", "57.3"), 57.3, 57.3),
    (("--length", "57.3", "--proud", "1.5"), 55.8, 57.3),  # walk.md: depth = length - proud + recess
    (("--length", "2 1/4", "--recess", "2"), 59.15, 57.15),
    (("--depth", "41"), 41.0, 41.0),
])
def test_a_plug_is_kept_by_the_depth_of_its_inner_face(command, words, depth_mm, length_mm):
    told(command, "--chamber", "C", *words)
    plug = command.records()[-1]
    assert (plug.stop, plug.how, plug.said_by, plug.depth_measured) == ("plug", "cut", "command", True)
    assert (plug.depth_mm, plug.length_mm) == pytest.approx((depth_mm, length_mm))


def test_a_shorter_plug_than_before_was_trimmed_and_a_longer_one_is_new(command):
    for length in ("40", "39.2", "41"):
        told(command, "--chamber", "A", "--length", length)
    assert [record.how for record in command.records() if isinstance(record, PlugSet)] == ["cut", "trim", "cut"]


def test_a_slug_is_kept_as_a_slug(command):
    told(command, "--chamber", "A", "--depth", "48", "--slug")
    slug = command.records()[-1]
    assert (slug.stop, slug.how, slug.depth_mm) == ("slug", "set", 48.0)


def test_a_reading_on_the_plug_that_is_in_belongs_to_that_very_face(command):
    told(command, "--chamber", "A", "--length", "40", "--proud", "1")
    told(command, "--chamber", "A", "--hz", "705", "--stop", "plug")
    plug, reading = command.records()[-2:]
    assert (reading.closure_id, reading.depth_mm, reading.depth_measured) == (plug.id, 39.0, True)


def test_a_change_of_voice_sets_the_readings_aside_for_the_advice(command):
    told(command, "--chamber", "A", "--hz", "705", "--stop", "plug:30")
    assert command.fine("advise", "--whistle", HARBOUR, "--json").json["chambers"][0]["heard_hz"] == pytest.approx(705)
    told(command, "--chamber", "A", "--voice", "window filed")
    assert command.fine("advise", "--whistle", HARBOUR, "--json").json["chambers"][0]["heard_hz"] is None


@pytest.mark.usefixtures("qapp")  # the command would start a lesser one, and only one can be had
def test_the_session_is_printed_step_by_step_and_written_as_csv_json_and_pdf(command, tmp_path):
    for words in (("--hz", "560", "--stop", "finger"), ("--length", "60"), ("--hz", "700", "--stop", "plug"),
                  ("--length", "59"), ("--hz", "698.456", "--stop", "plug", "--temperature", "19")):
        told(command, "--chamber", "A", *words)
    printed = command.fine("journal", "session", "--whistle", HARBOUR).out
    # by hand: 1200 log2(560 / 698.456) = -382.49, 1200 log2(700 / 698.456) = 3.82
    for words in ("382 flat", "cut", "3.8 sharp", "trim 1", "even", "19.0"):
        assert words in printed
    document = command.fine("journal", "session", "--whistle", HARBOUR, "--json").json
    assert [reading["step"] for reading in document["readings"]] == ["finger", "cut", "trim 1"]
    for name, begins in (("s.csv", b"letter,step"), ("s.json", b"{"), ("s.pdf", b"%PDF-")):
        command.fine("journal", "session", "--whistle", HARBOUR, "--out", tmp_path / name)
        assert (tmp_path / name).read_bytes().startswith(begins)
    again = command("journal", "session", "--whistle", HARBOUR, "--out", tmp_path / "s.csv")
    assert (again.code, "exists already" in again.err) == (2, True)
    unknown = command("journal", "session", "--whistle", HARBOUR, "--out", tmp_path / "s.txt")
    assert (unknown.code, ".pdf, .csv or .json" in unknown.err) == (2, True)


def test_the_sounds_of_another_laptops_journal_come_along(command, other):
    told(command, "--chamber", "A", "--hz", "612", "--stop", "finger")
    blown = command.records()[-1]
    with Journal(command.home / "journal.sqlite") as journal:
        journal.append(replace(blown, id=HARBOUR_BLOW, sound_file="blows/one.flac"))
    (command.home / "blows").mkdir()
    (command.home / "blows/one.flac").write_bytes(b"sound")
    assert "1 sounds were copied." in other.fine("journal", "import", command.home / "journal.sqlite").out
    assert (other.home / "blows/one.flac").read_bytes() == b"sound"


def test_a_damaged_journal_of_another_laptop_is_taken_as_far_as_it_can_be_read(command, other):
    for _ in range(3):
        told(command, "--chamber", "A", "--hz", "612", "--stop", "finger")
    path = command.home / "journal.sqlite"
    path.write_bytes(b"\0" * 4096 + path.read_bytes()[4096:])  # the page that knows where the tables begin
    run = other("journal", "import", path)
    assert (run.code, "--damaged" in run.err) == (2, True)
    assert other.fine("journal", "import", path, "--damaged", "--json").json["n_added"] == 4


def test_list_and_show_tell_what_is_there(command):
    assert command.fine("journal", "list", "--json").json == {"whistles": []}
    told(command, "--chamber", "A", "--hz", "612", "--stop", "finger")
    whistle, = command.fine("journal", "list", "--json").json["whistles"]
    assert (whistle["name"], whistle["n_records"], whistle["n_blows"]) == ("Harbour pilot", 2, 1)
    records = command.fine("journal", "show", "--whistle", "harbour PILOT", "--json").json["records"]
    assert [(record["kind"], record["sequence"]) for record in records] == [("whistle_filed", 1), ("blow_taken", 2)]
    assert "frequency_hz 612.0" in command.fine("journal", "show").out
    assert "Harbour pilot: 1 blows" in command.fine("journal", "list").out


@pytest.mark.parametrize("name", ["log.csv", "log.json"])
def test_an_exported_file_is_merged_on_another_laptop_and_twice_does_no_harm(command, other, tmp_path, name):
    told(command, "--chamber", "A", "--hz", "612", "--stop", "plug:30")
    out = tmp_path / name
    assert command.fine("journal", "export", "--out", out, "--json").json["n_records"] == 3
    nothing_else = {"n_here_already": 0, "n_differing": 0, "n_sounds_copied": 0, "n_sounds_missing": 0}
    assert other.fine("journal", "import", out, "--json").json == {"n_added": 3, **nothing_else}
    assert other.fine("journal", "import", out, "--json").json["n_added"] == 0
    assert other.records() == command.records()
    assert other.fine("advise", "--whistle", "Harbour pilot").out == command.fine("advise", "--whistle", HARBOUR).out


def test_an_export_without_a_file_comes_on_standard_output(command):
    told(command, "--chamber", "A", "--hz", "612", "--stop", "finger")
    assert len(command.fine("journal", "export").json["records"]) == 2
    assert command.fine("journal", "export", "--json").json["format"] == "whistlewright-journal"
    table = csv.DictReader(io.StringIO(command.fine("journal", "export", "--format", "csv").out))
    assert [row["kind"] for row in table] == ["whistle_filed", "blow_taken"]


def test_an_export_never_writes_over_a_file(command, tmp_path):
    out = tmp_path / "log.json"
    out.write_text("mine")
    run = command("journal", "export", "--out", out)
    assert (run.code, out.read_text()) == (2, "mine")
    assert "exists already" in run.err


def test_a_check_of_a_sound_journal_is_code_0(command):
    told(command, "--chamber", "A", "--hz", "612", "--stop", "finger")
    answer = command.fine("journal", "check", "--json").json
    assert (answer["sound"], answer["faults"], answer["set_aside"]) == (True, [], None)
    assert answer["n_records"]["blow_taken"] == 1


def test_a_damaged_journal_is_code_2_until_it_is_repaired(command):
    for _ in range(3):
        told(command, "--chamber", "A", "--hz", "612", "--stop", "finger")
    path = command.home / "journal.sqlite"
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    damaged = command("journal", "check")
    assert (damaged.code, damaged.err) == (2, "")
    assert "The journal is damaged" in damaged.out
    assert "--repair" in command("journal", "list").err
    repaired = command("journal", "check", "--repair", "--json")
    assert repaired.code == 0
    with open(repaired.json["set_aside"], "rb") as file:
        assert file.read() == data[: len(data) // 2]
    assert command.fine("journal", "check", "--json").json["sound"]


def test_a_whistle_is_found_by_its_number_its_name_and_its_id(command, tmp_path):
    document = json.loads(HARBOUR.read_text()) | {"number": 7}
    path = tmp_path / "seven.json"
    path.write_text(json.dumps(document))
    command.fine("journal", "add", "--whistle", path, "--chamber", "A", "--voice", "first")
    for name in ("7", "Harbour pilot", document["id"], str(path)):
        assert command.fine("plan", "--whistle", name, "--json").json["number"] == 7


def test_two_whistles_of_one_name_must_be_told_apart_by_their_ids(command, tmp_path):
    twin_id = "33333333-3333-4333-8333-333333333333"
    twin = tmp_path / "twin.json"
    twin.write_text(json.dumps(json.loads(HARBOUR.read_text()) | {"id": twin_id}))
    for document in (HARBOUR, twin):
        command.fine("journal", "add", "--whistle", document, "--chamber", "A", "--voice", "first")
    run = command("advise", "--whistle", "Harbour pilot")
    assert run.code == 2
    assert twin_id in run.err
    assert command("advise", "--whistle", twin_id).code == 0


def test_facts_told_while_another_program_has_the_journal_open_are_kept(command):
    told(command, "--chamber", "A", "--voice", "first")
    with Journal(command.home / "journal.sqlite") as open_elsewhere:
        told(command, "--chamber", "A", "--hz", "612", "--stop", "finger")
        assert len(open_elsewhere.records()) == 3


def test_one_document_that_cannot_be_read_hides_no_other_whistle(command):
    """As another laptop's later program may have filed it."""
    told(command, "--chamber", "A", "--voice", "first")
    newer_id = "55555555-5555-4555-8555-555555555555"
    with Journal(command.home / "journal.sqlite") as journal:
        journal.append(WhistleFiled(newer_id, "2026-05-01T10:00:00+00:00", newer_id, "0" * 64, '{"format": "later"}'))
    assert command("advise", "--whistle", "Harbour pilot").code == 0
    run = command("advise", "--whistle", newer_id)
    assert run.code == 2
    assert "is not a whistle document" in run.err
