"""The picture of a recording: its axes are read back from its pixels, against tones whose pitch and onset are known.

Truth comes from outside: sines made by numpy, and the names and frequencies of notes that librosa gives.
"""
from __future__ import annotations

import io
import subprocess
import sys
from dataclasses import replace

import librosa
import numpy as np
import pytest
import soundfile
from PIL import Image

from acoustics.blow import Blow, Finding, Verdict
from app import picture_page
from app.errors import WorldError
from app.picture_page import INK, NOTE, START, draw_page, grey_of_lightness, note_text
from app.picture_place import WIDEST_PX
from app.sound_picture import picture_png, sheet_of
from tests.app.command_line import HARBOUR, CommandLine

RATE_HZ = 48_000
ONSET_S, END_S, LENGTH_S = 1.0, 2.0, 3.0
# the notes with a tick, from the top of the picture
TICKS = [f"{step}{octave}" for octave in range(8, 2, -1) for step in "AGEDC"]
TICKS = [note for note in TICKS if librosa.note_to_midi(note) <= librosa.note_to_midi("C8")]
PX_PER_CENT = 0.12  # by hand: four bins of three pixels to 100 cents
BLOW = Blow(ONSET_S, END_S, Verdict.STEADY, True, 880.0, 880.0, 0.5, 2.0, -23.0, -30.0, 40.0, (Finding.WAVERS,))
UNUSABLE = replace(BLOW, verdict=Verdict.OVERBLOWN, usable=False, frequency_hz=None)


def tone(frequency_hz, amplitude=0.1, rate_hz=RATE_HZ, length_s=LENGTH_S):
    """A sine from `ONSET_S` to one second before the end, switched."""
    time_s = np.arange(int(length_s * rate_hz)) / rate_hz
    on = (time_s >= ONSET_S) & (time_s < length_s - 1.0)
    return (amplitude * on * np.sin(2 * np.pi * frequency_hz * time_s)).astype(np.float32)


@pytest.fixture
def file_of(tmp_path):
    def write(sound, rate_hz=RATE_HZ, name="tone.wav"):
        soundfile.write(tmp_path / name, sound, rate_hz, subtype="FLOAT" if name.endswith("wav") else None)
        return tmp_path / name

    return write


@pytest.fixture
def command(tmp_path, capfd):
    return CommandLine(tmp_path / "home", capfd)


def pixels(png):
    return np.asarray(Image.open(io.BytesIO(png)).convert("RGB")).astype(int)


def runs(flags):
    """Middle of each run of true values."""
    places = np.flatnonzero(np.diff(np.concatenate(([0], flags.astype(int), [0]))))
    return (places[::2] + places[1::2] - 1) / 2


def is_colour(page, colour):
    return (page == np.array(colour)).all(axis=-1)


class Plot:
    """What a reader of the printed page has: the frame, the ticks beside it, and the grey inside."""

    def __init__(self, png):
        self.page = pixels(png)
        ink = is_colour(self.page, INK)
        self.left = int(np.argmax(ink.sum(axis=0)))  # the frame's upright is the longest inked column
        rows = max(np.split(rows := np.flatnonzero(ink[:, self.left]), np.flatnonzero(np.diff(rows) > 1) + 1), key=len)
        self.top, self.bottom = rows[0], rows[-1]
        ticks = runs(ink[self.top + 1:self.bottom, self.left - 5]) + self.top + 1
        self.note_rows = dict(zip(TICKS, ticks, strict=True))
        self.time_columns = runs(ink[self.bottom + 5])

    @property
    def red(self):
        """Grid lines and sound are both dark in it, so that a line over the sound does not part it."""
        return self.page[self.top + 1:self.bottom, self.left + 1:, 0]

    def column(self, at_s, length_s=LENGTH_S):
        first, last = self.time_columns[0], self.time_columns[-1]
        return first + (last - first) * at_s / length_s

    def darkest_row(self, at_s):
        """The middle of the dark stretch in this column, in rows of the page."""
        column = self.red[:, int(self.column(at_s)) - self.left - 1]
        dark = np.flatnonzero(column <= column.min() + 30)
        return float(dark.mean()) + self.top + 1


