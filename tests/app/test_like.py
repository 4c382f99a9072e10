"""`plan --like`: the chord of a recording by its name, moved to where a wood can play it, or one sentence."""
from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from acoustics.like import Doubt, Hidden, LikedChord, LikedNote
from acoustics.tuning import Priors
from acoustics.units import cents_between, shift_hz
from app.body import Body
from app.choices_of_chord import Compass, Sureness
from app.errors import WorldError
from app.like import Intervals, Likeness, kept, likeness_of, moved, moved_into, moved_to, named
from app.like_words import likeness_lines, moved_line, sureness_lines
from tests.app.command_line import CommandLine
from tests.app.test_nearest_wish import short, wood
from tests.bench.like.chords import RATE_HZ, invented

ROOM = Compass(lowest_sure_hz=600.0, lowest_likely_hz=500.0, highest_likely_hz=1600.0, highest_sure_hz=1400.0,
               sd_cents=30.0)
WOOD = ("--name", "Fog bank", "--bore", "1/2", "--window", "10", "6", "--bore-length", "132")


def chord_of(*cents: float, lowest_hz: float = 440.0, doubts: tuple[Doubt, ...] = (), hidden=()) -> LikedChord:
    """A reading of notes so many cents over the lowest; the second has the doubts."""
    notes = tuple(LikedNote(shift_hz(lowest_hz, c), 0.3, 0.0, doubts if at == 1 else ()) for at, c in enumerate(cents))
    return LikedChord(notes, tuple(hidden), 0.95, False, 0.5, 1.7)


def intervals_cents(notes_hz) -> list[float]:
    return [cents_between(hz, notes_hz[0]) for hz in notes_hz]


@pytest.fixture(scope="module")
def sixth(tmp_path_factory) -> Path:
    """A horn-like major sixth near 400 Hz."""
    import soundfile

    path = tmp_path_factory.mktemp("like") / "quay.wav"
    soundfile.write(path, invented((0, 4, 7, 9), np.random.default_rng(11)).samples, RATE_HZ)
    return path


@pytest.fixture
def command(tmp_path, capfd) -> CommandLine:
    return CommandLine(tmp_path / "home", capfd)


def refused(run) -> str:
    assert (run.code, run.out) == (2, "")
    assert run.err.count("\n") == 1
    return run.err.strip()


# ---- by what name --------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("cents", "name"), [
    ((0, 400, 700, 900), "major sixth"), ((0, 386.3, 702, 884.4), "major sixth"), ((0, 300, 600, 900, 1200),
     "diminished seventh with octave"), ((0, 420, 690), "major triad"), ((0, 300, 600, 800),
     "dominant seventh, first inversion"), ((0, 500), "perfect fourth"),
])
def test_a_chord_is_named_by_its_intervals_also_when_turned_over(cents, name) -> None:
    likeness = named(chord_of(*cents))
    assert likeness.chord is not None
    assert likeness.chord.name == name


def test_how_far_it_is_off_is_told_against_equal_and_just() -> None:
    likeness = named(chord_of(0.0, 386.314, 701.955))
    assert likeness.off_equal_cents == pytest.approx(13.686, abs=0.01)  # derived: 400 less 1200 log2(5/4)
    assert likeness.off_just_cents == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize("cents", [(0, 450), (0, 100, 200), (0, 400, 700, 1045)])
def test_intervals_of_no_chord_are_notes_of_their_own(cents) -> None:
    likeness = named(chord_of(*cents))
    assert likeness.chord is None
    assert "No chord that is known here: over A" in "\n".join(likeness_lines(likeness, "quay.wav", 440.0))


def test_two_notes_of_no_known_chord_are_told_by_their_interval() -> None:
    text = "\n".join(likeness_lines(named(chord_of(0, 201)), "quay.wav", 440.0))
    assert "over A stand about major second." in text


@pytest.mark.parametrize(("cents", "words"), [
    ((0, 400, 800), "Nearest to an augmented triad (major third, minor sixth): "),
    ((0, 1200), "Nearest to an octave: "), ((0, 401), "Nearest to a major third: "),
    ((0, 899), "Nearest to a major sixth interval: "), ((0, 300, 600), "Nearest to a diminished triad (minor third, "),
])
def test_the_nearest_chord_is_named_with_its_article_and_its_intervals_once(cents, words) -> None:
    assert words in "\n".join(likeness_lines(named(chord_of(*cents)), "quay.wav", 440.0))


def test_a_level_that_rounds_to_nothing_has_no_sign() -> None:
    heard = chord_of(0, 400)
    notes = tuple(replace(note, level_db=-0.3) for note in heard.notes)
    text = "\n".join(likeness_lines(named(replace(heard, notes=notes)), "quay.wav", 440.0))
    assert text.count(", 0 dB") == 2
    assert "-0 dB" not in text


