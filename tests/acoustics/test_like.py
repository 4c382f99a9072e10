"""The notes of an unknown chord: invented horns with known truth, and what must be refused.

Truth is that of the bench's own generator (`tests/bench/like`), which knows nothing of the reader: derived by hand.
"""
from __future__ import annotations

import numpy as np
import pytest

from acoustics.errors import NoSolutionError, OutOfRangeError
from acoustics.like import Doubt, LikedChord, hear_like
from acoustics.like_span import steady_stretch
from tests.bench.like.chords import RATE_HZ, Mixed, invented
from tests.bench.like.no_chords import REFUSED

AGREES_CENTS = 0.1  # the bench's largest of a hundred is a fifth of it


def rng(*seed: int) -> np.random.Generator:
    return np.random.default_rng([41, *seed])


def cents(a_hz: float, b_hz: float) -> float:
    return 1200.0 * float(np.log2(a_hz / b_hz))


def errors_cents(mixed: Mixed, reading: LikedChord) -> list[float]:
    assert len(reading.notes) == len(mixed.near_hz), reading
    return [
        cents(note.frequency_hz, mixed.true_hz(at, reading.start_s, reading.end_s))
        for at, note in enumerate(reading.notes)
    ]


def pure(*lines: tuple[float, float], length_s: float = 1.5, rate_hz: int = RATE_HZ) -> np.ndarray:
    """Sines of so many hertz and such amplitudes, in a quiet room."""
    t = np.arange(round(length_s * rate_hz)) / rate_hz
    tone = np.sum([a * np.sin(2.0 * np.pi * hz * t + hz) for hz, a in lines], axis=0)
    return np.asarray(tone + rng(1).normal(size=len(t)) * 1e-4, dtype=np.float32)


# ---- notes that are there ------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    "steps", [(0, 4), (0, 4, 7), (0, 3, 6, 9), (0, 2, 4, 6), (0, 3, 5, 8, 10), (0, 2, 4, 6, 8, 10)]
)
def test_every_note_of_a_horn_like_chord_is_found_and_no_other(steps) -> None:
    mixed = invented(steps, rng(2, len(steps)))
    assert max(map(abs, errors_cents(mixed, hear_like(mixed.samples, RATE_HZ)))) < AGREES_CENTS


def test_the_notes_of_a_horn_are_found_through_noise_5_db_under_them() -> None:
    mixed = invented((0, 4, 7), rng(3), 5.0)
    assert max(map(abs, errors_cents(mixed, hear_like(mixed.samples, RATE_HZ)))) < AGREES_CENTS


@pytest.mark.parametrize("noise_rms", [0.01, 0.2, 0.35])
def test_the_share_of_tones_is_told(noise_rms) -> None:
    tones = pure((440.0, 0.2), (550.0, 0.2), (700.0, 0.2), length_s=3.0)
    reading = hear_like(tones + rng(8).normal(size=len(tones)) * noise_rms, RATE_HZ)
    in_band = noise_rms**2 * (9000.0 - 150.0) / (RATE_HZ / 2.0)  # derived: white noise is even over all frequencies
    assert reading.tone_share == pytest.approx(0.06 / (0.06 + in_band), abs=0.02)
    assert reading.is_noisy == (noise_rms > 0.1)


def test_one_note_with_many_lines_is_one_note() -> None:
    for number in range(4):
        assert len(hear_like(invented((0,), rng(4, number)).samples, RATE_HZ).notes) == 1


def test_pure_sines_a_fifth_apart_are_two_sure_notes() -> None:
    reading = hear_like(pure((440.0, 0.2), (660.0, 0.2)), RATE_HZ)
    assert [note.frequency_hz for note in reading.notes] == pytest.approx([440.0, 660.0], abs=0.01)
    assert reading.is_sure
    assert not reading.is_clipped


def test_an_octave_that_does_not_turn_with_the_lower_note_is_a_note() -> None:
    reading = hear_like(pure((440.0, 0.2), (883.0, 0.2)), RATE_HZ)
    assert [round(note.frequency_hz) for note in reading.notes] == [440, 883]
    assert reading.notes[1].doubts == (Doubt.MULTIPLE,)


