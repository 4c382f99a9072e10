"""`hear-chord`: what is expected of a whistle, and what the command answers of an invented chord."""
import numpy as np
import pytest
import soundfile

from app.journal import Journal
from app.voices import CLOSEST_CENTS, WITHIN_CENTS, expected_voices
from app.whistle import load_whistle
from tests.app.command_line import HARBOUR, CommandLine
from tests.bench.chord.invented import Chord, blown

TARGETS_HZ = (698.456, 880.0, 1046.502, 1174.659)  # of the harbour whistle's document
OFF_CENTS = (-3.0, 6.0, -8.0, 11.0)
KEYS = {  # design: what other programs rely on
    "name", "frequency_hz", "deviation_cents", "interval_deviation_cents", "standard_error_cents", "level_db", "heard",
}


@pytest.fixture
def command(tmp_path, capfd):
    return CommandLine(tmp_path / "home", capfd)


def chord_file(folder, silent=frozenset(), targets_hz=TARGETS_HZ):
    """One blow of all chambers, each a few cents off its target, and the blow itself."""
    case = blown(Chord(targets_hz, OFF_CENTS[:len(targets_hz)], silent=silent), np.random.default_rng(5))
    soundfile.write(folder / "chord.wav", case.samples, case.rate_hz, subtype="PCM_16")
    return folder / "chord.wav", case


def test_every_chamber_is_told_against_its_target_and_against_the_lowest(command, tmp_path):
    path, case = chord_file(tmp_path)
    answer = command.fine("hear-chord", path, "--whistle", HARBOUR, "--json").json
    home = answer["chambers"][0]
    for at, chamber in enumerate(answer["chambers"]):
        assert set(chamber) == KEYS
        true_hz = case.true_hz(at, answer["start_s"], answer["end_s"])
        true_cents = 1200.0 * np.log2(true_hz / TARGETS_HZ[at])
        assert chamber["deviation_cents"] == pytest.approx(true_cents, abs=0.2)
        interval_cents = chamber["deviation_cents"] - home["deviation_cents"]
        assert chamber["interval_deviation_cents"] == pytest.approx(interval_cents)
        assert chamber["heard"] == "heard"
    assert [chamber["name"] for chamber in answer["chambers"]] == ["A", "B", "C", "D"]
    assert answer["worst"] == "D", "11 cents sharp over a home 3 flat"


def test_beats_name_both_chambers_the_ratio_and_how_far_it_is_missed(command, tmp_path):
    path, _ = chord_file(tmp_path)
    beats = command.fine("hear-chord", path, "--whistle", HARBOUR, "--json").json["beats"]
    fifth = next(beat for beat in beats if (beat["lower"], beat["upper"]) == ("A", "C"))
    assert fifth["ratio"] == "3:2"
    assert set(fifth) == {"lower", "upper", "ratio", "beat_hz", "error_cents"}
    assert fifth["error_cents"] < 0.0, "C is flat and the fifth is narrow"


def test_a_silent_chamber_is_told_in_words_and_takes_no_part(command, tmp_path):
    path, _ = chord_file(tmp_path, silent=frozenset({1}))
    assert "B  not heard" in command.fine("hear-chord", path, "--whistle", HARBOUR).out.splitlines()
    answer = command.fine("hear-chord", path, "--whistle", HARBOUR, "--json").json
    assert answer["chambers"][1]["heard"] == "missing"
    assert answer["chambers"][1]["frequency_hz"] is answer["chambers"][1]["deviation_cents"] is None
    assert not [beat for beat in answer["beats"] if "B" in (beat["lower"], beat["upper"])]


def test_home_is_the_lowest_chamber_that_was_heard(command, tmp_path):
    path, _ = chord_file(tmp_path, silent=frozenset({0}))
    chambers = command.fine("hear-chord", path, "--whistle", HARBOUR, "--json").json["chambers"]
    assert [chambers[at]["interval_deviation_cents"] for at in (0, 1)] == [None, 0.0]


def test_with_one_chamber_heard_there_is_no_worst_interval(command, tmp_path):
    path, _ = chord_file(tmp_path, silent=frozenset({1, 2, 3}))
    assert command.fine("hear-chord", path, "--whistle", HARBOUR, "--json").json["worst"] is None


def test_the_text_has_a_line_for_each_chamber_and_says_sharp_and_flat_by_sign(command, tmp_path):
    path, _ = chord_file(tmp_path)
    lines = command.fine("hear-chord", path, "--whistle", HARBOUR).out.splitlines()
    assert [line[:1] for line in lines[1:5]] == ["A", "B", "C", "D"]
    assert " -8." in lines[3] or " -7." in lines[3]
    assert " +11." in lines[4] or " +10." in lines[4] or " +12." in lines[4]
    assert any(line.startswith("A and C beat") for line in lines)


@pytest.mark.parametrize(("name", "complaint"), [
    ("quiet.flac", "No blow was found"), ("fan.flac", "No blow was found"), ("none.flac", "none.flac"),
])
def test_a_file_without_a_blow_is_refused_in_one_sentence(command, root, name, complaint):
    run = command("hear-chord", root / "sample_audio" / name, "--whistle", HARBOUR, "--json")
    assert (run.code, run.out) == (2, "")
    assert complaint in run.err
    assert len(run.err.strip().splitlines()) == 1


def test_a_clipped_chord_is_refused_with_what_to_do(command, tmp_path):
    path, case = chord_file(tmp_path)
    loud = np.clip(case.samples * 3.0 / np.max(np.abs(case.samples)), -0.99, 0.99)
    soundfile.write(path, loud, case.rate_hz)
    run = command("hear-chord", path, "--whistle", HARBOUR)
    assert run.code == 2
    assert "move the microphone away" in run.err


def test_without_a_journal_the_targets_are_expected_within_a_semitone(tmp_path):
    voices = expected_voices(load_whistle(HARBOUR), ())
    assert [voice.near_hz for voice in voices] == list(TARGETS_HZ)
    assert {voice.within_cents for voice in voices} == {WITHIN_CENTS}


def test_a_plug_that_was_blown_is_expected_where_it_spoke(command):
    def add(*words):
        command.fine("journal", "add", "--whistle", HARBOUR, "--chamber", "B", *words)

    add("--length", "40")
    for heard_hz in ("902", "903", "902.5"):  # some 43 cents sharp of the target
        add("--hz", heard_hz, "--stop", "plug")
    whistle = load_whistle(HARBOUR)
    with Journal(command.home / "journal.sqlite") as journal:
        voices = expected_voices(whistle, journal.records(whistle.id))
    b = next(voice for voice in voices if voice.letter == "B")
    assert 898.0 < b.near_hz < 906.0
    assert CLOSEST_CENTS <= b.within_cents <= WITHIN_CENTS
    assert next(voice for voice in voices if voice.letter == "C").near_hz == TARGETS_HZ[2]
