"""Recorded pipes and horns mixed into chords of which the reader is told nothing, each against itself alone.

Sound: the FluidR3 General MIDI sound font (Debian package fluid-soundfont-gm, MIT licence), held and moved in pitch by
`tests/bench/like`. References, on each note before it is mixed, over the very stretch that was read: scipy's bounded
minimiser on the misfit of five harmonic lines for the steady stopped pipes, and the mean of Praat's autocorrelation
pitch (Boersma 1993, through praat-parselmouth) for what wanders. The two differ by some tenths of a cent.
"""
from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from acoustics.like import LikedChord, hear_like
from tests.bench.like.__main__ import SHAKY, cents
from tests.bench.like.chords import FAMILIES, RATE_HZ, Mixed, recorded
from tests.soundfont import GENERAL_MIDI

pytestmark = pytest.mark.skipif(not GENERAL_MIDI.exists(), reason="Debian's fluid-soundfont-gm is not installed")

STOPPED, FLUTES, HORNS = FAMILIES
AGREES_CENTS = 2.0  # what was asked of an interval
STOPPED_CENTS = 1.0
CHORDS = [(0, 4), (0, 3, 7), (0, 4, 7, 9), (0, 3, 6, 9)]


def heard(family: str, steps: Sequence[int], noise_db: float = 40.0) -> tuple[Mixed, LikedChord]:
    """The chord, and what was read: as many notes, each near its own."""
    mixed = recorded(family, steps, np.random.default_rng([23, list(FAMILIES).index(family), *steps]), noise_db)
    reading = hear_like(mixed.samples, RATE_HZ)
    assert [round(note.frequency_hz) for note in reading.notes] == pytest.approx(mixed.near_hz, rel=0.02)
    return mixed, reading


def intervals_off_cents(mixed: Mixed, reading: LikedChord, wandering: bool) -> list[float]:
    """Of every note over the first one; of those only that do not swell or have a rival beside them."""
    true_hz = mixed.mean_hz if wandering else mixed.true_hz
    off = [
        cents(note.frequency_hz, true_hz(at, reading.start_s, reading.end_s)) for at, note in enumerate(reading.notes)
    ]
    firm = [error for note, error in zip(reading.notes, off, strict=True) if not SHAKY & {*note.doubts}]
    return [error - firm[0] for error in firm[1:]]


@pytest.mark.parametrize("steps", [*CHORDS, (0, 2, 4, 7, 9)])
def test_stopped_pipes_are_all_found_with_their_intervals(steps) -> None:
    for noise_db in (40.0, 5.0):
        mixed, reading = heard(STOPPED, steps, noise_db)
        off = intervals_off_cents(mixed, reading, wandering=False)
        assert max(map(abs, off), default=0.0) < STOPPED_CENTS


@pytest.mark.parametrize("family", [FLUTES, HORNS])
@pytest.mark.parametrize("steps", CHORDS)
def test_flutes_recorders_and_horns_are_all_found_with_their_intervals(family, steps) -> None:
    mixed, reading = heard(family, steps)
    off = intervals_off_cents(mixed, reading, wandering=True)
    assert max(map(abs, off), default=0.0) < AGREES_CENTS


def test_an_octave_of_stopped_pipes_is_found() -> None:
    mixed, reading = heard(STOPPED, (0, 4, 7, 12))
    assert max(map(abs, intervals_off_cents(mixed, reading, wandering=False))) < STOPPED_CENTS


@pytest.mark.parametrize("family", [STOPPED, FLUTES, HORNS])
def test_one_recorded_note_is_one_note(family) -> None:
    for number in range(3):
        mixed = recorded(family, (0,), np.random.default_rng([29, number]))
        assert len(hear_like(mixed.samples, RATE_HZ).notes) == 1
