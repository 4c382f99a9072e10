"""`plan`: from a chord and a piece of wood to the drilled blank, or one sentence and exit code 2."""
from __future__ import annotations

import json

import pytest

from acoustics.units import cents_between
from app.whistle import decode_whistle, dump_whistle
from tests.app.command_line import HARBOUR, CommandLine

NEW = ("plan", "--name", "Fog bank", "--bore", "1/2", "--window", "10", "6", "--bore-length", "132")
SIXTH = ("--chord", "major sixth", "--root", "F5")
BLANK = ("--blank", "2 in", "--blank-length", "6 in")


@pytest.fixture
def command(tmp_path, capfd) -> CommandLine:
    return CommandLine(tmp_path / "home", capfd)


def refused(run) -> str:
    """The one sentence of a command that was refused."""
    assert (run.code, run.out) == (2, "")
    assert run.err.count("\n") == 1
    return run.err.strip()


def cents_of(run) -> list[float]:
    chambers = run.json["chambers"]
    return [cents_between(one["target_hz"], chambers[0]["target_hz"]) for one in chambers]


# ---- notes ---------------------------------------------------------------------------------------------------------
def test_an_equal_chord_has_equal_steps_and_a_just_one_the_ratios(command) -> None:
    assert cents_of(command.fine(*NEW, *SIXTH, "--json")) == pytest.approx([0, 400, 700, 900], abs=0.01)
    # Published: Ellis in Helmholtz (1885), 5:4, 3:2 and 5:3 to whole cents
    assert cents_of(command.fine(*NEW, *SIXTH, "--just", "--json")) == pytest.approx([0, 386, 702, 884], abs=0.5)


def test_an_inversion_begins_on_the_root_that_was_named(command) -> None:
    run = command.fine(*NEW, *SIXTH, "--inversion", "1", "--json")
    assert cents_of(run) == pytest.approx([0, 300, 500, 800], abs=0.01)
    assert run.json["chambers"][0]["note"] == "F5"


@pytest.mark.parametrize("name", ["major_triad_first_inversion", "Major triad, first inversion"])
def test_a_chord_is_known_however_its_words_are_joined(command, name) -> None:
    run = command.fine(*NEW, "--chord", name, "--root", "F5", "--json")
    assert cents_of(run) == pytest.approx([0, 300, 800], abs=0.01)


def test_own_notes_may_lie_off_the_scale_in_cents_or_in_hertz(command) -> None:
    run = command.fine(*NEW, "--notes", "F5+10", "A5-14c", "1050.5Hz", "--a4", "442", "--json")
    # derived by hand: 442 x 2^(8/12) x 2^(10/1200), 884 x 2^(-14/1200)
    assert [one["target_hz"] for one in run.json["chambers"]] == pytest.approx([705.696, 876.880, 1050.5], abs=0.002)


@pytest.mark.parametrize(("words", "clue"), [
    ((*SIXTH, "--notes", "A5", "B5"), "leave one of them out"),
    (("--notes", "A5", "B5", "--just"), "--just goes with --chord"),
    (("--notes", "A5", "B5", "--inversion", "1"), "--inversion goes with --chord"),
    ((*SIXTH, "--inversion", "4"), "from 0 (as it is) to 3"),
    (("--chord", "augmented triad", "--root", "F5", "--just"), "no agreed just form"),
    (("--notes", "A5+123", "C6"), "not a note"),
    ((*SIXTH, "--lip-slope", "5"), "slope"),
    ((*SIXTH, "--blank", "50", "50", "150"), "--blank has 3 sizes"),
    ((*SIXTH, "--dowel", ""), "No length"),
    ((*SIXTH, "--body", "2"), "body.diameter_mm is 2: from 15 to 120; was it typed in inches?"),
    ((*SIXTH, "--bit-reach", "4"), "stock.bit_reach_mm is 4: from 20 to 600"),
    ((*SIXTH, "--flat", "7"), "more than half a bore"),
    ((*SIXTH, "--least-wall", "5"), "were the two swapped?"),
    ((*SIXTH, "--drift", "E", "0.2", "0"), "no chamber E"),
    ((*SIXTH, "--drift", "B", "east", "0"), "not read as a length"),
    ((*SIXTH, "--drift", "B", "=", "0"), "A drift is empty"),
])
def test_what_was_asked_wrong_is_told_in_one_sentence(command, words, clue) -> None:
    assert clue in refused(command(*NEW, *words))


