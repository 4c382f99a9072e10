"""What people and disks get wrong: one plain sentence, exit code 2, no traceback, no answer, nothing lost."""
import json
import os
import shutil
import sqlite3
import subprocess
import sys

import numpy as np
import pytest

from app.journal import Journal
from tests.app.command_line import HARBOUR, CommandLine
from tests.app.journal_cases import step

ADD = ("journal", "add", "--whistle", HARBOUR, "--chamber", "A")
PLAN = ("plan", "--name", "x", "--bore-length", "120", "--window", "10", "6", "--notes", "A5", "C6")


@pytest.fixture
def command(tmp_path, capfd):
    return CommandLine(tmp_path / "home", capfd)


def refused(run, *complaints):
    """One sentence on standard error that says all this, and nothing else anywhere."""
    assert run.out == ""
    assert run.err.count("\n") == 1, run.err
    assert "Traceback" not in run.err
    for complaint in complaints:
        assert complaint in run.err
    assert run.code == 2


# ---- what is typed -----------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("words", "complaint"), [
    (["frobnicate"], "invalid choice"),
    (["hear", "--volume", "x.wav"], "--volume"),
    (["journal"], "list, show, session, add, export, import or check"),
    (["journal", "burn"], "invalid choice"),
    (["hear"], "FILE"),
    (["advise"], "--whistle"),
    (["--home", "", "journal", "list"], "--home is empty"),
    # readings
    ([*ADD, "--hz", "nan", "--stop", "finger"], "a number from 50 to 8000"),
    ([*ADD, "--hz", "inf", "--stop", "finger"], "a number from 50 to 8000"),
    ([*ADD, "--hz", "-612", "--stop", "finger"], "a number from 50 to 8000"),
    ([*ADD, "--hz", "0", "--stop", "finger"], "a number from 50 to 8000"),
    ([*ADD, "--hz", "A5", "--stop", "finger"], "the name of a note?"),
    ([*ADD, "--hz", "612"], "--stop"),
    ([*ADD, "--hz", "612", "--stop", "thumb"], "what closed the bore"),
    ([*ADD, "--hz", "612", "--stop", "finger:3"], "only slug and plug"),
    ([*ADD, "--hz", "612", "--stop", "plug"], "knows no plug"),
    ([*ADD, "--hz", "612", "--stop", "plug:"], "No length was typed"),
    ([*ADD, "--hz", "612", "--stop", "plug:125"], "does not fit"),
    ([*ADD, "--hz", "612", "--stop", "slug:-4"], "below zero"),
    ([*ADD, "--hz", "612", "--stop", "finger", "--error", "-1"], "standard error"),
    ([*ADD, "--hz", "612", "--stop", "finger", "--temperature", "68"], "Fahrenheit"),
    # plugs
    ([*ADD, "--length", "-3"], "below zero"),
    ([*ADD, "--length", "0"], "above zero"),
    ([*ADD, "--length", "nan"], "not read as a length"),
    ([*ADD, "--length", "1e300"], "not read as a length"),
    ([*ADD, "--length", "5000"], "longer than"),
    ([*ADD, "--length", "129"], "from 0 to 115 mm"),
    ([*ADD, "--length", "3", "--proud", "4"], "is not in the bore"),
    ([*ADD, "--depth", "40", "--proud", "1"], "go with --length"),
    ([*ADD, "--length", "40", "--slug"], "--slug goes with --depth"),
    ([*ADD, "--length", "40", "--depth", "39"], "One fact is added at a time"),
    ([*ADD], "none of them was given"),
    # which whistle, which chamber
    (["journal", "add", "--whistle", HARBOUR, "--chamber", "F", "--voice", "x"], "chambers are A, B, C, D"),
    (["journal", "add", "--whistle", HARBOUR, "--chamber", "", "--voice", "x"], "has no chamber"),
    (["advise", "--whistle", "Nobody's"], "which has: none"),
    (["advise", "--whistle", ""], "no whistle document"),
    (["advise", "--whistle", "missing.json"], "could not be read"),
    (["advise", "--whistle", "."], "no whistle document"),
    # hear
    (["hear", "x.wav", "--log"], "--whistle and --chamber and --stop"),
    (["hear", "x.wav", "--chamber", "A"], "without --whistle"),
    (["hear", "x.wav", "--whistle", HARBOUR], "without --chamber"),
    (["hear", "x.wav", "--whistle", HARBOUR, "--chamber", "Z"], "no chamber Z"),
    (["hear", "missing.wav"], "missing.wav"),
    (["hear", "."], "folder"),
    (["hear", "nul\0l.wav"], "cannot be read"),
    # plan
    (["plan"], "--name, --bore, --bore-length, --window"),
    ([*PLAN, "--bore", "0"], "from 6 to 20"),
    ([*PLAN, "--bore", "0.5"], "inches"),
    ([*PLAN, "--bore", "-12"], "-12"),
    ([*PLAN, "--bore", "12.7", "12.7", "12.7"], "3 values for 2 chambers"),
    ([*PLAN, "--bore", "8"], "wider than its bore"),
    ([*PLAN, "--bore", "12.7", "--chord", "minor triad"], "leave one of them out"),
    ([*PLAN, "--bore", "12.7", "--a4", "880"], "Concert pitch"),
    ([*PLAN, "--bore", "12.7", "--number", "3", "--of", "2"], "3 of 2"),
    ([*PLAN, "--bore", "12.7", "--whistle", HARBOUR], "leave one of them out"),
    ([*PLAN[:-3], "--notes", "C6", "A5", "--bore", "12.7"], "lowest note first"),
    ([*PLAN[:-3], "--notes", "H5", "A5", "--bore", "12.7"], "not a note"),
    ([*PLAN[:-3], "--chord", "jolly", "--root", "A5", "--bore", "12.7"], "not a known chord"),
    ([*PLAN[:-3], "--chord", "minor triad", "--bore", "12.7"], "--root"),
    # the rest
    (["demo", "--seed", "soon"], "The seed"),
    (["demo", "--fast"], "--fast goes with --text"),
    (["journal", "import", "missing.csv"], "missing.csv could not be read"),
    (["journal", "check"], "no journal at"),
    (["journal", "export", "--format", "csv", "--json"], "--out"),
], ids=lambda value: " ".join(str(word) for word in value)[-60:] if isinstance(value, list) else "")
def test_what_was_typed_wrong_is_told_in_one_sentence(command, words, complaint):
    refused(command(*words), complaint)
    if (command.home / "journal.sqlite").exists():
        assert command.records() == (), "nothing may be kept of a refused command"


