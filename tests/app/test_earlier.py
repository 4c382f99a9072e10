"""Memory out of a real journal: the same for `advise`, the terminal and the window."""
from __future__ import annotations

from dataclasses import replace

import pytest

from acoustics.tuning import Priors
from app import headless
from app.context import Context
from app.earlier import earlier_whistles, recall
from app.headless import TextBench, run_text
from app.journal import Journal
from app.records import StepTaken
from app.session import Session
from app.settings import FILE_NAME, Settings, save_settings
from app.source import Hearing, Notice
from tests.app.command_line import CommandLine
from tests.app.journal_cases import new_id
from tests.app.memory_cases import Pattern, filed, finished, harbour

NEXT = harbour(9)


@pytest.fixture(scope="module")
def kept():
    """Two finished whistles of one pattern and one that was only laid on the bench."""
    pattern = Pattern(4)
    records = []
    for number in (1, 2):
        whistle, walk = finished(harbour(number), pattern.maker())
        faces = {record.id: new_id() for record in walk}
        records.append(filed(whistle))
        for record in walk:
            moved = replace(record, id=faces[record.id])
            if getattr(record, "closure_id", "") in faces:
                moved = replace(moved, closure_id=faces[record.closure_id])
            records.append(moved)
    return [*records, replace(filed(NEXT), id=new_id())]


@pytest.fixture
def command(tmp_path, capfd, kept):
    command = CommandLine(tmp_path / "home", capfd)
    with Journal(command.home / "journal.sqlite") as journal:
        journal.append_all(kept)
    return command


def advised(command):
    return command.fine("advise", "--whistle", NEXT.id, "--json").json["memory"]


def test_advise_says_where_its_prior_came_from(command):
    memory = advised(command)
    assert memory["used"]
    assert [each["name"] for each in memory["whistles"]] == [
        "Tidewick harbour whistle no. 1", "Tidewick harbour whistle no. 2"]
    assert memory["window_sd_percent"] < 10.0 < 100 * Priors().window_log_sd
    assert "from 2 whistles of this pattern" in command.fine("advise", "--whistle", NEXT.id).out


def test_advise_follows_what_was_set_aside_for_the_whistle(command):
    with Journal(command.home / "journal.sqlite") as journal:
        journal.append(StepTaken(new_id(), "2026-05-02T10:00:00+00:00", NEXT.id, "memory", None, "aside", None))
    memory = advised(command)
    assert (memory["used"], memory["set_aside"]) == (False, True)
    assert "of this pattern" not in command.fine("advise", "--whistle", NEXT.id).out


def test_advise_follows_the_preferences(command):
    save_settings(command.home / FILE_NAME, Settings(memory=False))
    memory = advised(command)
    assert (memory["used"], memory["switched_off"], memory["whistles"]) == (False, True, [])


def test_a_finished_whistle_is_not_taught_by_itself(command):
    first = command.fine("advise", "--whistle", harbour(1).id, "--json").json["memory"]
    second = command.fine("advise", "--whistle", harbour(2).id, "--json").json["memory"]
    assert (first["whistles"], len(second["whistles"])) == ([], 1)


def test_a_document_that_is_on_no_bench_yet_is_taught_by_all(kept):
    found, unread = earlier_whistles(kept, "nowhere")
    assert [whistle.number for whistle, _ in found] == [1, 2]
    assert unread == ()


class Nothing:
    """A microphone that ends at once."""

    def __init__(self, name):
        self.name = name

    def read(self, timeout_s):
        return Notice(Hearing.ENDED, "nothing")

    def close(self):
        pass


def test_the_terminal_begins_with_what_earlier_whistles_taught(command, monkeypatch):
    said = []
    monkeypatch.setattr("app.microphone.Microphone", Nothing)
    monkeypatch.setattr(headless.TextBench, "run", lambda bench: None)
    monkeypatch.setattr(headless.TextBench, "read_keys", lambda bench: None)
    settings = Settings(last_whistle=NEXT.id)
    run_text(Context(command.home, settings, command.home / "journal.sqlite"), said.append)
    assert any("from 2 whistles of this pattern" in line for line in said)


def test_the_terminal_sets_it_aside_and_takes_it_up_again(command):
    with Journal(command.home / "journal.sqlite") as journal:
        known = recall(journal, NEXT, Settings())
        session = Session(journal, NEXT, Settings(), None, learned=known)
        bench = TextBench(session, lambda line: None)
        bench.type_line("m")
        assert session.state.place.belief.priors == Priors()
        bench.type_line("m")
        assert session.state.place.belief.priors == known.priors


def test_an_earlier_whistle_that_cannot_be_read_is_told_on_the_bench(command):
    ghost, step = harbour(5), StepTaken(new_id(), "2026-05-01T08:00:00+00:00", harbour(5).id, "accepted", "A", "", 0.0)
    with Journal(command.home / "journal.sqlite") as journal:
        journal.append_all((filed(ghost, "{"), step))
        later = harbour(8)
        session = Session(journal, later, Settings(), None, learned=recall(journal, later, Settings()))
        assert session.view().trouble.startswith("An earlier whistle could not be read")