# ---- axes ----------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("note", ["D4", "G4", "A5", "C7"])
def test_a_tone_lies_beside_the_tick_of_its_own_note(note, file_of):
    plot = Plot(picture_png(file_of(tone(librosa.note_to_hz(note))), []))
    assert plot.darkest_row(1.5) == pytest.approx(plot.note_rows[note], abs=2)


def test_a_tone_thirty_cents_sharp_lies_three_tenths_of_a_step_higher(file_of):
    plot = Plot(picture_png(file_of(tone(880.0 * 2 ** (30 / 1200))), []))
    # by hand: 30 cents of 0.12 pixels are 3.6; a bin is 3 pixels
    assert plot.note_rows["A5"] - plot.darkest_row(1.5) == pytest.approx(30 * PX_PER_CENT, abs=1.6)


def test_ticks_lie_where_librosas_frequencies_say(file_of):
    rows = Plot(picture_png(file_of(tone(880.0)), [])).note_rows
    cents = [1200 * np.log2(librosa.note_to_hz(note) / librosa.note_to_hz("C8")) for note in rows]
    assert list(rows.values()) == pytest.approx([rows["C8"] - each * PX_PER_CENT for each in cents], abs=1)


def test_a_tone_begins_and_ends_at_its_own_times(file_of):
    plot = Plot(picture_png(file_of(tone(880.0)), []))
    assert len(plot.time_columns) == 7  # by hand: 0.5 s apart in 3 s
    line = plot.red[int(plot.note_rows["A5"]) + 1 - plot.top - 1]
    # A filter as long before as after the moment stands at half amplitude, 6.02 dB, when a tone is switched;
    # 70 dB are 100 steps of lightness (by hand: 8.6).
    of_lightness = np.linspace(0, 100, 2001)
    plateau = np.interp(line[int(plot.column(1.5)) - plot.left - 1], grey_of_lightness(of_lightness), of_lightness)
    half = grey_of_lightness(np.array(plateau + 6.02 / 0.7))
    inside = np.flatnonzero(line[: int(plot.column(2.9)) - plot.left] <= half) + plot.left + 1
    frame_px = plot.column(0.008) - plot.column(0.0)
    assert inside[0] == pytest.approx(plot.column(ONSET_S), abs=frame_px + 1)
    assert inside[-1] == pytest.approx(plot.column(END_S), abs=frame_px + 1)


# ---- marks ---------------------------------------------------------------------------------------------------------
def test_a_blow_is_marked_at_its_start_its_end_and_its_note(file_of):
    plot = Plot(picture_png(file_of(tone(880.0)), [BLOW]))
    inside = plot.page[plot.top + 1:plot.bottom, plot.left + 1:]
    uprights = np.flatnonzero(is_colour(inside, START).sum(axis=0) > 200) + plot.left + 1
    assert uprights == pytest.approx([plot.column(ONSET_S), plot.column(END_S)], abs=1)
    rows, columns = np.nonzero(is_colour(inside, NOTE))
    assert rows.mean() + plot.top + 1 == pytest.approx(plot.note_rows["A5"], abs=1)
    assert columns.min() + plot.left + 1 == pytest.approx(plot.column(ONSET_S), abs=1)
    assert columns.max() + plot.left + 1 == pytest.approx(plot.column(END_S), abs=1)


def test_what_cannot_be_used_differs_by_shape_as_well(file_of):
    sheet = sheet_of(file_of(tone(880.0)))
    drawn = {}
    for blow in (BLOW, UNUSABLE):
        plot = Plot(draw_page(sheet, [blow]))
        start, end = int(plot.column(ONSET_S)) + 4, int(plot.column(END_S)) - 4
        line = is_colour(plot.page[int(plot.note_rows["A5"]), start:end], NOTE)
        bar = is_colour(plot.page[plot.top - 9, start:end], START)
        drawn[blow.usable] = line.mean(), bar.mean()
    assert drawn[True] == (1.0, 1.0)
    assert 0.3 < drawn[False][0] < 0.7
    assert 0.05 < drawn[False][1] < 0.5


