"""The command line: what each command answers, and that its answer is alone on standard output."""
import argparse
import json
import os
import subprocess
import sys
from dataclasses import replace

import pytest

import app
from acoustics.blow import Blow, Finding, Verdict
from app.__main__ import main, parser
from app.commands import devices, hear
from app.errors import WorldError
from app.microphone import DeviceInfo
from tests.app.command_line import HARBOUR, CommandLine

# design: the keys that other programs rely on
BLOW_KEYS = {
    "start_s", "end_s", "verdict", "usable", "frequency_hz", "heard_hz", "standard_error_cents", "spread_cents",
    "level_dbfs", "breath_db", "attack_ms", "findings", "reason",
}
ADVICE_KEYS = {
    "name", "target_hz", "heard_hz", "deviation_cents", "action", "full_amount_mm", "held_back_mm", "amount_mm",
    "uncertainty_mm", "plug_length_mm", "depth_mm", "why", "ways_out", "story",
    "more_blows", "covered",
}
STEADY = Blow(0.5, 1.6, Verdict.STEADY, True, 612.3, 612.3, 0.6, 3.0, -20.0, -32.0, 45.0, ())
JUMPED = Blow(2.5, 3.6, Verdict.OVERBLOWN, False, None, 1840.0, None, None, -15.0, -30.0, None, (Finding.CHIRPS_FIRST,))


@pytest.fixture
def command(tmp_path, capfd):
    return CommandLine(tmp_path / "home", capfd)


@pytest.fixture
def heard(monkeypatch):
    """`hear` finds these blows in any file; what it was told to expect is kept."""
    asked = []

    def fake(path, range_hz=None, progress=None):
        asked.append(range_hz)
        print("a library talks")
        os.write(1, b"and another, past Python\n")
        return 48_000, [STEADY, JUMPED]

    monkeypatch.setattr(hear, "hear_file", fake)
    return asked


# ---- help --------------------------------------------------------------------------------------------------------
def every_parser(whole):
    yield whole
    for action in whole._actions:
        if isinstance(action, argparse._SubParsersAction):
            for inner in action.choices.values():
                yield from every_parser(inner)


def test_every_command_and_option_has_help():
    without = [
        f"{one.prog} {' '.join(action.option_strings) or action.dest}"
        for one in every_parser(parser()) for action in one._actions
        if not action.help and not isinstance(action, argparse._SubParsersAction)
    ]
    assert without == []


def test_the_commands_are_those_of_the_design_and_no_others():
    choices = {one.prog.removeprefix("whistlewright ") for one in every_parser(parser())} - {"whistlewright"}
    alone = {"demo", "hear", "hear-chord", "advise", "plan", "paper", "club", "journal", "devices"}
    assert {name for name in choices if " " not in name} == alone
    journal = {"list", "show", "session", "add", "export", "import", "check"}
    within = {f"journal {name}" for name in journal} | {f"club {name}" for name in ("list", "add", "here", "papers")}
    assert {name for name in choices if " " in name} == within


@pytest.mark.parametrize("words", [["--help"], ["hear", "--help"], ["journal", "add", "--help"], ["--version"]])
def test_help_and_version_come_on_standard_output_with_code_0(words, capfd):
    assert main(words) == 0
    assert capfd.readouterr().out


def test_the_version_is_the_packages(capfd):
    main(["--version"])
    assert app.__version__ in capfd.readouterr().out


# ---- hear --------------------------------------------------------------------------------------------------------
def test_hear_answers_with_the_agreed_keys_and_nothing_else_on_standard_output(command, heard):
    run = command("hear", "one.wav", "two.wav", "--json")
    assert run.code == 0
    files = run.json["files"]
    assert [file["file"] for file in files] == ["one.wav", "two.wav"]
    assert files[0]["sample_rate_hz"] == 48_000
    assert [set(blow) for blow in files[0]["blows"]] == [BLOW_KEYS, BLOW_KEYS]
    assert (files[0]["blows"][0]["frequency_hz"], files[0]["blows"][1]["frequency_hz"]) == (612.3, None)
    assert files[0]["blows"][1]["findings"] == ["chirps_first"]
    assert "a library talks" in run.err
    assert "past Python" in run.err


def test_hear_in_words_names_the_file_and_each_blow(command, heard):
    out = command("hear", "one.wav").out
    assert "one.wav (48000 Hz): 2 blows" in out
    assert "612.3 Hz" in out


