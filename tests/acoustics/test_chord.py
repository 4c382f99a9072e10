"""The chord reader on sums of sines and on invented breath: truth is in the recipe, peers and recordings elsewhere.

Tones are made by numpy alone; `tests/bench/chord` measures many, `tests/published/test_recorded_pipes_in_chords.py`
reads recorded pipes.
"""
from dataclasses import replace

import numpy as np
import pytest

from acoustics.chord import ExpectedVoice, Heard, VoiceReading, beats_of, read_chord, too_near_hz
from acoustics.errors import NoSolutionError, OutOfRangeError
from tests.bench.chord.invented import CHORDS, Case, Chord, blown, drawn

RATE_HZ = 48_000
SEED = 7
MAJOR_SIXTH_HZ = (560.0, 705.56, 839.06, 941.79)


def cents(first_hz, second_hz):
    return 1200.0 * np.log2(first_hz / second_hz)


def tone(frequency_hz, duration_s=1.2, level_db=0.0, lines=((1, 1.0), (2, 0.05), (3, 0.3), (5, 0.1))):
    """A pipe that never wavers: harmonic sines, 30 ms of rise."""
    t = np.arange(round(duration_s * RATE_HZ)) / RATE_HZ
    wave = sum(size * np.sin(2.0 * np.pi * number * frequency_hz * t + number) for number, size in lines)
    return 0.1 * 10 ** (level_db / 20.0) * wave * np.minimum(1.0, t / 0.03)


def in_room(sound, noise=1e-4, before_s=0.5, after_s=0.3):
    rng = np.random.default_rng(SEED)
    heard = rng.normal(size=round((before_s + after_s) * RATE_HZ) + len(sound)) * noise
    begin = round(before_s * RATE_HZ)
    heard[begin:begin + len(sound)] += sound
    return heard.astype(np.float32)


def expected(frequencies_hz, off_cents=0.0, within_cents=100.0):
    return [
        ExpectedVoice(letter, hz * 2.0 ** ((-1) ** at * off_cents / 1200.0), within_cents)
        for at, (letter, hz) in enumerate(zip("ABCDEFGH", frequencies_hz, strict=False))
    ]


def heard_of(reading):
    return [voice.heard for voice in reading.voices]


def assert_reads(case: Case, off_cents: float, within_cents: float) -> None:
    guesses = [case.true_hz(at) for at in range(len(case.planned_hz))]
    reading = read_chord(case.samples, case.rate_hz, expected(guesses, off_cents))
    for at, voice in enumerate(reading.voices):
        assert voice.frequency_hz is not None, voice
        true_hz = case.true_hz(at, reading.start_s, reading.end_s)
        assert abs(cents(voice.frequency_hz, true_hz)) < within_cents, voice


# ---- pitch ---------------------------------------------------------------------------------------------------------
def test_four_steady_tones_are_read_to_a_hundredth_of_a_cent():
    sound = in_room(sum(tone(hz) for hz in MAJOR_SIXTH_HZ))
    reading = read_chord(sound, RATE_HZ, expected(MAJOR_SIXTH_HZ, 60.0))
    for voice, true_hz in zip(reading.voices, MAJOR_SIXTH_HZ, strict=True):
        assert abs(cents(voice.frequency_hz, true_hz)) < 0.01
        assert voice.heard is Heard.HEARD


@pytest.mark.parametrize("name", CHORDS)
def test_chambers_that_wander_each_by_itself_are_read_at_their_mean(name):
    for number in range(2):
        rng = np.random.default_rng([SEED, number])
        assert_reads(blown(drawn(name, rng), rng), off_cents=60.0, within_cents=0.2)


@pytest.mark.parametrize("name", CHORDS)
def test_the_mean_is_over_the_whole_steady_part_as_the_truth_is_stated(name):
    """Truth from 150 ms after the first sound to 100 ms before the last, which the reader is not told."""
    for number in range(2):
        rng = np.random.default_rng([SEED, 7, number])
        case = blown(drawn(name, rng), rng)
        guesses = [case.true_hz(at) for at in range(len(case.planned_hz))]
        for at, voice in enumerate(read_chord(case.samples, case.rate_hz, expected(guesses, 40.0)).voices):
            assert abs(cents(voice.frequency_hz, case.true_hz(at))) < 0.2, voice