def test_a_blow_too_narrow_to_be_seen_through_is_marked_by_its_bar(file_of):
    plot = Plot(picture_png(file_of(tone(880.0)), [replace(BLOW, end_s=ONSET_S + 0.02)]))
    inside = plot.page[plot.top + 1:plot.bottom, plot.left + 1:]
    assert is_colour(inside, START).sum(axis=0).max() < 200
    assert is_colour(plot.page[plot.top - 9], START).any()


@pytest.mark.parametrize("frequency_hz", [203.7, 349.2, 440.0, 612.3, 703.2, 987.0, 1298.9, 2137.7])
def test_a_blow_bears_the_note_and_cents_that_librosa_gives(frequency_hz):
    theirs = librosa.hz_to_note(frequency_hz, cents=True, unicode=True)
    name, sign, cents = theirs.partition("+") if "+" in theirs else theirs.partition("-")
    ours, ours_cents, unit = note_text(replace(BLOW, heard_hz=frequency_hz)).split()
    assert (ours, unit) == (name, "cents")
    assert float(ours_cents.replace("−", "-")) == pytest.approx(float(sign + cents), abs=0.6)  # theirs is whole cents


# ---- words ---------------------------------------------------------------------------------------------------------
@pytest.fixture
def written(monkeypatch):
    """All words that get onto the page."""
    texts = []
    words = picture_page._Pen.words

    def keep(pen, x_px, y_px, text, *rest, **more):
        texts.append(text)
        words(pen, x_px, y_px, text, *rest, **more)

    monkeypatch.setattr(picture_page._Pen, "words", keep)
    return texts


def test_the_page_names_the_file_without_its_folder_its_length_and_rate(file_of, written):
    path = file_of(tone(880.0))
    picture_png(path, [])
    assert {"tone.wav", "3.00 s, 48000 Hz, no blows", "No blow was found."} <= set(written)
    assert not [text for text in written if path.parent.name in text]


def test_every_blow_stands_on_the_page_with_its_verdict_and_reason(file_of, written):
    blows = [replace(BLOW, start_s=0.2 * at, end_s=0.2 * at + 0.1) for at in range(9)]
    picture_png(file_of(tone(880.0)), [*blows, replace(UNUSABLE, heard_hz=None, start_s=2.2, end_s=2.4)])
    assert "9   1.60 to 1.70 s   A5 +0.0 cents (880.0 Hz)   steady, wavering" in written
    assert "10   2.20 to 2.40 s   no note   not usable: jumped up to its twelfth: blow softer, wavering" in written


def test_a_name_of_any_length_and_any_letters_gets_on_the_page(file_of, written):
    sheet = replace(sheet_of(file_of(tone(880.0))), name="a\nb\udce9" + 300 * "W" + ".wav")
    draw_page(sheet, [BLOW])
    assert "…" in written[0]
    assert written[0].endswith(".wav")


def test_without_a_lettering_of_the_system_the_built_in_one_is_used(file_of, monkeypatch):
    monkeypatch.setattr(picture_page, "FONT", "no-such-lettering.ttf")
    pen = picture_page._Pen()
    assert pen.width_px("F♯5 −3.2") == pen.width_px("F#5 -3.2")
    assert Plot(picture_png(file_of(tone(880.0)), [replace(BLOW, heard_hz=740.0)])).note_rows


# ---- levels and length ---------------------------------------------------------------------------------------------
@pytest.mark.parametrize("rate_hz", [8_000, 44_100, 48_000, 96_000])
def test_a_tones_level_is_its_mean_square_at_every_rate(rate_hz, file_of):
    sheet = sheet_of(file_of(tone(880.0, rate_hz=rate_hz), rate_hz))
    # by hand: a sine of 0.1 has a mean square of 0.005, -23.01 dB
    assert sheet.level_dbfs[:, 187].max() == pytest.approx(-23.01, abs=0.3)


def test_equal_steps_of_level_are_equal_steps_of_lightness():
    # by hand, from ISO/CIE 11664-4 and IEC 61966-2-1: L* 50 is a luminance of 0.1842, coded 0.4663, that is 119
    assert grey_of_lightness(np.array([0.0, 50.0, 100.0])).tolist() == [0, 119, 255]


def test_a_quiet_room_is_drawn_light(root):
    plot = Plot(picture_png(root / "sample_audio" / "quiet.flac", []))
    assert plot.red[:, :900].mean() > 150


