"""Out of one journal and into another: nothing lost, nothing twice, in whatever order laptops meet."""
import csv
import json
import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.errors import WorldError
from app.journal import Journal
from app.journal.exchange import as_csv, as_json, import_file
from app.journal.merging import merge, together
from app.journal.rows import checked_record, row_of, table_of
from app.journal.sounds import sound_path
from tests.app.journal_cases import OTHER_WHISTLE, WHISTLE, blow, chord, one_of_each, plug, step, void

FORMATS = {"csv": as_csv, "json": as_json}
finite = st.floats(allow_nan=False, allow_infinity=False)
words = st.text(st.characters(blacklist_categories=["Cs"]), max_size=30)


@pytest.fixture
def journal(tmp_path):
    with Journal(tmp_path / "journal.sqlite") as journal:
        journal.append_all(one_of_each())
        yield journal


@pytest.fixture
def other(tmp_path):
    with Journal(tmp_path / "other" / "journal.sqlite") as other:
        yield other


def written(tmp_path, journal, kind):
    path = tmp_path / f"exported.{kind}"
    path.write_bytes(FORMATS[kind](journal))
    return path


@pytest.mark.parametrize("kind", FORMATS)
def test_an_export_read_into_an_empty_journal_gives_equal_records(tmp_path, journal, other, kind):
    assert import_file(other, written(tmp_path, journal, kind)).n_added == 7
    assert other.records() == journal.records()


@pytest.mark.parametrize("kind", FORMATS)
def test_the_same_file_twice_adds_nothing(tmp_path, journal, other, kind):
    path = written(tmp_path, journal, kind)
    import_file(other, path)
    again = import_file(other, path)
    assert (again.n_added, again.n_here_already, again.n_differing) == (0, 7, 0)
    assert other.records() == journal.records()


def test_another_laptops_journal_file_is_merged_while_it_is_open_there(journal, other):
    late = step("Glue")
    journal.append(late)  # still in the write-ahead log only
    import_file(other, journal.path)
    assert late in other.records()


def test_two_laptops_that_worked_on_one_whistle_agree_after_merging_both_ways(tmp_path, journal, other):
    merge(other, list(journal.records()))
    mine = [step("Trim", minute) for minute in (10, 30)]
    theirs = [step("Cut", minute) for minute in (20, 40)]
    journal.append_all(mine)
    other.append_all(theirs)
    merge(other, list(journal.records()))
    merge(journal, list(other.records()))
    assert journal.records(WHISTLE) == other.records(WHISTLE)
    assert journal.records(WHISTLE)[-4:] == (mine[0], theirs[0], mine[1], theirs[1])


def test_a_clock_that_was_set_back_does_not_turn_one_laptops_own_order(journal, other):
    cut = step("Cut", minute=50)
    trimmed_later = step("Trim", minute=5)  # its clock was put right in between
    other.append_all((cut, trimmed_later))
    merge(journal, list(other.records()))
    order = journal.records(WHISTLE)
    assert order.index(cut) < order.index(trimmed_later)


def test_clocks_that_were_set_back_give_one_order_whichever_way_the_merge_goes(journal, other):
    """Both sides know the shared records first, and so does their merger, whatever the clocks say."""
    shared = [step("Cut", 50), step("Trim", 5)]  # the clock was put right in between
    journal.append_all(shared)
    merge(other, list(journal.records()))
    mine, theirs = step("Trim", 40), step("Glue", 30)
    journal.append(mine)
    other.append(theirs)
    before = list(journal.records())
    merge(journal, list(other.records()))
    merge(other, before)
    assert journal.records() == other.records()
    assert [record for record in journal.records() if record in (*shared, mine, theirs)] == [*shared, theirs, mine]


def test_two_facts_of_one_moment_have_one_order_on_both_laptops(journal, other):
    merge(other, list(journal.records()))
    journal.append(step("Cut", 30))
    other.append(step("Trim", 30))
    before = list(journal.records())
    merge(journal, list(other.records()))
    merge(other, before)
    assert journal.records() == other.records()