def test_guesses_a_semitone_off_change_nothing():
    rng = np.random.default_rng(SEED)
    case = blown(drawn("close cluster", rng), rng)
    assert_reads(case, off_cents=99.0, within_cents=0.2)


def test_a_chord_of_exact_ratios_with_all_lines_shared_is_read():
    just = [500.0 * number / 12.0 for number in (12, 15, 18, 20)]
    reading = read_chord(in_room(sum(tone(hz) for hz in just)), RATE_HZ, expected(just, 50.0))
    assert [voice.frequency_hz for voice in reading.voices] == pytest.approx(just, rel=1e-5)


def test_a_chamber_far_off_its_target_is_told_as_it_sounds_and_not_as_it_should():
    sounding = (560.0, 705.56 * 2.0 ** (70 / 1200.0), 839.06)
    reading = read_chord(in_room(sum(tone(hz) for hz in sounding)), RATE_HZ, expected(MAJOR_SIXTH_HZ[:3]))
    assert cents(reading.voices[1].frequency_hz, 705.56) == pytest.approx(70.0, abs=0.05)


def test_the_order_in_which_chambers_are_asked_for_is_the_order_of_the_answer():
    sound = in_room(sum(tone(hz) for hz in MAJOR_SIXTH_HZ))
    reading = read_chord(sound, RATE_HZ, expected(MAJOR_SIXTH_HZ)[::-1])
    assert [voice.letter for voice in reading.voices] == ["D", "C", "B", "A"]
    assert reading.voices[0].frequency_hz > reading.voices[3].frequency_hz


def test_attack_and_end_are_left_out_of_the_stretch():
    reading = read_chord(in_room(sum(tone(hz) for hz in MAJOR_SIXTH_HZ)), RATE_HZ, expected(MAJOR_SIXTH_HZ))
    assert 0.5 + 0.1 < reading.start_s < 0.75
    assert 1.5 < reading.end_s < 0.5 + 1.2


def test_more_noise_gives_a_larger_standard_error():
    tones = sum(tone(hz) for hz in MAJOR_SIXTH_HZ)
    quiet, loud = (
        read_chord(in_room(tones, noise), RATE_HZ, expected(MAJOR_SIXTH_HZ)).voices[0] for noise in (1e-4, 5e-2)
    )
    assert quiet.standard_error_cents < loud.standard_error_cents


# ---- what is missing, faint, or cannot be told apart -----------------------------------------------------------------
@pytest.mark.parametrize("silent", range(4))
def test_a_silent_chamber_whose_bore_hisses_is_missing_and_the_others_are_heard(silent):
    rng = np.random.default_rng([SEED, silent])
    case = blown(replace(drawn("minor sixth", rng), silent=frozenset({silent})), rng)
    reading = read_chord(case.samples, case.rate_hz, expected(case.planned_hz, 20.0))
    assert [at for at, word in enumerate(heard_of(reading)) if word is Heard.MISSING] == [silent]
    assert reading.voices[silent].frequency_hz is None


def test_a_chamber_20_db_down_is_weak_and_still_read():
    sound = in_room(tone(560.0) + tone(705.56, level_db=-20.0) + tone(839.06))
    voice = read_chord(sound, RATE_HZ, expected(MAJOR_SIXTH_HZ[:3])).voices[1]
    assert voice.heard is Heard.WEAK
    assert voice.level_db == pytest.approx(-20.0, abs=0.3)
    assert abs(cents(voice.frequency_hz, 705.56)) < 0.05


@pytest.mark.parametrize("apart_hz", [1.0, 3.0])
def test_two_chambers_too_near_each_other_are_told_so_and_get_no_pitch(apart_hz):
    sounding = (700.0, 700.0 + apart_hz, 1050.0)
    reading = read_chord(in_room(sum(tone(hz) for hz in sounding)), RATE_HZ, expected(sounding))
    assert heard_of(reading) == [Heard.TOO_NEAR, Heard.TOO_NEAR, Heard.HEARD]
    assert reading.voices[0].frequency_hz is reading.voices[1].frequency_hz is None


