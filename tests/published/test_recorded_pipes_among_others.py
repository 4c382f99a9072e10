"""Recorded things that are struck or spoken are no pipes: none of them is read as a whistle, but for one ringing bar.

Sound: the FluidR3 General MIDI sound font (Debian package fluid-soundfont-gm, MIT licence), single samples as they were
recorded, each in a quiet room: drums, cymbals, mallets, bells; and, where Debian's alsa-utils (GPL-2) is installed, the
spoken words of its loudspeaker test. What whole families of instruments do is counted by ``tests.bench.formats``: some
held notes of strings, reeds and electric pianos are read, and that is written in docs/benchmarks.md.
"""
from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from acoustics.blow import Blow, BlowEnded, BlowFinder
from tests.bench.reading.invented import coloured
from tests.soundfont import GENERAL_MIDI, samples_named

HIT = ("snare", "kick", "tom", "cymbal", "hi-hat", "conga", "bongo", "timpani", "clap", "cowbell", "wood", "tambour")
RUNG = ("marimba", "xylo", "vibra", "glock", "tubular", "celesta", "music box", "kalimba", "steel")
WORDS = Path("/usr/share/sounds/alsa")
needs_font = pytest.mark.skipif(not GENERAL_MIDI.exists(), reason="Debian's fluid-soundfont-gm is not installed")


def heard(samples: np.ndarray, rate_hz: int, rng: np.random.Generator) -> list[Blow]:
    """With a second of quiet room on either side."""
    room = coloured(rng, len(samples) + 2 * rate_hz, 0.5) * 10 ** (-70 / 20)
    room[rate_hz:rate_hz + len(samples)] += samples
    finder = BlowFinder(rate_hz)
    found = finder.feed(room.astype(np.float32)) + finder.finish()
    return [one.blow for one in found if isinstance(one, BlowEnded)]


@needs_font
@pytest.mark.parametrize(("words", "least", "most_read"), [(HIT, 40, 0), (RUNG, 60, 1)], ids=["hit", "rung"])
def test_no_struck_thing_is_read(words: tuple[str, ...], least: int, most_read: int) -> None:
    rng = np.random.default_rng(11)
    found = [s for s in samples_named(*words) if "(R)" not in s.name and s.rate_hz >= 8000]
    read = [s.name for s in found if any(blow.usable for blow in heard(s.samples, s.rate_hz, rng))]
    print(f"{len(found)} samples, read: {read}")
    assert len(found) >= least
    assert len(read) <= most_read  # one bar of a vibraphone was: it rings on like a note that is held


@pytest.mark.skipif(not WORDS.exists(), reason="Debian's alsa-utils is not installed")
def test_no_spoken_word_is_read() -> None:
    soundfile = pytest.importorskip("soundfile")
    rng = np.random.default_rng(12)
    spoken = sorted(WORDS.glob("*_*.wav"))
    read = []
    for path in spoken:
        samples, rate_hz = soundfile.read(path)
        read += [path.name for blow in heard(samples, rate_hz, rng) if blow.usable]
    assert len(spoken) >= 6
    assert not read