@given(st.lists(st.tuples(st.sampled_from(["mine", "theirs", "both"]), st.integers(0, 59)), max_size=25))
@settings(max_examples=200, deadline=None)
def test_any_two_overlapping_sessions_merge_alike_both_ways_and_lose_nothing(facts):
    """Every fact on one laptop or on both, by clocks that jump about; both know the common ones in one order."""
    sides = {"mine": [], "theirs": []}
    for whose, minute in facts:
        record = step(whose, minute)
        for side in sides if whose == "both" else (whose,):
            sides[side].append(record)
    mine, theirs = sides["mine"], sides["theirs"]
    order = together(mine, theirs)
    assert order == together(theirs, mine)
    assert sorted(order) == sorted({record.id for record in (*mine, *theirs)})
    for side in (mine, theirs):
        own = [record.id for record in side]
        assert [record_id for record_id in order if record_id in own] == own
        merged = [next(r for r in (*mine, *theirs) if r.id == record_id) for record_id in order]
        assert together(merged, side) == order, "merged again, nothing moves"


def test_sides_that_contradict_each_other_still_give_every_fact_once(journal):
    one, two = step("Cut", 20), step("Trim", 10)
    assert together([one, two], [two, one]) == together([two, one], [one, two]) == [two.id, one.id]


def test_three_laptops_agree_in_whatever_order_they_meet(tmp_path):
    """By clocks that go right: every way ends in the order of time."""
    facts = {name: [step(f"{name} {minute}", minute) for minute in minutes]
             for name, minutes in (("one", (3, 9, 30)), ("two", (1, 12)), ("three", (5, 7, 40)))}  # fmt: skip
    ends = []
    for way in (("one", "two", "three"), ("three", "one", "two"), ("two", "three", "one")):
        with Journal(tmp_path / "-".join(way)) as journal:
            for name in way:
                merge(journal, facts[name])
            ends.append(journal.records())
    assert ends[0] == ends[1] == ends[2]
    assert [record.at_utc for record in ends[0]] == sorted(record.at_utc for record in ends[0])


def test_whole_blows_of_the_chord_come_along_and_still_name_their_faces(journal, other):
    cut = plug("B")
    blown = chord(faces=f"x:0,{cut.id}:0")
    other.append_all((cut, blown))
    merge(journal, list(other.records()))
    assert blown in journal.records()
    assert cut.id in {record.id for record in journal.records() if table_of(record) == "plug_set"}


def test_sounds_come_along_with_a_journal_file_and_never_write_over_one(tmp_path, journal, other):
    names = [f"blows/{word}.flac" for word in ("theirs", "both", "gone")]
    other.append_all([blow(sound_file=name) for name in names[:2]] + [chord(sound_file=names[2])])
    for folder, name, words in ((other.path.parent, names[0], b"new"), (other.path.parent, names[1], b"other"),
                                (journal.path.parent, names[1], b"mine")):  # fmt: skip
        (folder / "blows").mkdir(exist_ok=True)
        (folder / name).write_bytes(words)
    done = import_file(journal, other.path)
    assert (done.n_sounds_copied, done.n_sounds_missing) == (1, 1)
    assert [(journal.path.parent / name).read_bytes() for name in names[:2]] == [b"new", b"mine"]
    assert import_file(journal, other.path).n_sounds_copied == 0


def test_an_exported_file_brings_no_sounds_and_says_how_many_it_names(tmp_path, journal, other):
    journal.append(blow(sound_file="blows/one.flac"))
    assert import_file(other, written(tmp_path, journal, "json")).n_sounds_missing == 1


@pytest.mark.parametrize("name", ["../stolen.flac", "/etc/passwd", "blows/../../stolen.flac", "C:\\\\stolen.flac", "."])
def test_a_sound_named_outside_the_folder_is_neither_read_nor_written(tmp_path, journal, other, name):
    (tmp_path / "stolen.flac").write_bytes(b"private")
    other.append(blow(sound_file=name))
    assert sound_path(tmp_path / "other", name) is None
    done = import_file(journal, other.path)
    assert (done.n_sounds_copied, done.n_sounds_missing) == (0, 1)


