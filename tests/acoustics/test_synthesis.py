"""Invented blows are what their recipes say, measured with a general library and plain Fourier analysis.

Praat's autocorrelation (through `parselmouth`) is the outside judge of pitch; levels are computed from the samples by
definition. Tolerances are chosen from what the judge itself resolves (praat reads clean tones within about 0.5 cents).
"""
import math

import numpy as np
import parselmouth
import pytest

from acoustics import synthesis
from acoustics.errors import OutOfRangeError
from acoustics.synthesis import BlowRecipe

RATE_HZ = 48_000
CLEAN = BlowRecipe(600.0, breath_db=-45.0, swell_db=0.0, sway_db=0.0, wander_cents=0.0)


def rendered(recipe, seed=1, sample_rate_hz=RATE_HZ):
    return synthesis.render_blow(recipe, sample_rate_hz, np.random.default_rng(seed))


def steady(recipe, samples, sample_rate_hz=RATE_HZ):
    begin_s, end_s = recipe.steady_s()
    return samples[round(begin_s * sample_rate_hz):round(end_s * sample_rate_hz)]


def level_dbfs(samples):
    return 10.0 * math.log10(float(np.mean(np.asarray(samples, dtype=np.float64) ** 2)))


def praat_mean_cents(samples, reference_hz, sample_rate_hz=RATE_HZ):
    sound = parselmouth.Sound(samples.astype(np.float64), sample_rate_hz)
    track_hz = sound.to_pitch_ac(pitch_floor=200.0, pitch_ceiling=3000.0).selected_array["frequency"]
    voiced_hz = track_hz[track_hz > 0.0]
    assert len(voiced_hz) > 20
    return float(np.mean(1200.0 * np.log2(voiced_hz / reference_hz)))


def line_level_db(samples, frequency_hz, sample_rate_hz=RATE_HZ):
    window = np.hanning(len(samples))
    turn = np.exp(-2j * np.pi * frequency_hz * np.arange(len(samples)) / sample_rate_hz)
    return 20.0 * math.log10(abs(np.sum(samples * window * turn)) * 2.0 / np.sum(window))


@pytest.mark.parametrize("frequency_hz", [392.0, 600.0, 1174.7])
def test_praat_hears_the_pitch_of_the_recipe(frequency_hz):
    recipe = BlowRecipe(frequency_hz, breath_db=-30.0, wander_cents=2.0, drift_cents_per_s=6.0, chirp_ms=40.0)
    samples = steady(recipe, rendered(recipe))
    assert praat_mean_cents(samples, frequency_hz) == pytest.approx(0.0, abs=1.0)


def test_drift_upwards_ends_sharper_than_it_began():
    recipe = BlowRecipe(700.0, duration_s=2.0, drift_cents_per_s=20.0, wander_cents=0.0)
    samples = steady(recipe, rendered(recipe))
    half = len(samples) // 2
    early_cents, late_cents = (praat_mean_cents(part, 700.0) for part in (samples[:half], samples[half:]))
    # by hand: halves of a 1.9 s glide of 20 cents a second have means 0.95 s apart
    assert late_cents - early_cents == pytest.approx(19.0, abs=1.5)


def test_the_tone_has_the_level_of_the_recipe():
    recipe = BlowRecipe(600.0, level_dbfs=-17.0, breath_db=-60.0, swell_db=0.0, sway_db=0.0)
    assert level_dbfs(steady(recipe, rendered(recipe))) == pytest.approx(-17.0, abs=0.2)


def test_breath_noise_has_the_stated_power_beside_the_tone():
    loud = BlowRecipe(600.0, duration_s=4.0, level_dbfs=-30.0, breath_db=6.0, swell_db=0.0, sway_db=0.0)
    # by hand: tone 1, noise 10^0.6 = 3.981, so the whole is 10 log10(4.981) = 6.97 dB over the tone
    assert level_dbfs(steady(loud, rendered(loud))) == pytest.approx(-30.0 + 6.97, abs=0.5)


def test_odd_partials_stand_out_as_in_a_stopped_pipe():
    samples = steady(CLEAN, rendered(CLEAN))
    second_db, third_db, fourth_db = (line_level_db(samples, n * 600.0) for n in (2, 3, 4))
    assert third_db > second_db + 6.0
    assert third_db > fourth_db + 6.0