def test_hear_without_a_whistle_expects_nothing_and_keeps_nothing(command, heard):
    command("hear", "one.wav")
    assert heard == [None]
    assert not (command.home / "journal.sqlite").exists()


def test_hear_with_a_whistle_listens_where_its_chamber_speaks(command, heard):
    command("hear", "one.wav", "--whistle", HARBOUR, "--chamber", "A", "--stop", "finger")
    command("hear", "one.wav", "--whistle", HARBOUR, "--chamber", "A", "--stop", "plug:40")
    (low_hz, high_hz), (shorter_low_hz, _) = heard
    # by hand: 343.4 m/s / (4 (130 + about 10) mm) is 613 Hz
    assert low_hz < 613.0 < high_hz
    assert shorter_low_hz > low_hz
    assert command.records() == ()


def test_hear_with_log_keeps_every_blow_and_the_document(command, heard):
    run = command("hear", "one.wav", "two.wav", "--whistle", HARBOUR, "--chamber", "b", "--stop", "finger", "--log",
                  "--temperature", "19.5", "--blower", "Wren", "--neighbours-open")
    assert run.code == 0
    filed, *blows = command.records()
    assert filed.document_json == HARBOUR.read_text(encoding="utf-8")
    assert [(b.letter, b.verdict, b.usable, b.frequency_hz) for b in blows] == [
        ("B", "steady", True, 612.3), ("B", "overblown", False, None),
    ] * 2
    assert (blows[0].temperature_c, blows[0].blower, blows[0].neighbours_shut, blows[0].findings) == (
        19.5, "Wren", False, "")
    assert blows[1].findings == "chirps_first"
    assert len({b.set_id for b in blows}) == 2, "each file is a set of its own"
    assert len({b.sitting_id for b in blows}) == 1


def test_hear_with_log_on_a_new_plug_sets_the_plug_first(command, heard):
    words = ("--whistle", HARBOUR, "--chamber", "A", "--stop", "plug:40", "--log")
    command("hear", "one.wav", *words)
    command("hear", "one.wav", *words)
    kinds = [type(record).__name__ for record in command.records()]
    assert kinds == ["WhistleFiled", "PlugSet", "BlowTaken", "BlowTaken", "BlowTaken", "BlowTaken"]
    plug, *blows = command.records()[1:]
    assert {blow.closure_id for blow in blows} == {plug.id}
    assert (plug.depth_mm, plug.how, plug.said_by) == (40.0, "cut", "command")


def test_hear_keeps_nothing_when_one_of_the_files_is_bad(command, monkeypatch):
    def second_is_bad(path, range_hz=None, progress=None):
        if path.name == "two.wav":
            raise WorldError("two.wav is empty.")
        return 48_000, [STEADY]

    monkeypatch.setattr(hear, "hear_file", second_is_bad)
    run = command("hear", "one.wav", "two.wav", "--whistle", HARBOUR, "--chamber", "A", "--stop", "finger", "--log")
    assert (run.code, run.out, run.err) == (2, "", "two.wav is empty.\n")
    assert command.records() == ()


def test_hear_reads_a_real_file_to_the_end(command, root):
    run = command.fine("hear", root / "sample_audio" / "clean.flac", "--json")
    steady = [blow for blow in run.json["files"][0]["blows"] if blow["usable"]]
    assert len(steady) == 1
    assert abs(steady[0]["frequency_hz"] - 703.2) < 0.5  # sample_audio/index.csv; how well is measured elsewhere


def test_a_progress_bar_is_drawn_only_on_a_terminal(capfd, monkeypatch):
    bar = hear._bar("long.wav")
    bar(0.5)
    assert "50% long.wav" in capfd.readouterr().err
    bar(1.0)
    assert capfd.readouterr().err.strip() == ""


# ---- advise ------------------------------------------------------------------------------------------------------
def test_advise_answers_for_every_chamber_with_the_agreed_keys(command):
    chambers = command.fine("advise", "--whistle", HARBOUR, "--json").json["chambers"]
    assert [chamber["name"] for chamber in chambers] == ["A", "B", "C", "D"]
    assert [set(chamber) for chamber in chambers] == [ADVICE_KEYS] * 4
    assert {chamber["heard_hz"] for chamber in chambers} == {None}


def told(command, *words):
    return command.fine("journal", "add", "--whistle", HARBOUR, *words)


