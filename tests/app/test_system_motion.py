"""Whether the system wishes little motion is read from the system's own command, and nothing breaks where it is not."""
from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

import pytest

from app.system_motion import system_wants_stillness

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="the commands are shell scripts")


def command(folder: Path, name: str, script: str) -> None:
    path = folder / name
    path.write_text(f"#!/bin/sh\n{script}\n")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)


@pytest.fixture
def programs(tmp_path, monkeypatch):
    """A folder that alone holds the programs of the system."""
    monkeypatch.setenv("PATH", f"{tmp_path}")
    return tmp_path


# From memory of the desktops' own documentation: the key "enable-animations" of org.gnome.desktop.interface is false,
# the key "reduceMotion" of com.apple.universalaccess is 1, where little is to move.
@pytest.mark.parametrize(("platform", "name", "answer", "still"), [
    ("linux", "gsettings", "false", True), ("linux", "gsettings", "true", False),
    ("darwin", "defaults", "1", True), ("darwin", "defaults", "0", False),
])  # fmt: skip
def test_the_systems_answer_is_understood(programs, platform, name, answer, still):
    command(programs, name, f"echo {answer}")
    assert system_wants_stillness(platform) is still


def test_the_right_key_is_asked_for(programs):
    command(programs, "gsettings", f'echo "$@" > {programs}/asked')
    system_wants_stillness("linux")
    assert (programs / "asked").read_text().split() == ["get", "org.gnome.desktop.interface", "enable-animations"]


@pytest.mark.parametrize("platform", ["linux", "darwin"])
def test_a_system_that_cannot_be_asked_wishes_nothing(programs, platform):
    assert system_wants_stillness(platform) is False


def test_a_command_that_fails_wishes_nothing(programs):
    command(programs, "gsettings", "echo 'No such schema' >&2; exit 1")
    assert system_wants_stillness("linux") is False


def test_a_command_that_cannot_be_run_wishes_nothing(programs):
    (programs / "gsettings").write_bytes(b"\x7fELF")
    os.chmod(programs / "gsettings", 0o755)
    assert system_wants_stillness("linux") is False