def test_an_overblown_chamber_sounds_a_twelfth_or_more_up_without_its_fundamental():
    recipe = synthesis.overblown(CLEAN)
    samples = steady(recipe, rendered(recipe))
    rise_cents = 1200.0 * math.log2(recipe.frequency_hz / 600.0)
    assert 1902.0 <= rise_cents <= 2060.0  # physics of stopped pipes: never an octave
    assert line_level_db(samples, recipe.frequency_hz) > line_level_db(samples, recipe.frequency_hz / 3.0) + 30.0


def test_breathy_blows_have_more_breath_than_tone():
    recipe = synthesis.breathy(CLEAN)
    samples = steady(recipe, rendered(recipe))
    assert level_dbfs(samples) > recipe.level_dbfs + 3.0


def test_the_same_seed_gives_the_same_samples_and_another_seed_does_not():
    assert np.array_equal(rendered(CLEAN, seed=7), rendered(CLEAN, seed=7))
    assert not np.array_equal(rendered(CLEAN, seed=7), rendered(CLEAN, seed=8))


def test_two_toots_are_two_bursts_with_quiet_between():
    samples = synthesis.two_toots(CLEAN, RATE_HZ, np.random.default_rng(3), toot_s=0.15, gap_s=0.20)
    middle = {name: level_dbfs(samples[round(begin_s * RATE_HZ):round(end_s * RATE_HZ)])
              for name, begin_s, end_s in (("first", 0.08, 0.13), ("gap", 0.26, 0.33), ("second", 0.43, 0.48))}
    assert middle["first"] > middle["gap"] + 30.0
    assert middle["second"] > middle["gap"] + 30.0


def test_an_overdriven_microphone_flattens_the_peaks_at_full_scale():
    samples = synthesis.clipped(rendered(CLEAN))
    assert np.max(np.abs(samples)) == 1.0
    assert np.mean(np.abs(samples) == 1.0) > 0.2


def test_several_chambers_together_all_sound():
    parts = [rendered(BlowRecipe(hz, breath_db=-40.0, wander_cents=0.0), seed=n) for n, hz in enumerate((560.0, 706.0))]
    samples = synthesis.several(parts)[9600:48_000]
    assert line_level_db(samples, 560.0) == pytest.approx(line_level_db(samples, 706.0), abs=3.0)


def test_hum_is_steady_and_of_the_stated_level():
    samples = synthesis.hum(RATE_HZ, RATE_HZ, -40.0, np.random.default_rng(5), fundamental_hz=100.0)
    # whole periods of every line fit into one second, so the definition gives the level exactly
    assert level_dbfs(samples) == pytest.approx(-40.0, abs=0.01)
    assert level_dbfs(samples[:24_000]) == pytest.approx(level_dbfs(samples[24_000:]), abs=0.01)


def test_room_noise_has_the_stated_level_and_falls_towards_high_notes():
    samples = synthesis.room_noise(4 * RATE_HZ, RATE_HZ, -60.0, np.random.default_rng(6))
    power = np.abs(np.fft.rfft(samples)) ** 2
    assert level_dbfs(samples) == pytest.approx(-60.0, abs=0.3)
    assert np.sum(power[400 * 4:800 * 4]) > 2.0 * np.sum(power[8000 * 4:8400 * 4])


def test_a_preview_has_no_chance_in_it():
    first, second = (synthesis.preview_tone(523.25, 0.6, 24_000) for _ in range(2))
    assert np.array_equal(first, second)


@pytest.mark.parametrize("sample_rate_hz", [8000, 44_100, 192_000])
def test_no_partial_folds_back_at_any_sample_rate(sample_rate_hz):
    recipe = BlowRecipe(1500.0, breath_db=-70.0, wander_cents=0.0, sway_db=0.0, swell_db=0.0)
    samples = steady(recipe, rendered(recipe, sample_rate_hz=sample_rate_hz), sample_rate_hz)
    folded_hz = abs(sample_rate_hz - 3 * 1500.0)  # where the third partial would land at 8000 Hz
    if sample_rate_hz == 8000:
        assert line_level_db(samples, folded_hz, sample_rate_hz) < recipe.level_dbfs - 50.0
    assert line_level_db(samples, 1500.0, sample_rate_hz) > recipe.level_dbfs - 3.0


def test_an_attack_in_seconds_is_refused_with_the_likely_mistake():
    with pytest.raises(OutOfRangeError, match="seconds"):
        BlowRecipe(600.0, attack_ms=0.05)


def test_a_sample_rate_below_speech_is_refused():
    with pytest.raises(OutOfRangeError, match="4000"):
        rendered(CLEAN, sample_rate_hz=4000)