# ---- impossible wishes ---------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("words", "clue"), [
    (("--chord", "major sixth", "--root", "F4"), "the nearest it can take is the major sixth on F5"),
    (("--chord", "major sixth with octave", "--root", "F5", "--body", "41"), "it can take is the major sixth on F5"),
    (("--chord", "major sixth", "--root", "F5", "--body", "37"),
     "holds only 3 such bores with walls of 2 mm: the nearest it can take is"),
    ((*SIXTH, "--body", "44", "--body-length", "100"), "longer than the body"),
    ((*SIXTH, "--bit-reach", "60"), "a longer bit, or shorter bores"),
    ((*SIXTH, "--blank", "2 in", "--blank-length", "6 in"), "turn it between centres"),
    (("--notes", "F3", "A5"), "F3 is 175 Hz"),
    (("--notes", "C5", "A5"), "cannot be reached"),
])
def test_a_wish_that_the_wood_cannot_grant_is_refused_with_the_nearest(command, tmp_path, words, clue) -> None:
    out = tmp_path / "never.json"
    assert clue in refused(command(*NEW, *words, "--out", out))
    assert not out.exists()


def test_what_was_offered_instead_can_then_be_planned(command) -> None:
    sentence = refused(command(*NEW, "--chord", "major sixth", "--root", "C4"))
    root = sentence.rstrip(".").rpartition(" ")[2]
    plan = command.fine(*NEW, "--chord", "major sixth", "--root", root, "--json").json["plan"]
    assert not [remark for remark in plan["remarks"] if remark["weight"] == "refuse"]


# ---- the plan ------------------------------------------------------------------------------------------------------
def test_the_json_is_the_document_with_the_plan_beside_it_and_is_read_as_a_document(command, tmp_path) -> None:
    run = command.fine(*NEW, *SIXTH, *BLANK, "--chucking", "0", "--json")
    assert set(run.json["plan"]) == {"body", "holes", "windows", "plugs", "breath", "cuts", "remarks"}
    document = {key: value for key, value in run.json.items() if key != "plan"}
    whistle = decode_whistle(run.out, "the answer")
    assert json.loads(dump_whistle(whistle)) == document
    kept = tmp_path / "answer.json"
    kept.write_text(run.out)
    assert command.fine("advise", "--whistle", kept, "--json").json["chambers"]


def test_the_text_names_walls_windows_plugs_cuts_and_cautions_with_their_authority(command) -> None:
    out = command.fine(*NEW, *SIXTH, *BLANK, "--chucking", "0", "--wood", "beech").out
    for part in ("Body: 44.4 mm round", "Drill: 144.7 mm deep", "Bore D: 315 degrees", "walls 4 mm outside, 4 mm to A",
                 "Window D:", "Plug A: first piece 2", "two times in three within", "spare plug", "Rod: 12.7 mm",
                 "Bit: 12.7 mm", "Caution, drilling:", "Caution, sawing:", "Caution, wood: Beech dust",
                 "local rules come first"):
        assert part in out
    assert "safe" not in out


def test_an_inch_maker_reads_inches_throughout(command) -> None:
    out = command.fine(*NEW[:-5], "--window", "3/8", "1/4", "--bore-length", "5 1/8", *SIXTH, "--units", "inch").out
    assert "bore 1/2 in, 5 1/8 in long" in out
    assert " mm " not in out.replace(" mm²", "")


