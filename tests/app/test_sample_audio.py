"""The sample recordings are what their index says, judged by soundfile and praat, not by the program's reader."""
import csv
from pathlib import Path

import numpy as np
import parselmouth
import pytest
import soundfile

FOLDER = Path(__file__).resolve().parents[2] / "sample_audio"
with (FOLDER / "index.csv").open(encoding="utf-8") as file:
    ROWS = list(csv.DictReader(file))
assert ROWS, "no samples found: the checks would pass on nothing"
ONE_CLEAR_NOTE = ("clean.flac", "overblown.flac", "over-hum.flac", "clipped.flac")
LARGEST_BYTES = 150_000


def test_the_index_and_the_folder_name_the_same_files():
    assert {row["file"] for row in ROWS} == {path.name for path in FOLDER.glob("*.flac")}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["file"])
def test_every_sample_is_small_mono_and_at_48_khz(row):
    described = soundfile.info(FOLDER / row["file"])
    assert (described.samplerate, described.channels, described.format) == (48_000, 1, "FLAC")
    assert (FOLDER / row["file"]).stat().st_size < LARGEST_BYTES


@pytest.mark.parametrize("name", ONE_CLEAR_NOTE)
def test_praat_hears_the_pitch_of_the_index(name):
    row = next(row for row in ROWS if row["file"] == name)
    samples, rate_hz = soundfile.read(FOLDER / name)
    middle = samples[round(0.9 * rate_hz):round(1.3 * rate_hz)]
    track = parselmouth.Sound(middle, rate_hz).to_pitch_ac(pitch_floor=300.0, pitch_ceiling=4000.0)
    heard_hz = track.selected_array["frequency"]
    # wander of 1.5 cents and breath noise leave that much doubt in 0.4 s out of the middle
    assert 1200.0 * np.log2(np.median(heard_hz[heard_hz > 0.0]) / float(row["true_hz"])) == pytest.approx(0.0, abs=5.0)