def test_a_damaged_journal_of_another_laptop_is_told_and_taken_only_when_that_is_asked_for(journal, other):
    other.append_all(step(f"step {number}") for number in range(300))
    other.close()
    data = bytearray(other.path.read_bytes())
    start = data.index(b"step 100") // 4096 * 4096
    data[start : start + 4096] = bytes(4096)
    other.path.write_bytes(data)
    with pytest.raises(WorldError) as refusal:
        import_file(journal, other.path)
    assert str(other.path) in str(refusal.value)
    assert "--damaged" in str(refusal.value)
    assert len(journal.records()) == 7
    assert 200 < import_file(journal, other.path, damaged=True).n_added < 300
    assert bytes(data) == other.path.read_bytes()


def test_a_whistle_only_one_side_knows_keeps_its_order_and_moves_nothing(journal, other):
    before = journal.places(WHISTLE)
    theirs = (step("Cut", 9, OTHER_WHISTLE), step("Trim", 8, OTHER_WHISTLE))
    other.append_all(theirs)
    merge(journal, list(other.records()))
    assert journal.records(OTHER_WHISTLE) == theirs
    assert journal.places(WHISTLE) == before


def test_a_forgotten_blow_is_forgotten_on_both_laptops(journal, other):
    taken = blow()
    journal.append(taken)
    merge(other, [taken])
    other.append(void(taken))
    merge(journal, list(other.records()))
    assert taken not in journal.standing(WHISTLE)


def test_other_facts_under_a_known_id_are_counted_and_ours_are_kept(journal):
    ours = next(record for record in journal.records() if table_of(record) == "blow_taken")
    merged = merge(journal, [replace(ours, frequency_hz=500.0)])
    assert (merged.n_added, merged.n_differing) == (0, 1)
    assert ours in journal.records()


def test_nothing_of_a_file_is_kept_when_one_record_in_it_is_bad(tmp_path, journal, other):
    document = json.loads(as_json(journal))
    document["records"][-1]["voids_id"] = "not an id"
    path = tmp_path / "bad.json"
    path.write_text(json.dumps(document))
    with pytest.raises(WorldError, match="record 7: voids_id"):
        import_file(other, path)
    assert other.records() == ()


def test_the_csv_opens_with_a_general_reader_and_names_every_field(journal):
    # Python's own csv module is the reader from outside
    table = list(csv.DictReader(as_csv(journal).decode("utf-8").splitlines()))
    assert [row["kind"] for row in table] == [table_of(record) for record in journal.records()]
    taken = next(row for row in table if row["kind"] == "blow_taken")
    assert (taken["frequency_hz"], taken["usable"], taken["relative_humidity"]) == ("612.3", "1", "")


def test_the_json_has_no_value_that_json_does_not_know(journal):
    json.loads(as_json(journal), parse_constant=lambda name: pytest.fail(f"{name} is not JSON"))


def test_a_zero_byte_in_somebodys_words_does_not_make_a_journal_of_an_export(tmp_path, journal, other):
    odd = step("\0 a word of zeros")
    journal.append(odd)
    import_file(other, written(tmp_path, journal, "csv"))
    assert odd in other.records()


@pytest.mark.parametrize("page", [bytes(4096), random.Random(13).randbytes(4096)], ids=["zeros", "noise"])
def test_a_journal_whose_first_page_is_lost_is_still_known_for_one(journal, other, page):
    other.append_all(one_of_each())
    other.close()
    other.path.write_bytes(page + other.path.read_bytes()[4096:])
    with pytest.raises(WorldError, match="--damaged takes the 7 records"):
        import_file(journal, other.path)
    assert import_file(journal, other.path, damaged=True).n_added == 7


@given(frequency_hz=st.floats(50.0, 5000.0), level_dbfs=st.none() | finite, blower=words, findings=words)
@settings(max_examples=40, deadline=None)
def test_any_blow_comes_back_equal_from_a_row(frequency_hz, level_dbfs, blower, findings):
    taken = blow(frequency_hz=frequency_hz, level_dbfs=level_dbfs, blower=blower, findings=findings)
    assert checked_record("blow_taken", row_of(taken), "here") == taken