def test_a_bolder_maker_leaves_less_wood_on_the_first_plug(command):
    for hz in (604.0, 602.7, 605.3):
        told(command, "--chamber", "A", "--hz", hz, "--stop", "finger", "--error", "0.7")

    def left_mm(*words):
        return command.fine("advise", "--whistle", HARBOUR, "--json", *words).json["chambers"][0]["held_back_mm"]

    careful, even, bold = (left_mm("--boldness", each) for each in ("careful", "even", "bold"))
    assert careful > even >= bold
    assert left_mm() == even


def test_a_sharp_plug_is_to_be_trimmed_and_a_flat_one_is_not(command):
    for hz in (712.0, 712.6, 711.5):
        told(command, "--chamber", "A", "--hz", hz, "--stop", "plug:31", "--error", "0.7")
    for hz in (860.0, 860.5, 859.6):
        told(command, "--chamber", "B", "--hz", hz, "--stop", "plug:52", "--error", "0.7")
    sharp, flat, *_ = command.fine("advise", "--whistle", "Harbour pilot", "--json").json["chambers"]
    assert sharp["deviation_cents"] > 0 > flat["deviation_cents"]
    assert sharp["action"] in ("trim", "blow_again")
    assert flat["action"] not in ("trim", "cut")
    assert sharp["full_amount_mm"] > 0
    if sharp["action"] == "trim":
        assert sharp["depth_mm"] == pytest.approx(31 - sharp["amount_mm"])


def test_a_flat_plug_gets_its_ways_out_with_their_cost(command):
    for _ in range(3):
        for hz in (820.0, 820.5, 819.6, 820.2):
            told(command, "--chamber", "B", "--hz", hz, "--stop", "plug:48", "--error", "0.7")
    none, flat, *_ = command.fine("advise", "--whistle", "Harbour pilot", "--json").json["chambers"]
    assert (none["ways_out"], flat["action"]) == (None, "add_disc")
    ways = flat["ways_out"]
    # by hand: 1200 log2(820 / 880) is -122.2 cents; c / 4 (1 / 820 - 1 / 880) is 7.1 mm of air at 343 m/s
    assert ways["lower_chord"]["shift_cents"] == pytest.approx(-122.2, abs=6.0)
    assert ways["push_in_mm"] == ways["disc_mm"] == pytest.approx(7.1, abs=0.4)
    assert ways["new_plug_length_mm"] == pytest.approx(48.0 + ways["push_in_mm"])
    lines = command.fine("advise", "--whistle", "Harbour pilot").out.splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith("B  add disc"))
    assert [line.split()[0] for line in lines[at + 1 : at + 6]] == ["Plug", "Push", "Glue", "Cut", "Take"]


def test_a_plug_that_stands_proud_is_as_much_longer_than_it_is_deep(command):
    told(command, "--chamber", "A", "--length", "32", "--proud", "1.5")
    chamber = command.fine("advise", "--whistle", HARBOUR, "--json").json["chambers"][0]
    assert chamber["plug_length_mm"] == pytest.approx(chamber["depth_mm"] + 1.5)


# ---- plan --------------------------------------------------------------------------------------------------------
PLAN = ("plan", "--name", "Fog bank", "--bore", "12.7", "--bore-length", "120", "--window", "10", "6")


def test_plan_makes_a_document_that_every_other_command_reads(command, tmp_path):
    out = tmp_path / "fog.whistle.json"
    command.fine(*PLAN, "--chord", "minor_triad", "--root", "A5", "--wood", "maple", "--number", "3", "--out", out)
    document = json.loads(out.read_text())
    # ISO 16 and equal steps, by hand: 880, 880·2^(3/12), 880·2^(7/12)
    assert [c["target_hz"] for c in document["chambers"]] == pytest.approx([880.0, 1046.502, 1318.51], abs=0.001)
    assert (document["wood"], document["number"]) == ("maple", 3)
    assert command.fine("advise", "--whistle", out, "--json").json["chambers"][2]["name"] == "C"


def test_plan_prints_the_very_document_and_as_json_the_plan_beside_it(command, tmp_path):
    out = tmp_path / "fog.json"
    run = command.fine(*PLAN, "--notes", "A5", "C6", "--out", out, "--document")
    assert run.out == out.read_text()
    beside = command.fine("plan", "--whistle", out, "--json").json
    assert beside.pop("plan")["body"]
    assert beside == json.loads(out.read_text())


