"""`paper` on the command line: which files, in which words, and what it refuses."""
from __future__ import annotations

import os
import subprocess
import sys

import pytest

from app.paper.sheets import SHEETS
from tests.app.command_line import HARBOUR, CommandLine
from tests.app.paper_jobs import SAMPLES

pytestmark = pytest.mark.usefixtures("qapp")  # the command would start a lesser one, and only one can be had


@pytest.fixture
def command_line(tmp_path, capfd):
    return CommandLine(tmp_path / "home", capfd)


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "papers"


def names_in(folder) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_all_sheets_are_written_each_as_a_file_of_its_own(command_line, folder):
    run = command_line.fine("paper", "--whistle", HARBOUR, "--out", folder)
    assert names_in(folder) == sorted(f"harbour-pilot-{sheet}-A4.pdf" for sheet in SHEETS)
    assert all(path.read_bytes().startswith(b"%PDF-") for path in folder.iterdir())
    assert "100 %" in run.out


def test_only_the_sheets_asked_for_are_written(command_line, folder):
    command_line.fine("paper", "--whistle", HARBOUR, "--out", folder, "--sheet", "card", "--sheet", "cuts",
                      "--sheet", "card", "--size", "Letter", "--units", "inch", "--for", "Tamsin")
    assert names_in(folder) == ["harbour-pilot-card-Letter.pdf", "harbour-pilot-cuts-Letter.pdf"]


def test_json_lists_the_files(command_line, folder):
    run = command_line.fine("paper", "--whistle", HARBOUR, "--out", folder, "--sheet", "template", "--json")
    assert run.json == {
        "files": [{"sheet": "template", "file": str(folder / "harbour-pilot-template-A4.pdf"), "size": "A4",
                   "n_pages": 2}],
        "refusals": [],
    }


def test_sheet_that_is_there_is_kept_and_none_is_written(command_line, folder):
    folder.mkdir()
    mine = folder / "harbour-pilot-steps-A4.pdf"
    mine.write_text("mine")
    run = command_line("paper", "--whistle", HARBOUR, "--out", folder)
    assert (run.code, run.out) == (2, "")
    assert "exists already" in run.err
    assert names_in(folder) == [mine.name]
    assert mine.read_text() == "mine"


def test_sheets_are_written_over_when_that_is_asked_for(command_line, folder):
    words = ("paper", "--whistle", HARBOUR, "--out", folder, "--sheet", "card")
    command_line.fine(*words)
    command_line.fine(*words, "--replace")
    assert len(names_in(folder)) == 1


@pytest.mark.parametrize(("words", "told"), [
    (("--sheet", "poster"), "poster"),
    (("--size", "A3"), "A3"),
    (("--for", "x" * 41), "41 characters"),
    (("--units", "cubits"), "cubits"),
])
def test_wrong_word_is_told_in_one_sentence(command_line, folder, words, told):
    run = command_line("paper", "--whistle", HARBOUR, "--out", folder, *words)
    assert (run.code, run.out, run.err.count("\n")) == (2, "", 1)
    assert told in run.err
    assert not folder.exists()


def test_folder_that_is_a_file_is_told_in_one_sentence(command_line, tmp_path):
    (tmp_path / "papers").write_text("")
    run = command_line("paper", "--whistle", HARBOUR, "--out", tmp_path / "papers", "--sheet", "card")
    assert (run.code, run.err.count("\n")) == (2, 1)


def test_unknown_whistle_is_told(command_line, folder):
    run = command_line("paper", "--whistle", "Nobody's", "--out", folder)
    assert run.code == 2
    assert "no whistle" in run.err


def test_plan_that_cannot_be_made_is_said_beside_its_sheets(command_line, folder, tmp_path):
    document = HARBOUR.read_text().replace('"wall_mm": 4.0', '"wall_mm": 4.0, "body": {"diameter_mm": 30.0}')
    thin = tmp_path / "thin.whistle.json"
    thin.write_text(document)
    words = ("paper", "--whistle", thin, "--out", folder, "--sheet", "template")
    assert "Do not cut wood by these sheets yet." in command_line.fine(*words).out
    assert command_line.fine(*words, "--replace", "--json").json["refusals"]


def test_names_on_the_card_are_kept_nowhere(command_line, folder):
    command_line.fine("paper", "--whistle", HARBOUR, "--out", folder, "--sheet", "record", "--for", "Tamsin Quayle")
    kept = [path.read_bytes() for path in command_line.home.rglob("*") if path.is_file()]
    assert not any(b"Quayle" in data for data in kept)


def test_name_of_a_whistle_is_fit_for_a_file(command_line, folder, tmp_path):
    odd = tmp_path / "odd.whistle.json"
    odd.write_text(HARBOUR.read_text().replace("Harbour pilot", "../ Café: №7 / “Gull” " + "x" * 90))
    command_line.fine("paper", "--whistle", odd, "--out", folder, "--sheet", "card")
    (name,) = names_in(folder)
    assert name.startswith("café-")
    assert len(name) < 80


def test_missing_display_library_is_named_and_nothing_is_written(command_line, folder, monkeypatch):
    import app.paper

    monkeypatch.delattr(app.paper, "painter", raising=False)
    monkeypatch.delitem(sys.modules, "app.paper.painter", raising=False)
    monkeypatch.setitem(sys.modules, "PySide6.QtGui", None)  # as when libEGL is not there: the import fails
    run = command_line("paper", "--whistle", HARBOUR, "--out", folder)
    assert (run.code, run.out, run.err.count("\n")) == (2, "", 1)
    assert "PySide6.QtGui" in run.err
    assert "tools/setup.sh" in run.err
    assert not folder.exists()


@pytest.mark.parametrize("screen", [{}, {"DISPLAY": ":987", "QT_QPA_PLATFORM": "xcb"}], ids=["none", "dead"])
def test_sheets_are_written_where_there_is_no_screen(root, tmp_path, screen):
    surroundings = {key: value for key, value in os.environ.items()
                    if key not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")}
    ferry = SAMPLES / "ferry-six.whistle.json"
    command = [sys.executable, "-m", "app", "--home", tmp_path, "paper", "--whistle", ferry, "--out",
               tmp_path / "papers", "--sheet", "card"]
    done = subprocess.run(command, cwd=root, env=surroundings | screen, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    assert names_in(tmp_path / "papers") == ["ferry-bell-card-A4.pdf"]
