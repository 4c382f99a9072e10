"""One folder for everything the program writes, held by one window at a time; and whether there is a screen."""
import logging
import subprocess
import sys

import pytest

from app.display import DisplayProbe
from app.errors import WorldError
from app.home import HomeLock, home_folder, journal_path, log_path, start_log, stop_log
from app.whole_file import write_whole


def test_without_a_choice_the_systems_own_folder_is_used(own_home):
    home = home_folder(None)
    assert home.is_dir()
    assert home.name == "whistlewright"
    assert own_home in home.parents


def test_a_chosen_folder_is_made(tmp_path):
    assert home_folder(str(tmp_path / "a" / "b")).is_dir()


@pytest.mark.parametrize("chosen", ["", "  "])
def test_an_empty_choice_is_refused(chosen):
    with pytest.raises(WorldError, match="--home is empty"):
        home_folder(chosen)


def test_a_file_in_place_of_the_folder_is_told(tmp_path):
    (tmp_path / "home").write_text("")
    with pytest.raises(WorldError, match="could not be made"):
        home_folder(str(tmp_path / "home"))


def test_practice_never_shares_the_makers_own_journal(tmp_path):
    assert journal_path(tmp_path, practice=True).parent != journal_path(tmp_path).parent


def test_a_second_window_on_the_same_home_is_refused_and_a_third_opens_when_both_are_closed(tmp_path):
    with HomeLock(tmp_path), pytest.raises(WorldError, match="open already"), HomeLock(tmp_path):
        pass
    with HomeLock(tmp_path):
        pass


def test_a_lock_goes_with_the_program_that_was_killed(root, tmp_path):
    holds = (
        "import sys; from pathlib import Path; from app.home import HomeLock\n"
        "with HomeLock(Path(sys.argv[1])): print('held', flush=True); sys.stdin.read()"
    )
    child = subprocess.Popen(
        [sys.executable, "-c", holds, str(tmp_path)], cwd=root, text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    with child:
        assert child.stdout.readline() == "held\n"
        with pytest.raises(WorldError, match="open already"), HomeLock(tmp_path):
            pass
        child.kill()
    with HomeLock(tmp_path):
        pass


def test_the_log_stays_small(tmp_path):
    start_log(tmp_path)
    try:
        for _ in range(300):
            logging.getLogger("app.test").info("x" * 10_000)
    finally:
        stop_log()
    sizes = [path.stat().st_size for path in tmp_path.iterdir()]
    assert sum(sizes) < 1_600_000
    assert log_path() is None


def test_a_folder_that_cannot_hold_a_log_stops_nothing(tmp_path, capfd):
    start_log(tmp_path / "missing")
    logging.getLogger("app.test").info("nowhere to write this")
    stop_log()
    assert "Traceback" not in capfd.readouterr().err


def test_a_file_is_left_whole_when_it_exists_and_must_not_be_replaced(tmp_path):
    path = tmp_path / "mine.json"
    path.write_text("mine")
    with pytest.raises(WorldError, match="exists already"):
        write_whole(path, b"yours", replace=False, what="the document")
    assert path.read_text() == "mine"


# ---- is there a screen -------------------------------------------------------------------------------------------
def test_a_display_that_qt_can_open_is_no_trouble(monkeypatch):
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    assert DisplayProbe().trouble() == ""


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="X displays are named so on Linux only")
def test_a_dead_display_ends_the_child_and_not_us(monkeypatch):
    monkeypatch.setenv("QT_QPA_PLATFORM", "xcb")
    monkeypatch.setenv("DISPLAY", ":9999")
    assert DisplayProbe().trouble() == "No window can be opened on this display"


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="displays are named in the environment on Linux only")
def test_no_display_at_all_is_known_without_a_child(monkeypatch):
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(subprocess, "Popen", lambda *_, **__: pytest.fail("a child was started"))
    assert DisplayProbe().trouble()