def test_a_steady_tone_shows_no_seams_between_pieces(file_of):
    sheet = sheet_of(file_of(tone(440.0, rate_hz=16_000, length_s=65.0), 16_000))
    assert sheet.level_dbfs.shape[1] <= WIDEST_PX
    assert sheet.level_dbfs.shape[1] * sheet.frames_per_column * 0.008 == pytest.approx(65.0, abs=0.1)
    column_s = sheet.frames_per_column * 0.008
    steady = sheet.level_dbfs[:, int(2 / column_s):int(63 / column_s)].max(axis=0)
    assert np.ptp(steady) < 0.1


def test_progress_grows_and_ends_with_all(file_of):
    shares = []
    sheet_of(file_of(tone(440.0, rate_hz=8_000, length_s=50.0), 8_000), shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    assert len(shares) > 2


# ---- the command ---------------------------------------------------------------------------------------------------
def refused(run, *words):
    assert (run.code, run.out) == (2, "")
    assert len(run.err.strip().splitlines()) == 1
    for word in words:
        assert word in run.err


def test_hear_draws_the_picture_and_says_so(command, root, tmp_path):
    run = command.fine("hear", root / "sample_audio" / "clean.flac", "--picture", tmp_path / "clean.png")
    assert "1 blow" in run.out
    assert run.out.endswith("clean.png is drawn.\n")
    assert Plot((tmp_path / "clean.png").read_bytes()).note_rows


def test_hear_with_json_answers_json_alone_and_names_the_picture(command, root, tmp_path):
    out = tmp_path / "clean.png"
    run = command.fine("hear", root / "sample_audio" / "clean.flac", "--picture", out, "--json")
    assert run.json["picture"] == str(out)
    assert len(run.json["files"]) == 1
    assert out.exists()


def test_several_recordings_are_refused_for_one_picture(command):
    refused(command("hear", "one.wav", "two.wav", "--picture", "out.png"), "2 are named")


@pytest.mark.parametrize("name", ["out.jpg", "out", ""])
def test_a_picture_that_is_no_png_is_refused(command, name):
    refused(command("hear", "one.wav", "--picture", name), ".png")


def test_what_is_there_already_is_left_as_it_is(command, root, tmp_path):
    out = tmp_path / "kept.png"
    out.write_bytes(b"mine")
    refused(command("hear", root / "sample_audio" / "clean.flac", "--picture", out), "exists already")
    assert out.read_bytes() == b"mine"


def test_a_picture_that_cannot_be_written_keeps_nothing_in_the_journal(command, root, tmp_path):
    (tmp_path / "file").write_bytes(b"")
    words = ("hear", root / "sample_audio" / "clean.flac", "--whistle", HARBOUR, "--chamber", "A", "--stop", "finger")
    refused(command(*words, "--log", "--picture", tmp_path / "file" / "out.png"), "picture could not be written")
    assert command.records() == ()
    command.fine(*words, "--log", "--picture", tmp_path / "out.png")
    assert command.records()


def test_a_silent_recording_is_not_drawn(file_of, command, tmp_path):
    path = file_of(np.zeros(RATE_HZ, np.float32), name="mute.flac")
    refused(command("hear", path, "--picture", tmp_path / "out.png"), "mute.flac is silent", "-90 dBFS")
    assert not (tmp_path / "out.png").exists()


def test_a_recording_too_short_to_be_drawn_is_refused(file_of):
    with pytest.raises(WorldError, match=r"tone.wav lasts 0.100 s and a picture needs 0.2 s"):
        picture_png(file_of(0.1 * np.ones(RATE_HZ // 10, np.float32)), [])
    assert picture_png(file_of(0.1 * np.ones(RATE_HZ // 5, np.float32)), [])


def test_drawing_needs_no_window_library(root, tmp_path):
    code = (
        "import sys; sys.modules['PySide6'] = None\n"
        f"from app.__main__ import main; sys.exit(main({['--home', str(tmp_path)]!r} + sys.argv[1:]))"
    )
    words = ["hear", "sample_audio/clean.flac", "--picture", str(tmp_path / "out.png")]
    done = subprocess.run([sys.executable, "-c", code, *words], cwd=root, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    assert (tmp_path / "out.png").stat().st_size > 10_000
