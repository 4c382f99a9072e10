"""Recorded pipes against Praat and against long-window least squares.

Sound: the FluidR3 General MIDI sound font (Debian package fluid-soundfont-gm, MIT licence): mouth-blown pan flutes, a
blown bottle, recorders, ocarinas. Reference readings: Praat's autocorrelation pitch (Boersma 1993, "Accurate
short-term analysis of the fundamental frequency and the harmonics-to-noise ratio of a sampled sound", through
praat-parselmouth), and scipy's bounded minimiser on a harmonic least-squares misfit of one fixed frequency.
What a reader may differ by where the breath wanders is bounded by the wander itself, which the reader must show.
"""
from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from acoustics.blow import Blow, BlowEnded, BlowFinder
from acoustics.pitch import Tone, measure
from tests.soundfont import GENERAL_MIDI, Sample, samples_named

pytestmark = pytest.mark.skipif(not GENERAL_MIDI.exists(), reason="Debian's fluid-soundfont-gm is not installed")

LOWEST_HZ = 200.0  # two of the samples lie below what a chamber of this trade sounds
AGREES_CENTS = 1.0
STEADY_CENTS = 3.0  # spread under which "the" pitch of a mouth-blown note means one thing to a cent or so


def pipes(*words: str) -> list[Sample]:
    """One channel of each sample whose note lies in the trade's range."""
    found = [s for s in samples_named(*words) if "(R)" not in s.name and praat_hz(middle(s), s.rate_hz) > LOWEST_HZ]
    assert found
    return found


def middle(sample: Sample) -> NDArray[np.float64]:
    """The sample without its attack and its very end."""
    n = len(sample.samples)
    return sample.samples[int(0.3 * n) : int(0.9 * n)].astype(np.float64)


def praat_hz(sound: NDArray[np.float64], rate_hz: int) -> float:
    """Mean of Praat's pitch track."""
    parselmouth = pytest.importorskip("parselmouth")
    pitch = parselmouth.Sound(sound, rate_hz).to_pitch_ac(time_step=0.005, pitch_floor=150.0, pitch_ceiling=2700.0)
    track = pitch.selected_array["frequency"]
    return float(np.mean(track[track > 0]))


def least_squares_hz(sound: NDArray[np.float64], rate_hz: int, near_hz: float) -> float:
    """The one frequency whose five lines leave least of the whole stretch, within 12 cents of `near_hz`."""
    from scipy.optimize import minimize_scalar

    turn = 2 * np.pi * np.arange(len(sound)) / rate_hz

    def left(frequency_hz: float) -> float:
        lines = [k * frequency_hz * turn for k in range(1, 6) if k * frequency_hz < 0.48 * rate_hz]
        basis = np.stack([wave(line) for line in lines for wave in (np.cos, np.sin)], axis=1)
        fit = np.linalg.solve(basis.T @ basis, basis.T @ sound)
        return float(np.sum((sound - basis @ fit) ** 2))

    grid = near_hz * 2 ** (np.linspace(-12, 12, 25) / 1200)
    best = int(np.argmin([left(f) for f in grid]))
    bounds = (grid[max(0, best - 1)], grid[min(24, best + 1)])
    return float(minimize_scalar(left, bounds=bounds, method="bounded", options={"xatol": 1e-4}).x)


def cents(a_hz: float, b_hz: float) -> float:
    return 1200.0 * float(np.log2(a_hz / b_hz))


def measured(sample: Sample) -> Tone:
    sound = middle(sample)
    tone = measure(sound, sample.rate_hz, praat_hz(sound, sample.rate_hz))
    assert tone is not None
    return tone


def heard(sample: Sample) -> list[Blow]:
    """The sample as a microphone would give it: a second of quiet room on either side."""
    room = np.random.default_rng(5).normal(size=len(sample.samples) + 2 * sample.rate_hz) * 10 ** (-75 / 20)
    room[sample.rate_hz : sample.rate_hz + len(sample.samples)] += sample.samples
    finder = BlowFinder(sample.rate_hz)
    found = finder.feed(room.astype(np.float32)) + finder.finish()
    return [one.blow for one in found if isinstance(one, BlowEnded)]


def test_every_recorded_pan_flute_and_bottle_in_range_is_one_usable_blow() -> None:
    for sample in pipes("pan flute", "bottle"):
        blows = heard(sample)
        assert len(blows) == 1, sample.name
        assert blows[0].usable, sample.name


def test_steady_recorded_pipes_agree_with_least_squares_within_a_cent() -> None:
    apart = []
    for sample in pipes("pan flute", "bottle", "recorder", "ocar"):
        tone, sound = measured(sample), middle(sample)
        if (tone.spread_cents or 0.0) < STEADY_CENTS:
            apart.append(cents(tone.frequency_hz, least_squares_hz(sound, sample.rate_hz, tone.frequency_hz)))
    size = np.abs(apart)
    print(f"least squares, {len(apart)} steady pipes: median {np.median(size):.2f}, worst {np.max(size):.2f} cents")
    assert len(apart) >= 12
    assert np.max(np.abs(apart)) < AGREES_CENTS


def test_recorded_pan_flutes_agree_with_praat_within_a_cent() -> None:
    apart = [cents(measured(s).frequency_hz, praat_hz(middle(s), s.rate_hz)) for s in pipes("pan flute")]
    size = np.abs(apart)
    print(f"Praat, {len(size)} pan flutes: median {np.median(size):.2f}, worst {np.max(size):.2f} cents")
    assert len(apart) >= 7
    assert np.max(np.abs(apart)) < AGREES_CENTS


def test_wandering_recorded_pipes_agree_with_praat_within_their_shown_wander() -> None:
    apart, shown = [], []
    for sample in pipes("recorder", "ocar"):
        tone = measured(sample)
        apart.append(abs(cents(tone.frequency_hz, praat_hz(middle(sample), sample.rate_hz))))
        shown.append(tone.spread_cents or 0.0)
    print(f"Praat, {len(apart)} recorders and ocarinas: median {np.median(apart):.2f}, worst {max(apart):.2f} cents")
    assert all(one < AGREES_CENTS + 0.5 * spread for one, spread in zip(apart, shown, strict=True))
    assert max(shown) > STEADY_CENTS  # breath is not hidden