def test_plan_reads_inches_and_one_size_for_each_chamber(command):
    run = command.fine("plan", "--name", "x", "--notes", "A5", "C6", "--bore", "1/2", "7/16", "--bore-length", "4 3/4",
                       "--window", "3/8", "1/4", "--json")
    assert [c["bore_mm"] for c in run.json["chambers"]] == pytest.approx([12.7, 11.1125])
    assert run.json["chambers"][0]["bore_length_mm"] == pytest.approx(120.65)


def test_plan_shows_a_whistle_of_the_journal(command):
    told(command, "--chamber", "A", "--voice", "lip recut")
    assert command.fine("plan", "--whistle", "harbour pilot", "--document").out == HARBOUR.read_text(encoding="utf-8")
    assert "A  F5" in command.fine("plan", "--whistle", "harbour pilot").out


# ---- devices -----------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("wanted", "used"), [(None, "Built-in"), ("Desk", "Desk"), ("Gone", "Built-in")])
def test_devices_says_which_microphone_would_be_used(command, monkeypatch, wanted, used):
    found = (DeviceInfo("Desk", "ALSA", 1, 48_000, False), DeviceInfo("Built-in", "ALSA", 2, 44_100, True))
    monkeypatch.setattr(devices, "list_devices", lambda: found)
    command.home.mkdir(parents=True)
    (command.home / "settings.json").write_text(json.dumps({"device_name": wanted}))
    answer = command.fine("devices", "--json").json
    assert answer["used"] == used
    assert [device["name"] for device in answer["devices"]] == ["Desk", "Built-in"]


def test_devices_says_what_to_do_when_there_is_none(command, monkeypatch):
    monkeypatch.setattr(devices, "list_devices", tuple)
    answer = command.fine("devices", "--json").json
    assert (answer["devices"], answer["used"]) == ([], None)
    assert "plug one in" in answer["advice"]


# ---- faults of ours, interruptions, and where the answer goes ------------------------------------------------------
@pytest.mark.logs_warnings
def test_a_fault_of_the_program_is_code_1_one_sentence_and_a_traceback_in_the_log(command, monkeypatch):
    def broken():
        raise KeyError("lost")

    monkeypatch.setattr(devices, "list_devices", broken)
    run = command("devices", "--json")
    log = command.home.resolve() / "whistlewright.log"
    assert (run.code, run.out) == (1, "")
    assert run.err.count("\n") == 1
    assert str(log) in run.err
    assert "Traceback" in log.read_text()


@pytest.mark.logs_warnings
def test_not_a_number_never_gets_into_an_answer(command, monkeypatch):
    monkeypatch.setattr(hear, "hear_file", lambda *_: (48_000, [replace(STEADY, level_dbfs=float("nan"))]))
    run = command("hear", "one.wav", "--json")
    assert (run.code, run.out) == (1, "")


def test_an_interruption_is_code_130_and_says_nothing(command, monkeypatch):
    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(hear, "hear_file", interrupted)
    run = command("hear", "one.wav", "--json")
    assert (run.code, run.out, run.err) == (130, "", "")


def outside(root, *words, **options):
    """The command line as a program of its own."""
    return subprocess.run([sys.executable, "-m", "app", *map(str, words)], cwd=root, text=True, check=False, **options)


def test_an_answer_nobody_reads_is_no_error(root, tmp_path):
    reader, writer = os.pipe()
    os.close(reader)
    run = outside(root, "--home", tmp_path, "journal", "list", stdout=writer, stderr=subprocess.PIPE)
    os.close(writer)
    assert (run.returncode, run.stderr) == (0, "")


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="this system has no full device")
@pytest.mark.parametrize("words", [["journal", "list", "--json"], ["journal", "export"]])
def test_an_answer_that_does_not_fit_on_the_disk_is_told(root, tmp_path, words):
    with open("/dev/full", "w") as full:
        run = outside(root, "--home", tmp_path, *words, stdout=full, stderr=subprocess.PIPE)
    assert run.returncode == 2
    assert run.stderr == "The answer could not be written: no space left on device.\n"


def test_a_closed_standard_output_is_told(root, tmp_path):
    command = f"exec {sys.executable} -m app --home {tmp_path} journal list >&-"
    run = subprocess.run(["sh", "-c", command], cwd=root, text=True, stderr=subprocess.PIPE, check=False)
    assert run.returncode == 2
    assert run.stderr.count("\n") == 1
