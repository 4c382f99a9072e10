"""Window and demo from the command line: which front end starts, on which journal, without a display too."""
import signal
import sys
import types

import pytest

from app.__main__ import main
from tests.app.command_line import CommandLine


@pytest.fixture
def command(tmp_path, capfd):
    return CommandLine(tmp_path / "home", capfd)


@pytest.fixture
def front_ends(monkeypatch):
    """Fakes of the window and the terminal that keep the context they were started with."""
    started = {}
    window, headless = types.ModuleType("app.ui.main"), types.ModuleType("app.headless")
    window.run_window = lambda context: started.update(window=context)
    headless.run_text = lambda context: started.update(text=context)
    monkeypatch.setitem(sys.modules, "app.ui.main", window)
    monkeypatch.setitem(sys.modules, "app.headless", headless)
    return started


@pytest.fixture
def no_display(monkeypatch):
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")


def test_without_a_command_the_window_opens_on_the_makers_own_journal(command, front_ends):
    assert command().code == 0
    context = front_ends["window"]
    assert (context.practice, context.journal_path) == (False, command.home.resolve() / "journal.sqlite")


def test_ctrl_c_ends_the_window_outright_and_is_as_before_afterwards(command, front_ends, monkeypatch):
    seen, window = [], sys.modules["app.ui.main"]
    monkeypatch.setattr(window, "run_window", lambda _: seen.append(signal.getsignal(signal.SIGINT)))
    before = signal.getsignal(signal.SIGINT)
    assert command().code == 0
    assert seen == [signal.SIG_DFL]
    assert signal.getsignal(signal.SIGINT) is before


def test_without_a_display_the_window_is_refused_in_one_sentence(command, front_ends, no_display):
    run = command()
    assert (run.code, run.out, front_ends) == (2, "", {})
    assert run.err.startswith("There is no display")
    assert run.err.count("\n") == 1


def test_the_demo_opens_a_window_on_a_journal_of_its_own(command, front_ends):
    assert command("demo", "--seed", "7").code == 0
    context = front_ends["window"]
    assert (context.practice, context.seed) == (True, 7)
    assert context.journal_path.parent == command.home.resolve() / "practice"


def test_the_demo_falls_back_to_the_terminal_without_a_display_and_says_so(command, front_ends, no_display):
    run = command("demo")
    assert run.code == 0
    assert run.err.count("\n") == 1
    assert "terminal" in run.err
    assert front_ends["text"].practice


def test_the_demo_in_text_asks_for_no_display(command, front_ends, no_display):
    run = command("demo", "--text", "--fast")
    assert (run.code, run.err) == (0, "")
    assert front_ends["text"].fast


def test_a_settings_file_that_cannot_be_used_is_told_to_the_front_end(command, front_ends):
    command.home.mkdir(parents=True)
    (command.home / "settings.json").write_text("{")
    command()
    assert "settings.json" in front_ends["window"].trouble


def test_home_is_understood_after_the_command_too(tmp_path, capfd):
    assert main(["journal", "list", "--home", str(tmp_path / "other")]) == 0
    assert (tmp_path / "other" / "journal.sqlite").exists()
