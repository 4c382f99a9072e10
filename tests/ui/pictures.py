"""The pictures of README.md and docs/using.md, drawn anew: ``python -m tests.ui.pictures [OUTDIR]``."""
from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

import numpy as np
import soundfile

from app.recording import hear_file
from app.sound_picture import picture_png
from tests.ui import chord_views, screen_shots, sheet_shots, shots
from tests.ui.paper_shots import sheets_side_by_side

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "docs" / "pictures"
FROM_THE_BENCH = {
    "voice.png": "voice-hissy-light.png",
    "first-blow.png": "slide-route-first-blow-reseat-light.png", "cut.png": "trim-route-cut-cut-light.png",
    "finger.png": "leak-finger-1-light.png",
    "trim-light.png": "trim-route-trim-trim-light.png", "slide-dark.png": "slide-route-trim-slide-dark.png",
    "glue.png": "glue-open-blow-light.png", "glue-next-day.png": "glue-moved-light.png",
}  # fmt: skip
FROM_THE_CHORD = {"chord.png": "chord-trim-light-1280.png"}
FROM_THE_SHEETS = {
    "first-start.png": "first-microphone-light-100.png", "describe.png": "lay-out-sound-whole-light-100.png",
    "lay-out-wood.png": "lay-out-wood-whole-light-100.png", "lay-out-papers.png": "lay-out-papers-whole-light-100.png",
    "whistles.png": "whistles-light-100.png",
    "first-trial.png": "first-trial-light-100.png", "ways.png": "ways-flat-light-100.png",
}  # fmt: skip
FROM_THE_SCREENS = {
    f"{name}.png": f"{name}.png" for name in (
        "room", "keys", "high-contrast", "large-text", "preferences", "practice-truth", "session", "club", "club-turn")
}

RECORDED = ("chirp-first", "two-chambers")  # a blow that can be used, and one that cannot


def recording(folder: Path) -> bytes:
    """What `hear --picture` draws of two sample recordings, one after the other."""
    sounds = [soundfile.read(ROOT / "sample_audio" / f"{name}.flac", dtype="float32") for name in RECORDED]
    path = folder / "monday-evening.flac"
    soundfile.write(path, np.concatenate([sound for sound, _ in sounds]), sounds[0][1])
    return picture_png(path, hear_file(path)[1])


def main(folder: Path) -> None:
    """Draw everything once, and keep what the pages show."""
    folder.mkdir(parents=True, exist_ok=True)
    drawings = (
        (shots.main, FROM_THE_BENCH), (chord_views.main, FROM_THE_CHORD), (sheet_shots.main, FROM_THE_SHEETS),
        (screen_shots.main, FROM_THE_SCREENS),
    )
    for draw, wanted in drawings:
        with tempfile.TemporaryDirectory() as drawn:
            draw(Path(drawn))
            for name, drawn_name in wanted.items():
                shutil.copyfile(Path(drawn) / drawn_name, folder / name)
    with tempfile.TemporaryDirectory() as drawn:
        (folder / "hear.png").write_bytes(recording(Path(drawn)))
    sheets_side_by_side().save(str(folder / "papers.png"))


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER)