# ---- intervals -----------------------------------------------------------------------------------------------------
def test_intervals_are_kept_as_heard_or_rounded() -> None:
    likeness = named(chord_of(0.0, 395.0, 710.0))
    assert intervals_cents(kept(likeness, Intervals.HEARD)) == pytest.approx([0, 395, 710])
    assert intervals_cents(kept(likeness, Intervals.EQUAL)) == pytest.approx([0, 400, 700])
    # Published: Ellis in Helmholtz (1885), 5:4 and 3:2 to whole cents
    assert intervals_cents(kept(likeness, Intervals.JUST)) == pytest.approx([0, 386, 702], abs=0.5)
    own = named(chord_of(0.0, 110.0, 690.0))
    assert intervals_cents(kept(own, Intervals.EQUAL)) == pytest.approx([0, 100, 700])


@pytest.mark.parametrize("likeness", [named(chord_of(0, 400, 800)), named(chord_of(0, 110, 690))])
def test_what_has_no_agreed_ratios_is_not_rounded_to_them(likeness: Likeness) -> None:
    with pytest.raises(WorldError, match="agreed whole-number ratios"):
        kept(likeness, Intervals.JUST)


def test_two_notes_on_one_step_are_not_rounded_together() -> None:
    with pytest.raises(WorldError, match="one step"):
        kept(named(chord_of(0, 480, 520)), Intervals.EQUAL)


# ---- moving --------------------------------------------------------------------------------------------------------
def test_it_is_moved_by_the_fewest_whole_semitones_that_are_sure() -> None:
    up = moved((440.0, 660.0), ROOM)
    assert (up.shift_semitones, up.sureness) == (6.0, Sureness.SURE)  # derived: 440 x 2^(6/12) = 622, 2^(5/12): 587
    down = moved((1000.0, 1500.0), ROOM)
    assert (down.shift_semitones, down.sureness) == (-2.0, Sureness.SURE)  # derived: 1500 x 2^(-2/12) = 1336
    assert moved((700.0, 1050.0), ROOM).shift_semitones == 0.0


def test_what_is_nowhere_sure_is_moved_to_where_it_is_likely() -> None:
    wide = moved((440.0, 440.0 * 2.7), ROOM)
    assert wide.sureness is Sureness.LIKELY
    assert wide.notes_hz[0] >= 500.0
    assert wide.notes_hz[-1] <= 1600.0


def test_what_no_move_brings_into_reach_has_no_place() -> None:
    assert moved((440.0, 1760.0), ROOM) is None
    assert moved((440.0, 550.0), Compass(None, None, None, None, 30.0)) is None


@pytest.mark.parametrize(("whistle", "span_cents", "sentence"), [
    (short(60.0), 1500, "The chord spans 15.0 semitones, more than these bores can: it needs bores"),
    (short(60.0, body=Body(diameter_mm=30.0)), 1500, "The chord has 2 notes and this body holds not even two such bores"
     ": it needs a body of 31.4 mm and bores"),
    (wood(), 4800, "The chord spans 48.0 semitones, more than bores so wide can at any length: it needs narrower"),
])
def test_what_this_wood_cannot_play_anywhere_is_told_the_wood_that_can(whistle, span_cents, sentence) -> None:
    with pytest.raises(WorldError) as refusal:
        moved_into((440.0, shift_hz(440.0, span_cents)), whistle, Priors(), "mm")
    assert str(refusal.value).startswith(sentence)


def test_the_bores_that_are_told_for_a_wide_chord_are_the_shortest_that_do() -> None:
    notes_hz = (440.0, shift_hz(440.0, 1500))
    with pytest.raises(WorldError, match=r"bores ([\d.]+) mm long") as refusal:
        moved_into(notes_hz, short(60.0), Priors(), "mm")
    length_mm = float(str(refusal.value).split()[-3])
    assert moved_into(notes_hz, short(length_mm), Priors(), "mm").sureness is Sureness.LIKELY
    with pytest.raises(WorldError):
        moved_into(notes_hz, short(length_mm - 0.2), Priors(), "mm")


def test_it_goes_to_the_root_that_is_named_or_is_refused() -> None:
    to = moved_to((660.0, 990.0), "A5", ROOM, 440.0)
    assert to.notes_hz == pytest.approx((880.0, 1320.0))
    assert to.shift_semitones == pytest.approx(4.98, abs=0.005)  # derived: a fourth of 498 cents
    # derived: D5 is 587 Hz, short of the 600 that are sure, and D♯5 622
    with pytest.raises(WorldError, match="out of this wood's reach: the nearest lowest note it can have is D♯5"):
        moved_to((440.0, 660.0), "A4", ROOM, 440.0)
    with pytest.raises(WorldError, match="--root"):
        moved_to((440.0, 660.0), "H4", ROOM, 440.0)


def test_notes_are_written_with_tenths_of_a_cent() -> None:
    assert moved((880.0, shift_hz(880.0, 395.04)), ROOM).texts(440.0) == ["A5", "C♯6-5.0"]


# ---- words ---------------------------------------------------------------------------------------------------------
def test_a_sure_number_of_notes_is_said_to_be_sure() -> None:
    assert list(sureness_lines(chord_of(0, 400))) == ["That there are 2 is sure, as far as the sound goes."]