def test_the_bore_is_as_long_as_body_blank_and_bit_allow_when_nobody_says(command) -> None:
    new = (*NEW[:-2], *SIXTH)
    # derived by hand: 152.4 - 25.4 - 12.7; with a bit of 2 3/4 in, 2 x 69.85 - 5 - 12.7 = 122
    run = command.fine("plan", *new[1:-1], "G5", *BLANK, "--json")
    assert run.json["chambers"][0]["bore_length_mm"] == pytest.approx(114.3)
    run = command.fine("plan", *new[1:-1], "G5", "--bit-reach", "2 3/4", "--json")
    assert run.json["chambers"][0]["bore_length_mm"] == pytest.approx(122.0)
    assert "--bore-length" in refused(command(*new))


def test_drift_is_put_into_a_document_that_exists_and_the_walls_follow(command, tmp_path) -> None:
    out = tmp_path / "drilled.json"
    run = command.fine("plan", "--whistle", HARBOUR, "--drift", "B", "1", "-0.4", "--drift", "c", "=-0.3 mm", "0",
                       "--out", out, "--json")
    b, c = run.json["chambers"][1:3]
    assert (b["drift_outward_mm"], b["drift_clockwise_mm"], c["drift_outward_mm"]) == (1.0, -0.4, -0.3)
    assert "drift_outward_mm" not in run.json["chambers"][0]
    hole = run.json["plan"]["holes"][1]
    assert hole["exit_outside_mm"] < hole["outside_mm"]
    assert run.json["id"] == json.loads(HARBOUR.read_text())["id"]
    assert "it came out with" in command.fine("plan", "--whistle", out).out


def test_a_whistle_that_exists_is_shown_even_if_it_cannot_be_made(command) -> None:
    out = command.fine("plan", "--whistle", HARBOUR, "--body", "37").out
    assert "Cannot be made so: The thinnest wall is" in out


# ---- what can it play ----------------------------------------------------------------------------------------------
WOOD = ("plan", "--can-play", "--bore", "12.7", "--window", "10", "6")


def test_what_a_wood_can_play_needs_no_name_and_no_notes(command) -> None:
    found = command.fine(*WOOD, "--bore-length", "132", "--body", "44.5", "--json").json["can_play"]
    assert found["most_chambers"] == 4
    sixth = next(one for one in found["chords"] if one["chord"] == "major sixth")
    assert (sixth["lowest_likely"], sixth["lowest_sure"]) == ("E5", "F5")
    assert "minor seventh on D" in sixth["same_notes"]
    assert max(one["n_chambers"] for one in found["chords"]) == 4


def test_each_offered_chord_can_be_planned_on_its_surest_root(command) -> None:
    found = command.fine(*WOOD, "--bore-length", "132", "--body", "44.5", "--json").json["can_play"]["chords"]
    sure = [one for one in found if one["lowest_sure"]]
    assert len(sure) > 10
    for one in sure:
        run = command(*NEW, "--body", "44.5", "--chord", one["chord"], "--root", one["lowest_sure"], "--json")
        assert run.code == 0, run.err
        assert run.json["plan"]["plugs"][0]["verdict"] in ("in_reach", "little_plug")


def test_one_chord_may_be_asked_for_and_its_inversion(command) -> None:
    out = command.fine(*WOOD, "--bore-length", "132", "--chord", "minor sixth", "--inversion", "1").out
    assert "minor sixth, first inversion: F5 to" in out
    assert "major third, tritone, major sixth" in out


def test_a_whistle_that_exists_tells_what_its_wood_can_play(command) -> None:
    assert "major sixth: F5 to A♯5" in command.fine("plan", "--can-play", "--whistle", HARBOUR).out
    assert "leave one of them out" in refused(command("plan", "--can-play", "--whistle", HARBOUR, "--bore", "12"))


def test_a_wood_that_can_play_nothing_says_so(command) -> None:
    out = command.fine(*WOOD, "--bore-length", "45").out
    assert out == "No chord fits this wood: any two notes need bores 50.9 mm long.\n"
    out = command.fine(*WOOD, "--bore-length", "45", "--chord", "major sixth").out
    assert out == "The major sixth fits this wood on no lowest note: it needs bores 62.4 mm long.\n"
    assert "--bore-length" in refused(command(*WOOD))
    assert "7 bores are given" in refused(command(*WOOD[:2], "--bore", *["12.7"] * 7, "--window", "10", "6",
                                                  "--bore-length", "132"))
