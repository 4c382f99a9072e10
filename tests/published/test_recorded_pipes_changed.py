"""Recorded stopped pipes under noise and through codecs: still read, and where Praat put them when they were clean.

Sound: the FluidR3 General MIDI sound font (Debian package fluid-soundfont-gm, MIT licence), its pan flutes and blown
bottle, as recorded and played faster and slower (which moves a pitch exactly), from 350 to 1300 Hz. Reference: Praat's
autocorrelation pitch (Boersma 1993, through praat-parselmouth) of the sound before anything was done to it. Codecs are
libsndfile's (LAME, Opus). Limits: a cent from Praat, as in the other tests of these pipes; a change may move a reading
by some times what was measured (0.014 cents by MP3, 0.11 by noise), which is far under what any cut of a plug is worth.
"""
from __future__ import annotations

import numpy as np
import pytest

from acoustics.blow import Blow
from tests.bench.formats.pipes import all_spoils, cents, in_quiet, sources
from tests.bench.reading.invented import Recording
from tests.bench.reading.run import listen
from tests.soundfont import GENERAL_MIDI

pytestmark = pytest.mark.skipif(not GENERAL_MIDI.exists(), reason="Debian's fluid-soundfont-gm is not installed")

PRAAT_CENTS = 1.0
MOVED_CENTS = {
    "MP3, 128 kbit/s": 0.05, "Opus, voice, 24 kbit/s": 0.2, "at 8000 Hz": 0.2,
    "shop noise at 20 dB": 0.3, "shop noise at 10 dB": 0.3, "white noise at 20 dB": 0.3,
}


@pytest.fixture(scope="module")
def pan_flutes() -> list[tuple[Recording, float, Blow]]:
    """Each in a quiet room, with Praat's pitch and the blow that was read."""
    rng = np.random.default_rng(8)
    made = [(in_quiet(kind, sample, hz, rng), hz) for kind, sample, hz in sources() if kind == "pan flute"]
    found = [(one, hz, listen(one).best()) for one, hz in made]
    assert len(found) >= 15
    return [(one, hz, blow) for one, hz, blow in found if blow is not None and blow.usable]


def test_every_stopped_pipe_at_every_speed_is_read(pan_flutes: list[tuple[Recording, float, Blow]]) -> None:
    rng = np.random.default_rng(8)
    bottles = [in_quiet(kind, sample, hz, rng) for kind, sample, hz in sources() if kind == "bottle"]
    assert len(pan_flutes) == sum(kind == "pan flute" for kind, _, _ in sources())
    assert all(blow is not None and blow.usable for blow in (listen(one).best() for one in bottles))


@pytest.mark.parametrize("name", MOVED_CENTS)
def test_changed_pan_flute_is_read_where_it_was_and_where_praat_put_it(
    name: str, pan_flutes: list[tuple[Recording, float, Blow]]
) -> None:
    rng, moved, apart = np.random.default_rng(9), [], []
    for made, praat_hz, plain in pan_flutes:
        blow = listen(all_spoils()[name](made, rng)).best()
        assert blow is not None, f"{praat_hz:.0f} Hz"
        assert blow.frequency_hz is not None, f"{praat_hz:.0f} Hz: {blow.verdict}"
        moved.append(abs(cents(blow.frequency_hz, plain.frequency_hz) or 0.0))
        apart.append(abs(cents(blow.frequency_hz, praat_hz) or 0.0))
    from_praat = f"from Praat median {np.median(apart):.2f}, worst {max(apart):.2f}"
    print(f"{name}: {len(moved)} read; moved {max(moved):.3f}, {from_praat}")
    assert max(moved) < MOVED_CENTS[name]
    assert max(apart) < PRAAT_CENTS