@given(st.lists(st.tuples(words, finite, st.none() | finite), max_size=5))
@settings(max_examples=25, deadline=None)
def test_any_words_and_numbers_survive_file_csv_and_json(tmp_path_factory, facts):
    folder = tmp_path_factory.mktemp("any")
    records = tuple(plug(how=text, proud_mm=proud_mm, asked_mm=asked_mm) for text, proud_mm, asked_mm in facts)
    with Journal(folder / "a.sqlite") as journal, Journal(folder / "b.sqlite") as by_csv:
        journal.append_all(records)
        assert journal.records() == records
        if records:
            import_file(by_csv, written(folder, journal, "csv"))
            assert by_csv.records() == records


@pytest.mark.parametrize(("change", "complaint"), [
    ({"usable": "yes"}, "usable"),
    ({"frequency_hz": -612.0}, "frequency_hz is '-612.0'; it must be from 20 to 20000"),
    ({"frequency_hz": None}, "a usable blow must have frequency_hz"),
    ({"verdict": "splendid"}, "verdict is 'splendid'; it must be one of"),
    ({"stop": "thumb"}, "stop is 'thumb'; it must be one of"),
    ({"depth_mm": 5000.0}, "depth_mm"),
    ({"depth_sd_mm": -1.0}, "depth_sd_mm"),
    ({"at_utc": "yesterday"}, "at_utc"),
    ({"at_utc": "2026-03-04T10:00:00"}, "offset from UTC"),
    ({"whistle_id": "3"}, "whistle_id"),
    ({"seating": 1.5}, "seating"),
])
def test_a_row_from_outside_with_a_bad_value_is_refused(change, complaint):
    with pytest.raises(WorldError) as refusal:
        checked_record("blow_taken", row_of(blow()) | change, "here")
    assert complaint in str(refusal.value)


@pytest.mark.parametrize(("content", "complaint"), [
    (b"", "is empty"),
    (b"\xff\xfe\x00", "neither a journal nor JSON nor CSV"),
    (b'{"format": "whistlewright-journal", "version": 99, "records": []}', "version 99"),
    (b'{"format": "whistlewright-journal", "version": 1, "records": [1]}', "list of records"),
    (b'{"format": "recipes"}', "not an exported journal"),
    (b'{"format": ', "not readable JSON"),
    (b"name,weight\nflour,500\n", "no column"),
    (b'kind,id\nstep_taken,"unclosed', "after line 1"),
    (b"kind,id\nrecipe,1\n", "not a kind of record"),
    (b"kind,id,usable\nblow_taken,1,maybe\n", "it must be 0 or 1"),
    (b"kind,id,frequency_hz\nblow_taken,1,high\n", "it must be a number"),
])
def test_a_file_that_is_no_export_is_refused_in_one_sentence(tmp_path, other, content, complaint):
    path = tmp_path / "file"
    path.write_bytes(content)
    with pytest.raises(WorldError) as refusal:
        import_file(other, path)
    assert complaint in str(refusal.value)
    assert other.records() == ()


@pytest.mark.parametrize(("fact", "complaint"), [
    ({"b_heard": "loud"}, "b_heard"), ({"b_hz": 880.0}, "do not fit b_heard"), ({"a_hz": None}, "do not fit a_heard"),
    ({"a_heard": None, "a_hz": None}, "must have a_heard"), ({"a_hz": 3.0}, "a_hz"),
    ({"a_standard_error_cents": -1.0}, "a_standard_error_cents"),
])
def test_a_chord_that_contradicts_itself_is_refused(tmp_path, fact, complaint):
    journal = Journal(tmp_path / "from.sqlite")
    journal.append(chord())
    document = json.loads(as_json(journal))
    journal.close()
    document["records"][0].update(fact)
    (tmp_path / "bad.json").write_text(json.dumps(document), "utf-8")
    with Journal(tmp_path / "to.sqlite") as other, pytest.raises(WorldError, match=complaint):
        import_file(other, tmp_path / "bad.json")