# ---- files -------------------------------------------------------------------------------------------------------
def sound_files(folder):
    """Files that are no usable sound, by what is wrong with them."""
    import soundfile

    second = (0.3 * np.sin(2 * np.pi * 700 * np.arange(48_000) / 48_000)).astype(np.float32)
    (folder / "empty.wav").write_bytes(b"")
    (folder / "text.wav").write_text("Dear diary, today I turned a whistle.\n" * 50)
    soundfile.write(folder / "whole.wav", second, 48_000)
    (folder / "truncated.wav").write_bytes((folder / "whole.wav").read_bytes()[:20_000])
    (folder / "header.wav").write_bytes((folder / "whole.wav").read_bytes()[:30])
    second[20_000] = np.nan
    soundfile.write(folder / "nan.wav", second, 48_000, subtype="FLOAT")
    soundfile.write(folder / "slow.wav", second[:400], 4_000, subtype="PCM_16")
    soundfile.write(folder / "nothing.flac", second[:0], 48_000)


@pytest.mark.parametrize("name", ["empty", "text", "truncated", "header", "nan", "slow"])
def test_a_file_that_is_no_usable_sound_is_told_and_nothing_is_logged(command, tmp_path, name):
    sound_files(tmp_path)
    words = ("hear", tmp_path / "whole.wav", tmp_path / f"{name}.wav", "--json")
    refused(command(*words, "--whistle", HARBOUR, "--chamber", "A", "--stop", "finger", "--log"), f"{name}.wav")
    assert command.records() == ()


def test_a_sound_file_without_any_sound_is_told(command, tmp_path):
    sound_files(tmp_path)
    refused(command("hear", tmp_path / "nothing.flac"), "nothing.flac")


@pytest.mark.parametrize("content", [
    b"", b"\x00" * 100, b"not json", b"[]", b'{"format": "whistlewright-whistle"}', HARBOUR.read_bytes()[:300],
    HARBOUR.read_bytes().replace(b"12.7", b"0.5"), HARBOUR.read_bytes().replace(b"20.0", b"NaN"),
    HARBOUR.read_bytes().replace(b'"bore_mm": 12.7', b'"bore_mm": 0'),
    HARBOUR.read_bytes().replace(b"130.0", b"-130.0"),
    HARBOUR.read_bytes().replace(b'"version": 1', b'"version": 8'),
], ids=["empty", "zeros", "text", "list", "bare", "cut", "inches", "nan", "zero bore", "negative", "newer"])
def test_a_bad_whistle_document_is_told_and_left_as_it_is(command, tmp_path, content):
    path = tmp_path / "bad.whistle.json"
    path.write_bytes(content)
    refused(command("advise", "--whistle", path, "--json"), "bad.whistle.json")
    assert path.read_bytes() == content


