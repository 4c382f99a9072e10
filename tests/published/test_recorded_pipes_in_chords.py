"""Recorded pipes mixed into chords, each against its own single reading by Praat and by long-window least squares.

Sound: the FluidR3 General MIDI sound font (Debian package fluid-soundfont-gm, MIT licence): mouth-blown pan flutes and
a blown bottle, each played faster or slower (which moves its pitch exactly) to make four notes of a chord, then added.
References, on each single before it is mixed, over the very stretch that the chord reader took: Praat's autocorrelation
pitch (Boersma 1993, through praat-parselmouth), and scipy's bounded minimiser on the misfit of five harmonic lines. The
two differ by some tenths of a cent on the pan flutes and by 5 to 6 cents on the bottle, whose rough note is two lines
that beat: there Praat's mean over short frames is not asked.
"""
from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from numpy.typing import NDArray

from acoustics.chord import ChordReading, ExpectedVoice, Heard, read_chord
from tests.published.test_recorded_pipes import cents, least_squares_hz, middle, praat_hz
from tests.soundfont import GENERAL_MIDI, Sample, samples_named

pytestmark = pytest.mark.skipif(not GENERAL_MIDI.exists(), reason="Debian's fluid-soundfont-gm is not installed")

RATE_HZ = 48_000
AGREES_CENTS = 1.0
PIPES = ("pan flute c6(L)", "pan flute f#6(L)", "pan flute c7(L)", "Bottle Chiff C7(L)")
CHORDS = {
    "major sixth": (0, 400, 700, 900), "minor sixth": (0, 300, 700, 900), "diminished seventh": (0, 300, 600, 900),
    "close cluster": (0, 200, 400, 600), "just major sixth, 12:15:18:20": (0, 386.314, 701.955, 884.359),
}


def at_pitch(sample: Sample, wanted_hz: float) -> NDArray[np.float64]:
    """The recording at 48 kHz, played at the speed that puts it near `wanted_hz`."""
    from scipy.signal import resample_poly

    speed = wanted_hz / praat_hz(middle(sample), sample.rate_hz)
    ratio = Fraction(RATE_HZ / sample.rate_hz / speed).limit_denominator(400)
    sound = resample_poly(sample.samples.astype(np.float64), ratio.numerator, ratio.denominator)
    return sound * 0.1 / np.std(sound)


def singles_of(steps_cents: tuple[float, ...], root_hz: float) -> list[tuple[float, NDArray[np.float64]]]:
    found = {sample.name: sample for sample in samples_named("pan flute", "bottle")}
    wanted = [root_hz * 2.0 ** (step / 1200.0) for step in steps_cents]
    return [(hz, at_pitch(found[name], hz)) for name, hz in zip(PIPES, wanted, strict=True)]


def read(singles: list[tuple[float, NDArray[np.float64]]], silent: int | None = None) -> ChordReading:
    """All together, cut to the shortest, in a quiet room; guesses 40 cents off, each the other way."""
    n = min(len(sound) for _, sound in singles)
    mixed = np.random.default_rng(4).normal(size=n + RATE_HZ) * 1e-4
    for at, (_, sound) in enumerate(singles):
        mixed[RATE_HZ // 2:RATE_HZ // 2 + n] += 0.0 if at == silent else sound[:n]
    guesses = [hz * 2.0 ** ((-1) ** at * 40.0 / 1200.0) for at, (hz, _) in enumerate(singles)]
    expected = [ExpectedVoice(letter, hz) for letter, hz in zip("ABCD", guesses, strict=True)]
    return read_chord(mixed.astype(np.float32), RATE_HZ, expected)


@pytest.mark.parametrize("root_hz", [420.0, 490.0, 560.0])
@pytest.mark.parametrize("chord", CHORDS)
def test_each_pipe_of_the_chord_is_read_as_it_is_alone(chord: str, root_hz: float) -> None:
    singles = singles_of(CHORDS[chord], root_hz)
    reading = read(singles)
    first, last = (round((s - 0.5) * RATE_HZ) for s in (reading.start_s, reading.end_s))
    for voice, (_, sound), name in zip(reading.voices, singles, PIPES, strict=True):
        assert voice.frequency_hz is not None, voice
        alone_hz = praat_hz(sound[first:last], RATE_HZ)
        fitted_hz = least_squares_hz(sound[first:last], RATE_HZ, alone_hz)
        assert abs(cents(voice.frequency_hz, fitted_hz)) < AGREES_CENTS, voice
        if "Bottle" not in name:
            assert abs(cents(voice.frequency_hz, alone_hz)) < AGREES_CENTS, voice


@pytest.mark.parametrize("silent", range(4))
def test_the_pipe_that_is_left_out_is_missed_and_no_other(silent: int) -> None:
    reading = read(singles_of(CHORDS["major sixth"], 560.0), silent)
    assert [at for at, voice in enumerate(reading.voices) if voice.heard is Heard.MISSING] == [silent]
