"""A small club evening with a power cut, and proof that its checks can fail. The whole one: tests/bench/evening."""
from __future__ import annotations

from dataclasses import replace

import pytest

from app.records import PlugSet
from tests.bench.evening import sheets
from tests.bench.evening.cuts import check, held
from tests.bench.evening.sheets import check_sheets

SEED = 7


@pytest.fixture(scope="module")
def evening(tmp_path_factory):
    return held(tmp_path_factory.mktemp("evening"), n_whistles=4, n_kills=1, seed=SEED)


def test_four_whistles_and_one_power_cut_lose_nothing_and_come_to_their_end(evening):
    assert evening.faults == []
    assert evening.finished
    assert len(evening.confirmed) > 200, "too few records were confirmed to mean anything"
    assert evening.n_resumed > 8, "too few places were held against what was said"


def test_copies_whose_log_was_cut_truly_lacked_something(evening):
    assert evening.n_copies_short > 0


def test_every_record_sheet_says_what_the_tables_say(evening):
    papers = check_sheets(evening.path, evening.confirmed)
    assert papers.faults == []
    assert papers.n_sheets == papers.n_rows == 4
    assert papers.n_figures == 4 * 4 * 3  # by hand: first blow, plug length and face depth of four chambers each
    assert papers.n_depths == 4 * 2 * 2 * 4  # whistles, cards, depth and length, chambers
    assert papers.n_pages == 1 + 4 + 1  # one table, a record sheet each, four cards to a page


def test_the_check_notices_a_lost_record_and_a_whistle_that_stands_elsewhere(evening):
    faulty = replace(evening, faults=[], confirmed=[*evening.confirmed, replace(evening.confirmed[0], id="never kept")])
    check(faulty, evening.path)
    assert len(faulty.faults) == 1
    number, (n_records, state) = next(iter(evening.last.items()))
    moved = replace(evening, faults=[], last={number: (n_records, ["Cut", *state[1:]])})
    check(moved, evening.path)
    assert len(moved.faults) == 1


def test_the_check_notices_a_file_that_does_not_open_and_records_in_another_order(evening, tmp_path):
    broken = tmp_path / "journal.sqlite"
    broken.write_bytes(b"not a journal")
    faulty = replace(evening, faults=[])
    check(faulty, broken)
    assert len(faulty.faults) == 1
    turned = replace(evening, faults=[], confirmed=[evening.confirmed[1], evening.confirmed[0], *evening.confirmed[2:]])
    check(turned, evening.path, cut=True)
    assert len(turned.faults) == 1


def test_the_check_of_the_sheets_notices_a_wrong_figure(evening):
    plugs = [record for record in evening.confirmed if isinstance(record, PlugSet) and record.stop == "plug"]
    wrong = [replace(each, depth_mm=each.depth_mm + 1.0) if each is plugs[-1] else each for each in evening.confirmed]
    assert len(check_sheets(evening.path, wrong).faults) == 1


def test_the_check_of_the_cards_notices_a_depth_a_tenth_off(evening, monkeypatch):
    of_journal = sheets.members_of

    def off(*given):
        members = of_journal(*given)
        past = members[0].job.past
        wrong = replace(past.chambers[1], depth_mm=past.chambers[1].depth_mm + 0.1)
        job = replace(members[0].job, past=replace(past, chambers=(past.chambers[0], wrong, *past.chambers[2:])))
        return (replace(members[0], job=job), *members[1:])

    monkeypatch.setattr(sheets, "members_of", off)
    assert sum("card's depth of face" in fault for fault in check_sheets(evening.path, evening.confirmed).faults) == 2
