"""`club` on the command line: a dozen in one go, the list, who is back, and all sheets in one file."""
from __future__ import annotations

import pytest

from app.paper.model import Words
from tests.app.command_line import HARBOUR, CommandLine
from tests.app.paper_jobs import outside, overlapping, struck
from tests.ui.club_cases import evening_in

pytestmark = pytest.mark.usefixtures("qapp")  # the command would start a lesser one, and only one can be had


@pytest.fixture
def command_line(tmp_path, capfd):
    return CommandLine(tmp_path / "home", capfd)


def test_a_dozen_is_added_and_listed_with_the_first_next(command_line):
    added = command_line.fine("club", "add", "--whistle", HARBOUR, "--count", "12", "--json").json["added"]
    assert [each["number"] for each in added] == list(range(1, 13))
    listed = command_line.fine("club", "list", "--json").json
    assert listed["turn"] == list(range(1, 13))
    assert {each["waits_for"] for each in listed["whistles"]} == {"microphone"}
    lines = command_line.fine("club", "list").out.splitlines()
    assert lines[0] == "1 · First blow · 0 of 4 on their note · waits for the microphone: chamber A · next"
    assert len(lines) == 12


def test_one_that_lies_in_the_journal_joins_and_a_second_time_is_refused(command_line):
    command_line.fine("club", "add", "--whistle", HARBOUR, "--count", "2")
    assert command_line.fine("club", "add", "--whistle", HARBOUR).out.startswith("3: ")
    run = command_line("club", "add", "--whistle", HARBOUR)
    assert (run.code, "already" in run.err) == (2, True)


@pytest.mark.parametrize("words", [
    ("club",), ("club", "list"), ("club", "here", "1"), ("club", "papers", "--out", "evening.pdf"),
    ("club", "add", "--whistle", HARBOUR, "--anew"), ("club", "add", "--whistle", HARBOUR, "--count", "0"),
])  # fmt: skip
def test_what_cannot_be_is_one_sentence_and_leaves_no_record(command_line, words):
    run = command_line(*words)
    assert (run.code, run.out, run.err.count("\n")) == (2, "", 1)
    assert command_line.records() == ()


def test_who_waits_already_and_who_is_not_there_are_told_so(command_line):
    command_line.fine("club", "add", "--whistle", HARBOUR, "--count", "2")
    assert "waits for the microphone already" in command_line("club", "here", "1").err
    assert "the last is no. 2" in command_line("club", "here", "9").err


def test_all_sheets_are_one_file_and_one_that_is_there_is_kept(command_line, tmp_path):
    evening_in(command_line.home / "journal.sqlite", 3, (30, 12))
    file = tmp_path / "evening.pdf"
    run = command_line.fine("club", "papers", "--out", file, "--json")
    assert run.json == {"file": str(file), "n_whistles": 3, "n_pages": 5}  # a table, three records, one page of cards
    assert file.read_bytes().startswith(b"%PDF-")
    assert "exists already" in command_line("club", "papers", "--out", file).err
    command_line.fine("club", "papers", "--out", file, "--replace")


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_no_page_of_an_evening_writes_over_itself_or_off_the_paper(tmp_path, size):
    from app.club_book import latest_evening, standings
    from app.journal import Journal
    from app.paper.club import club_papers
    from app.paper.club_jobs import members_of
    from app.paper.model import PAGE_SIZES
    from app.settings import Settings

    evening_in(tmp_path / "journal.sqlite", 40, (60, 45, 20))
    with Journal(tmp_path / "journal.sqlite") as journal:
        evening = latest_evening(journal)
        members = members_of(journal, standings(journal, evening, Settings()), "both", PAGE_SIZES[size])
    sheet = club_papers(members, evening.name)
    assert len(sheet.pages) == 2 + 40 + 10  # by hand: forty rows take two pages, ten pages hold four cards each
    for page in sheet.pages:
        assert (overlapping(page), outside(page), struck(page)) == ([], [], [])
    table = [mark.words for page in sheet.pages[:2] for mark in page.marks if isinstance(mark, Words)]
    assert {str(number) for number in range(1, 41)} <= set(table)
    assert not [words for words in table if words.endswith("…")]