def test_an_octave_that_turns_with_the_lower_note_is_its_line_and_might_hide_one() -> None:
    reading = hear_like(pure((440.0, 0.2), (880.0, 0.2)), RATE_HZ)
    assert [round(note.frequency_hz) for note in reading.notes] == [440]
    assert [(one.note, one.number) for one in reading.hidden] == [(0, 2)]
    assert not reading.is_sure


def test_a_line_near_a_high_multiple_and_far_from_it_in_hertz_is_a_note() -> None:
    reading = hear_like(pure((640.0, 0.2), (2603.0, 0.1)), RATE_HZ)  # 29 cents and 43 Hz over four times
    assert [round(note.frequency_hz) for note in reading.notes] == [640, 2603]


def test_two_notes_too_near_to_tell_are_one_doubtful_note() -> None:
    reading = hear_like(pure((500.0, 0.2), (508.0, 0.18), (750.0, 0.2)), RATE_HZ)
    assert len(reading.notes) == 2
    assert {Doubt.TOO_NEAR, Doubt.SWELLS} & {*reading.notes[0].doubts}
    assert reading.notes[0].standard_error_cents > 3.0
    assert not reading.is_sure


def test_a_faint_note_is_doubtful_and_a_trace_is_none() -> None:
    reading = hear_like(pure((440.0, 0.3), (550.0, 0.3 * 10 ** (-18 / 20)), (690.0, 0.3 * 10 ** (-28 / 20))), RATE_HZ)
    assert [round(note.frequency_hz) for note in reading.notes] == [440, 550]
    assert Doubt.FAINT in reading.notes[1].doubts
    assert reading.notes[1].level_db == pytest.approx(-18.0, abs=0.1)


def test_a_clipped_recording_is_said_to_be() -> None:
    loud = np.clip(5.0 * pure((440.0, 0.3), (587.0, 0.3)), -1.0, 1.0).astype(np.float32)
    assert hear_like(loud, RATE_HZ).is_clipped


# ---- which stretch -------------------------------------------------------------------------------------------------
def test_the_longest_steady_stretch_is_taken() -> None:
    short, long = pure((500.0, 0.2), (700.0, 0.2), length_s=0.7), pure((400.0, 0.2), (600.0, 0.2), length_s=1.6)
    found = steady_stretch(np.concatenate([short, long]), RATE_HZ)
    assert found is not None
    assert 0.65 < found[0] / RATE_HZ < 0.9
    assert 2.0 < found[1] / RATE_HZ <= 2.3
    reading = hear_like(np.concatenate([short, long]), RATE_HZ)
    assert [round(note.frequency_hz) for note in reading.notes] == [400, 600]


def test_hum_before_the_chord_is_not_the_chord_however_long_it_lasts() -> None:
    hum, chord = pure((150.0, 0.002), length_s=4.0), pure((400.0, 0.2), (500.0, 0.2), length_s=1.0)
    assert [round(note.frequency_hz) for note in hear_like(np.concatenate([hum, chord]), RATE_HZ).notes] == [400, 500]


# ---- refusals ------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("name", "clue"), [
    ("noise", "No steady chord"), ("breath in four bores", "no clear tone"), ("a glide", "does it glide"),
    ("a tune of short notes", "nothing stands still"), ("a quiet room", "No steady chord"),
    ("no sound at all", "No steady chord"), ("seven notes", "7 notes stand in it"),
])
def test_what_is_no_chord_is_refused_in_one_sentence(name, clue) -> None:
    for number in range(3):
        with pytest.raises(NoSolutionError, match=clue):
            hear_like(REFUSED[name](rng(5, number)), RATE_HZ)


def test_a_chord_far_under_noise_is_refused() -> None:
    with pytest.raises(NoSolutionError, match=r"too noisy|No steady chord"):
        hear_like(invented((0, 4, 7), rng(6), -10.0).samples, RATE_HZ)


@pytest.mark.parametrize(("samples", "rate_hz"), [(np.zeros(100), 4000), (np.zeros(8000 * 301), 8000)])
def test_what_is_out_of_range_is_refused(samples, rate_hz) -> None:
    with pytest.raises(OutOfRangeError):
        hear_like(samples, rate_hz)


@pytest.mark.parametrize("n_samples", [0, 1, 700, 5000])
def test_too_little_sound_is_no_chord(n_samples) -> None:
    with pytest.raises(NoSolutionError):
        hear_like(rng(7).normal(size=n_samples), RATE_HZ)
