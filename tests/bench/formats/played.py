"""General MIDI's 128 instruments and its drums, played by FluidSynth from sound fonts of recorded samples.

Families are those of the General MIDI System Level 1 sound set (MIDI Manufacturers Association): eight programs each.
Fonts, all Debian packages: fluid-soundfont-gm (MIT licence), timgm6mb-soundfont (GPL-2), csound-soundfont (public
domain). The player is Debian's fluidsynth (LGPL-2.1+).
"""
from __future__ import annotations

import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tests.bench.reading.invented import Recording, Rng, coloured
from tests.soundfont import GENERAL_MIDI

FONTS = {
    "fluid-soundfont-gm": GENERAL_MIDI,
    "timgm6mb-soundfont": Path("/usr/share/sounds/sf2/TimGM6mb.sf2"),
    "csound-soundfont": Path("/usr/share/sounds/sf2/sf_GMbank.sf2"),
}
FAMILIES = (
    "piano", "chromatic percussion", "organ", "guitar", "bass", "strings", "ensemble", "brass",
    "reed", "pipe", "synth lead", "synth pad", "synth effects", "ethnic", "percussive", "sound effects",
)
PIPE, DRUMS = "pipe", "drums"
CHURCH_ORGAN = 20  # counted from 1, as the standard does: stopped and open flue pipes, and reeds
RATE_HZ, TICKS_PER_S = 48_000, 960
LOWEST_KEY, HIGHEST_KEY = 55, 88  # 196 to 1319 Hz
DRUM_KEYS = (35, 81)
SINGLE_S, CHORD_S, GAP_S = 12.0, 6.0, 1.5


@dataclass(frozen=True)
class Note:
    start_s: float
    end_s: float
    key: int
    velocity: int
    program: int  # counted from 1; 0 for drums
    alone: bool  # no other note sounds with it

    @property
    def frequency_hz(self) -> float:
        """As the standard tunes it; a font may be off by some cents."""
        return float(440.0 * 2 ** ((self.key - 69) / 12))


@dataclass(frozen=True)
class Song:
    """One family played: the sound, and the notes that are in it."""

    family: str
    recording: Recording
    notes: tuple[Note, ...]

    def at(self, when_s: float) -> Note:
        """The note that began last before a moment."""
        return [note for note in self.notes if note.start_s <= when_s][-1]


def notes_of(program: int, start_s: float, rng: Rng) -> Iterator[Note]:
    """Single notes, long and short, most with a rest after them; then chords of three."""
    at_s, whole_s = start_s, SINGLE_S + CHORD_S
    low, high = DRUM_KEYS if program == 0 else (LOWEST_KEY, HIGHEST_KEY)
    while at_s < start_s + whole_s - 1.0:
        alone = at_s < start_s + SINGLE_S
        length_s = float(rng.uniform(0.25, 1.8))
        first = int(rng.integers(low, high - 8))
        for key in (first,) if alone else (first, first + int(rng.integers(3, 5)), first + 7):
            yield Note(at_s, at_s + length_s, key, int(rng.integers(50, 121)), program, alone)
        at_s += length_s + (float(rng.uniform(0.2, 0.7)) if rng.random() < 0.7 else 0.0)


def midi_file(notes: list[Note]) -> bytes:
    """A Standard MIDI File, format 0, 480 ticks to the beat of half a second."""
    events: list[tuple[float, int, bytes]] = []
    for note in notes:
        channel = 9 if note.program == 0 else 0
        if note.program:
            events.append((note.start_s, 1, bytes([0xC0, note.program - 1])))
        events.append((note.start_s, 2, bytes([0x90 | channel, note.key, note.velocity])))
        events.append((note.end_s, 0, bytes([0x80 | channel, note.key, 0])))
    track, before = b"", 0
    for start_s, _, message in sorted(events):
        tick = round(start_s * TICKS_PER_S)
        track += varying_length(tick - before) + message
        before = tick
    track += varying_length(2 * TICKS_PER_S) + b"\xff\x2f\x00"
    header = b"MThd" + (6).to_bytes(4, "big") + (0).to_bytes(2, "big") + (1).to_bytes(2, "big")
    return header + (480).to_bytes(2, "big") + b"MTrk" + len(track).to_bytes(4, "big") + track


def varying_length(number: int) -> bytes:
    """Seven bits to the byte, the highest bit set on all but the last."""
    found = [number & 0x7F]
    while number := number >> 7:
        found.append(number & 0x7F | 0x80)
    return bytes(reversed(found))


def can_play() -> bool:
    return shutil.which("fluidsynth") is not None


def rendered(notes: list[Note], font: Path) -> NDArray[np.float64]:
    """The notes as FluidSynth plays them, mono, without its reverberation and chorus."""
    import soundfile

    with tempfile.TemporaryDirectory() as folder:
        score, sound = Path(folder, "song.mid"), Path(folder, "song.wav")
        score.write_bytes(midi_file(notes))
        options = ["-ni", "-q", "-R", "0", "-C", "0", "-r", str(RATE_HZ), "-O", "s16", "-T", "wav", "-F", str(sound)]
        subprocess.run(["fluidsynth", *options, str(font), str(score)], check=True, capture_output=True)
        samples, rate_hz = soundfile.read(sound)
    assert rate_hz == RATE_HZ
    return np.asarray(samples[:, 0])


def song(family: str, programs: range, font: Path, rng: Rng) -> Song:
    """One family, its programs one after the other, in a room of -70 to -50 dBFS."""
    notes, at_s = [], 1.0
    for program in programs:
        notes += list(notes_of(program, at_s, rng))
        at_s = notes[-1].end_s + GAP_S
    samples = rendered(notes, font)
    samples *= 10 ** (rng.uniform(-12, -3) / 20.0) / max(float(np.max(np.abs(samples))), 1e-6)
    samples = samples + coloured(rng, len(samples), 0.5) * 10 ** (rng.uniform(-70, -50) / 20.0)
    made = Recording(family, samples.astype(np.float32), RATE_HZ, 0.0, 0.0, None, None, 0.0)
    return Song(family, made, tuple(notes))


def songs(font: Path, rng: Rng, only: tuple[str, ...] = ()) -> Iterator[Song]:
    """The drums and every family; the church organ apart from the other organs."""
    families = [(DRUMS, range(0, 1))]
    for number, family in enumerate(FAMILIES):
        programs = range(8 * number + 1, 8 * number + 9)
        if CHURCH_ORGAN in programs:
            families.append(("church organ", range(CHURCH_ORGAN, CHURCH_ORGAN + 1)))
            families.append((f"{family}, electric", range(programs.start, CHURCH_ORGAN)))
            families.append((f"{family}, reed", range(CHURCH_ORGAN + 1, programs.stop)))
        else:
            families.append((family, programs))
    for family, programs in families:
        if not only or family in only:
            yield song(family, programs, font, rng)
