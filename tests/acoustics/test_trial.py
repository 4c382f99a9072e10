"""The trial blow judged on invented sounds whose treatment is known exactly: it was applied here, by hand.

Real suppressors are met in `tests/microphone/test_system_suppressor.py`; that systems also gate and narrow a voice is
common practice, no source. The edges of speech bands: half the sample rates of ITU-T G.711 (8 kHz) and G.722 (16 kHz).
"""
import numpy as np
import pytest

from acoustics.errors import OutOfRangeError
from acoustics.trial import TrialVerdict, judge_trial

RATE_HZ = 48000
NOTE_S = 3.6
ROOM_S = 0.6


def blow(
    frequency_hz=620.0, level_db=0.0, bend_cents=0.0, rate_hz=RATE_HZ, tone_peak=0.2, room=1e-4, breath=4e-3, seed=1,
    note_s=NOTE_S,
):
    """Room, note, room. `level_db` and `bend_cents` may be arrays over the note, one value a sample."""
    rng = np.random.default_rng(seed)
    n = round(note_s * rate_hz)
    t_s = np.arange(n) / rate_hz
    gain = 10.0 ** (np.broadcast_to(level_db, n) / 20.0) * np.minimum(1.0, np.minimum(t_s, t_s[::-1]) / 0.03)
    phase = 2.0 * np.pi * np.cumsum(frequency_hz * 2.0 ** (np.broadcast_to(bend_cents, n) / 1200.0)) / rate_hz
    note = tone_peak * (np.sin(phase) + 0.2 * np.sin(3.0 * phase)) + breath * rng.standard_normal(n)
    quiet = np.zeros(round(ROOM_S * rate_hz))
    sound = np.concatenate([quiet, gain * note, quiet])
    return (sound + room * rng.standard_normal(len(sound))).astype(np.float32)


def ramp(end, rate_hz=RATE_HZ, over_s=1.5, start_s=0.3):
    t_s = np.arange(round(NOTE_S * rate_hz)) / rate_hz
    return end * np.clip((t_s - start_s) / over_s, 0.0, 1.0)


def band_limited(sound, limit_hz, rate_hz=RATE_HZ):
    spectrum = np.fft.rfft(sound)
    frequency_hz = np.fft.rfftfreq(len(sound), 1.0 / rate_hz)
    spectrum[frequency_hz > limit_hz] *= 1e-4
    return np.fft.irfft(spectrum, len(sound)).astype(np.float32)


@pytest.mark.parametrize("rate_hz", [22050, 44100, 48000, 96000])
@pytest.mark.parametrize("frequency_hz", [220.0, 620.0, 1500.0, 2500.0])
def test_steady_note_is_good(frequency_hz, rate_hz):
    finding = judge_trial(blow(frequency_hz, rate_hz=rate_hz), rate_hz)
    assert (finding.verdict, finding.others) == (TrialVerdict.GOOD, ())
    assert finding.heard_hz == pytest.approx(frequency_hz, rel=1e-3)
    # By hand: peak 0.2 is 20 log10(0.2/sqrt 2) = -16.99 dBFS.
    assert finding.level_dbfs == pytest.approx(-16.99, abs=0.3)
    # By hand: noise of standard deviation 1e-4 is -80 dBFS.
    assert finding.floor_dbfs == pytest.approx(-80.0, abs=1.0)


@pytest.mark.parametrize("fall_db", [-12.0, -20.0, -60.0])
def test_note_that_fades_at_steady_pitch_was_turned_down(fall_db):
    finding = judge_trial(blow(level_db=ramp(fall_db)), RATE_HZ)
    assert finding.verdict is TrialVerdict.TURNED_DOWN
    assert finding.level_change_db < -6.0
    assert abs(finding.pitch_change_cents) < 2.0


def test_note_that_swells_at_steady_pitch_was_turned_up():
    finding = judge_trial(blow(level_db=ramp(12.0), tone_peak=0.05), RATE_HZ)
    assert finding.verdict is TrialVerdict.TURNED_UP


def test_breath_that_fails_moves_the_pitch_and_is_not_blamed_on_the_system():
    finding = judge_trial(blow(level_db=ramp(-12.0), bend_cents=ramp(-48.0)), RATE_HZ)  # 4 cents a decibel
    assert finding.verdict is TrialVerdict.UNSTEADY
    assert TrialVerdict.TURNED_DOWN not in finding.others
    assert finding.pitch_change_cents < -20.0


def test_breath_varying_by_three_decibels_is_good():
    wave_db = 1.5 * np.sin(2.0 * np.pi * np.arange(round(NOTE_S * RATE_HZ)) / RATE_HZ / 1.7)
    assert judge_trial(blow(level_db=wave_db, bend_cents=4.0 * wave_db), RATE_HZ).verdict is TrialVerdict.GOOD