def test_two_chambers_25_cents_apart_are_told_apart():
    rng = np.random.default_rng(SEED)
    planned = (640.0, 640.0 * 2.0 ** (25 / 1200.0), 960.0)
    assert_reads(blown(Chord(planned, (0.0, 0.0, 0.0)), rng), off_cents=0.0, within_cents=0.5)


def test_a_short_blow_tells_less_apart():
    assert too_near_hz(0.3) > too_near_hz(1.0) == too_near_hz(3.0)


def test_an_octave_is_read_when_it_sounds_and_missing_when_only_the_lower_chamber_does():
    both = read_chord(in_room(tone(560.0) + tone(1121.0)), RATE_HZ, expected((560.0, 1120.0)))
    assert heard_of(both) == [Heard.HEARD, Heard.HEARD]
    assert abs(cents(both.voices[1].frequency_hz, 1121.0)) < 0.3
    assert heard_of(read_chord(in_room(tone(560.0)), RATE_HZ, expected((560.0, 1120.0))))[1] is Heard.MISSING


@pytest.mark.parametrize("hum_db", [-25.0, -5.0])
def test_a_hum_that_was_there_before_the_blow_is_no_chamber(hum_db):
    sound = in_room(tone(560.0) + tone(839.06))
    t = np.arange(len(sound)) / RATE_HZ
    sound = sound + (0.1 * 10 ** (hum_db / 20.0) * np.sin(2.0 * np.pi * 712.0 * t)).astype(np.float32)
    reading = read_chord(sound, RATE_HZ, expected(MAJOR_SIXTH_HZ[:3]))
    assert heard_of(reading) == [Heard.HEARD, Heard.MISSING, Heard.HEARD]


# ---- beats ---------------------------------------------------------------------------------------------------------
def voices_at(*frequencies_hz):
    return [VoiceReading(letter, hz, 0.1, 0.0, Heard.HEARD) for letter, hz in zip("ABCD", frequencies_hz, strict=False)]


@pytest.mark.parametrize(("upper_hz", "n", "m", "beat_hz"), [
    # Derived by hand: 5 * 523.25113 = 2616.2557, 4 * 659.25511 = 2637.0204, so they beat 20.765 times; and so on.
    (659.25511, 5, 4, 20.765), (783.99087, 3, 2, 1.7716), (880.0, 5, 3, 23.744),
])
def test_beats_of_equal_tempered_intervals_are_those_worked_by_hand(upper_hz, n, m, beat_hz):
    beat, = beats_of(voices_at(523.25113, upper_hz))
    assert (beat.lower, beat.upper, beat.n, beat.m) == ("A", "B", n, m)
    assert beat.beat_hz == pytest.approx(beat_hz, abs=0.001)


def test_a_fifth_that_is_two_cents_wide_says_so():
    beat, = beats_of(voices_at(600.0, 900.0 * 2.0 ** (2 / 1200.0)))
    assert beat.error_cents == pytest.approx(2.0)
    assert beat.beat_hz == pytest.approx(2 * 900.0 * (2.0 ** (2 / 1200.0) - 1.0))


def test_two_semitones_are_near_no_ratio_and_chambers_without_a_pitch_beat_with_none():
    assert beats_of(voices_at(600.0, 673.5)) == ()
    assert beats_of([*voices_at(600.0), VoiceReading("B", None, None, None, Heard.MISSING)]) == ()


# ---- refusals ------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    "sound", [np.zeros(RATE_HZ), np.zeros(100), in_room(tone(600.0, 0.15))], ids=["silence", "too short", "a toot"]
)
def test_what_holds_no_steady_sound_is_refused(sound):
    with pytest.raises(NoSolutionError, match="steadily"):
        read_chord(sound, RATE_HZ, expected(MAJOR_SIXTH_HZ))


@pytest.mark.parametrize(("voices", "complaint"), [
    ([], "number of chambers"), (expected([20.0]), "expected pitch of A"), (expected([600.0], 0.0, 900.0), "reach"),
    (expected([600.0]) * 2, "twice"),
])
def test_expectations_that_make_no_sense_are_refused_with_value_and_limit(voices, complaint):
    with pytest.raises(OutOfRangeError, match=complaint):
        read_chord(in_room(tone(600.0)), RATE_HZ, voices)