# ---- the journal's file --------------------------------------------------------------------------------------------
EVERY_USE = [
    ["journal", "list", "--json"], ["journal", "show"], ["journal", "export"],
    ["advise", "--whistle", HARBOUR, "--json"],
    [*ADD, "--voice", "lip recut"],
]


@pytest.fixture
def kept(command):
    """A home whose journal holds one record."""
    with Journal(command.home / "journal.sqlite") as journal:
        journal.append(step("Trim"))
    return command


@pytest.mark.parametrize("words", EVERY_USE, ids=lambda words: " ".join(map(str, words[:2])))
def test_a_newer_journal_is_refused_by_every_command_and_left_as_it_is(kept, words):
    path = kept.home / "journal.sqlite"
    with sqlite3.connect(path) as other:
        other.execute("PRAGMA user_version = 99")
    other.close()
    before = path.read_bytes()
    refused(kept(*words), "newer Whistlewright")
    assert path.read_bytes() == before


@pytest.mark.parametrize("words", EVERY_USE, ids=lambda words: " ".join(map(str, words[:2])))
def test_a_file_that_is_no_journal_is_refused_by_every_command_and_left_as_it_is(command, words):
    command.home.mkdir(parents=True)
    path = command.home / "journal.sqlite"
    path.write_text("a letter")
    refused(command(*words), "no journal")
    assert path.read_text() == "a letter"


@pytest.mark.parametrize("words", EVERY_USE, ids=lambda words: " ".join(map(str, words[:2])))
def test_a_home_that_is_a_file_is_refused_by_every_command(command, words):
    command.home.write_text("a letter")
    refused(command(*words), "home")
    assert command.home.read_text() == "a letter"


def test_a_folder_in_place_of_the_journal_is_told(command):
    (command.home / "journal.sqlite").mkdir(parents=True)
    refused(command("journal", "list"), "is a folder")


def test_a_bad_import_adds_nothing(kept, tmp_path):
    path = tmp_path / "bad.json"
    kept.fine("journal", "export", "--out", path)
    document = json.loads(path.read_text())
    document["records"][0] |= {"id": "44444444-4444-4444-8444-444444444444"}
    document["records"].append({"kind": "recipe"})
    path.write_text(json.dumps(document))
    refused(kept("journal", "import", path), "recipe")
    assert len(kept.records()) == 1


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the flag is Linux's")
def test_a_folder_that_may_not_be_written_to_is_told(kept):
    """As the superuser permissions bind nobody, so the folder and its files are made immutable."""
    change = shutil.which("chattr")
    if os.geteuid() != 0:
        kept.home.chmod(0o500)
        (kept.home / "journal.sqlite").chmod(0o400)
    elif change is None or subprocess.run([change, "-R", "+i", kept.home], stderr=subprocess.DEVNULL).returncode:
        pytest.skip("superuser on a file system that knows no immutable files")
    try:
        run = kept(*ADD, "--voice", "lip recut")
    finally:
        if os.geteuid() == 0:
            subprocess.run([change, "-R", "-i", kept.home], check=True)
        else:
            kept.home.chmod(0o700)
            (kept.home / "journal.sqlite").chmod(0o600)
    refused(run, "The journal")
    assert len(kept.records()) == 1


@pytest.fixture
def tiny_disk(tmp_path):
    """A disk of 200 kB, which only the superuser of a machine that allows it can have."""
    place = tmp_path / "tiny"
    place.mkdir()
    if not sys.platform.startswith("linux") or os.geteuid() != 0:
        pytest.skip("mounting a tiny disk needs the superuser of a Linux machine")
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=200k", "tmpfs", place], stderr=subprocess.DEVNULL)
    if mounted.returncode:
        pytest.skip("this machine does not allow mounting a tiny disk")
    yield place
    subprocess.run(["umount", place], check=True)


def test_a_disk_that_fills_up_is_told_and_everything_confirmed_before_is_kept(tiny_disk, capfd):
    command = CommandLine(tiny_disk / "home", capfd)
    n_confirmed = 0
    for _ in range(200):
        run = command(*ADD, "--voice", "lip recut " * 2_000)
        if run.code != 0:
            break
        n_confirmed += 1
    refused(run, "The journal")
    copy = shutil.copytree(tiny_disk / "home", tiny_disk.parent / "copy")  # there is room to open it here
    with Journal(copy / "journal.sqlite") as journal:
        assert len([r for r in journal.records() if hasattr(r, "note")]) == n_confirmed