def test_every_doubt_and_every_hiding_place_has_its_words() -> None:
    heard = chord_of(0, 400, 700, doubts=tuple(Doubt), hidden=(Hidden(0, 2), Hidden(1, 2), Hidden(0, 3), Hidden(2, 4)))
    text = "\n".join(sureness_lines(heard))
    for part in ("is not sure", "B is faint", "B lies on a line", "too near to tell", "B swells",
                 "just an octave over A or B", "just a twelfth over A would", "just two octaves over C"):
        assert part in text


def test_the_move_is_said_in_semitones() -> None:
    line = moved_line(moved((440.0, 660.0), ROOM), Intervals.HEARD, 440.0)
    assert line == ("It is moved up by 6 semitones to D♯5 +0.0 cents, where this wood can surely play it; the intervals"
                    " are as heard.")
    assert moved_line(moved((880.0, 1320.0), ROOM), Intervals.JUST, 440.0).startswith("It stays on A5")
    assert "down by 1 semitone to" in moved_line(moved((940.0, 1410.0), ROOM), Intervals.EQUAL, 440.0)


# ---- the command ---------------------------------------------------------------------------------------------------
def test_without_a_wood_the_recording_is_only_read(command, sixth) -> None:
    out = command.fine("plan", "--like", sixth).out
    assert "Nearest to a major sixth (major third, fifth, major sixth)" in out
    like = command.fine("plan", "--like", sixth, "--json").json["like"]
    assert [note["name"] for note in like["notes"]] == ["A", "B", "C", "D"]
    assert like["moved"] is None
    # derived: the bench puts each note within some 20 cents of its step
    assert [note["interval_cents"] for note in like["notes"]] == pytest.approx([0, 400, 700, 900], abs=30)


def test_the_plan_has_the_intervals_as_heard_where_this_wood_can_play_them(command, sixth) -> None:
    run = command.fine("plan", "--like", sixth, *WOOD, "--json")
    like, chambers = run.json["plan"]["like"], run.json["chambers"]
    heard = [note["interval_cents"] for note in like["notes"]]
    planned = [cents_between(one["target_hz"], chambers[0]["target_hz"]) for one in chambers]
    assert planned == pytest.approx(heard, abs=0.12)
    assert like["moved"]["shift_semitones"] == round(like["moved"]["shift_semitones"]) > 0
    assert chambers[0]["target_hz"] == pytest.approx(
        shift_hz(like["notes"][0]["frequency_hz"], 100 * like["moved"]["shift_semitones"]), rel=1e-4
    )
    assert not [remark for remark in run.json["plan"]["remarks"] if remark["weight"] == "refuse"]
    assert "It is moved up by" in command.fine("plan", "--like", sixth, *WOOD).out


def test_just_intervals_upon_a_named_root(command, sixth, tmp_path) -> None:
    out = tmp_path / "quay.whistle.json"
    command.fine("plan", "--like", sixth, *WOOD, "--intervals", "just", "--root", "G5", "--out", out)
    chambers = json.loads(out.read_text())["chambers"]
    assert chambers[0]["note"] == "G5"
    # Published: Ellis in Helmholtz (1885), 5:4, 3:2 and 5:3 to whole cents
    found = [cents_between(one["target_hz"], chambers[0]["target_hz"]) for one in chambers]
    assert found == pytest.approx([0, 386, 702, 884], abs=0.6)


@pytest.mark.parametrize(("words", "clue"), [
    (("--chord", "major sixth"), "--chord from elsewhere"),
    (("--just",), "--intervals just"),
    (("--can-play",), "leave one of them out"),
    (("--bore", "1/2"), "--name"),
    ((*WOOD[:4], ), "--window"),
    ((*WOOD, "--body", "37"), "holds only 3 such bores: it needs a body of 37.5 mm, or narrower bores."),
    ((*WOOD, "--root", "A3"), "out of this wood's reach"),
])
def test_what_was_asked_wrong_is_told_in_one_sentence(command, sixth, words, clue) -> None:
    assert clue in refused(command("plan", "--like", sixth, *words))


def test_intervals_without_a_recording_are_refused(command) -> None:
    assert "--like" in refused(command("plan", "--intervals", "just"))


def test_one_note_is_said_and_nothing_more_is_offered(command, tmp_path) -> None:
    import soundfile

    path = tmp_path / "one.wav"
    mixed = invented((0,), np.random.default_rng(12))
    soundfile.write(path, mixed.samples, RATE_HZ)
    sentence = refused(command("plan", "--like", path))
    assert "holds one note" in sentence
    assert "no chord" in sentence
    assert f"{mixed.near_hz[0]:.1f} Hz" in sentence


def test_what_is_no_chord_or_no_file_is_one_sentence(command, tmp_path) -> None:
    import soundfile

    path = tmp_path / "wind.wav"
    soundfile.write(path, np.random.default_rng(2).normal(size=2 * RATE_HZ) * 0.1, RATE_HZ)
    assert "No steady chord" in refused(command("plan", "--like", path))
    assert refused(command("plan", "--like", tmp_path / "none.wav"))
    soundfile.write(tmp_path / "long.wav", np.zeros(8000 * 301), 8000)
    with pytest.raises(WorldError, match="longer than 300 s"):
        likeness_of(tmp_path / "long.wav")