def test_holes_within_the_note_are_a_gate():
    gate_db = np.zeros(round(NOTE_S * RATE_HZ))
    for start_s in (0.9, 1.6):
        gate_db[round(start_s * RATE_HZ) : round((start_s + 0.12) * RATE_HZ)] = -80.0
    assert judge_trial(blow(level_db=gate_db), RATE_HZ).verdict is TrialVerdict.GATED


def test_exact_silence_around_the_note_is_a_gate():
    assert judge_trial(blow(room=0.0), RATE_HZ).verdict is TrialVerdict.GATED


def test_quiet_room_with_a_plain_converter_is_no_gate():
    sound = np.round(blow(room=2e-5) * 32768.0) / 32768.0
    assert judge_trial(sound.astype(np.float32), RATE_HZ).verdict is TrialVerdict.GOOD


@pytest.mark.parametrize(("limit_hz", "edge_hz"), [(3600.0, 4000.0), (7200.0, 8000.0)])
def test_noise_that_ends_at_the_edge_of_a_speech_band_is_told(limit_hz, edge_hz):
    finding = judge_trial(band_limited(blow(), limit_hz), RATE_HZ)
    assert finding.verdict is TrialVerdict.NARROW
    assert finding.band_limit_hz == edge_hz


def test_low_sample_rate_is_told_as_its_own_band_limit():
    assert judge_trial(blow(rate_hz=16000), 16000).band_limit_hz == 8000.0


def test_faint_note_is_too_quiet():
    finding = judge_trial(blow(tone_peak=4e-4, breath=1e-5), RATE_HZ)
    assert TrialVerdict.TOO_QUIET in (finding.verdict, *finding.others)


def test_note_buried_in_the_room_is_too_quiet():
    finding = judge_trial(blow(tone_peak=0.02, room=5e-3, breath=1e-4), RATE_HZ)
    assert finding.verdict is TrialVerdict.TOO_QUIET


@pytest.mark.parametrize("frequency_hz", [300.0, 620.0, 1800.0])
def test_crests_cut_flat_are_told_at_full_scale_and_below(frequency_hz):
    loud = blow(frequency_hz, tone_peak=1.6, breath=1e-3)
    assert judge_trial(np.clip(loud, -1.0, 1.0), RATE_HZ).verdict is TrialVerdict.CLIPPED
    assert judge_trial(0.5 * np.clip(loud, -1.0, 1.0), RATE_HZ).verdict is TrialVerdict.CLIPPED


def test_loud_note_with_whole_crests_is_not_called_clipped():
    assert judge_trial(blow(tone_peak=0.78), RATE_HZ).verdict is TrialVerdict.GOOD


@pytest.mark.parametrize("seed", range(5))
def test_breath_without_a_tone_is_no_note(seed):
    assert judge_trial(blow(tone_peak=0.0, breath=0.05, seed=seed), RATE_HZ).verdict is TrialVerdict.NO_NOTE


def test_exact_silence_is_no_note():
    assert judge_trial(np.zeros(RATE_HZ, np.float32), RATE_HZ).verdict is TrialVerdict.NO_NOTE


@pytest.mark.parametrize("note_s", [0.3, 0.6, 1.5, 2.5])
def test_short_note_is_never_called_good(note_s):
    finding = judge_trial(blow(note_s=note_s), RATE_HZ)
    assert finding.verdict is TrialVerdict.TOO_SHORT
    assert finding.note_s == pytest.approx(note_s, abs=0.1)


def test_short_note_still_shows_what_is_wrong_at_once():
    finding = judge_trial(np.clip(blow(tone_peak=1.6, note_s=1.5), -1.0, 1.0), RATE_HZ)
    assert (finding.verdict, finding.others) == (TrialVerdict.CLIPPED, (TrialVerdict.TOO_SHORT,))


def test_good_verdict_holds_for_many_breaths():
    """Falling this on chance would be worse than silence: a maker would search the settings for nothing."""
    rng = np.random.default_rng(5)
    verdicts = [
        judge_trial(blow(rng.uniform(250, 2400), breath=10 ** rng.uniform(-3.5, -1.9), seed=seed), RATE_HZ).verdict
        for seed in range(40)
    ]
    assert verdicts == [TrialVerdict.GOOD] * 40


@pytest.mark.parametrize(("samples", "rate_hz"), [
    (np.zeros(100, np.float32), RATE_HZ), (np.full(RATE_HZ, np.nan, np.float32), RATE_HZ),
    (np.zeros(RATE_HZ, np.float32), 4000),
])
def test_sound_out_of_range_is_refused(samples, rate_hz):
    with pytest.raises(OutOfRangeError):
        judge_trial(samples, rate_hz)
