"""One blow read whole: verdicts and findings, on blows made by the bench's own generator (no code of the reader)."""
from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from acoustics.blow import Blow, Context, Finding, Verdict, read
from acoustics.errors import OutOfRangeError
from tests.bench.reading.invented import Pipe, blow, coloured

NEAR = (540.0, 660.0)


def sound(pipe: Pipe, rate_hz: int = 48000, room_dbfs: float = -65.0, seed: int = 1, gap_s: float = 0.5) -> np.ndarray:
    """The blow with a little of the room before and after."""
    rng = np.random.default_rng(seed)
    made, _ = blow(pipe, rate_hz, rng)
    gap = round(gap_s * rate_hz)
    whole = coloured(rng, len(made) + 2 * gap, 0.5) * 10 ** (room_dbfs / 20.0)
    whole[gap : gap + len(made)] += made
    return whole.astype(np.float32)


def heard(pipe: Pipe, range_hz: tuple[float, float] | None = NEAR, **options: float) -> Blow:
    rate_hz = int(options.pop("rate_hz", 48000))
    return read(sound(pipe, rate_hz, **options), Context(rate_hz, range_hz))  # type: ignore[arg-type]


def cents(a_hz: float | None, b_hz: float) -> float:
    assert a_hz is not None
    return 1200.0 * float(np.log2(a_hz / b_hz))


def test_a_steady_blow_is_read_and_timed() -> None:
    found = heard(Pipe(612.3, 1.2))
    assert found.verdict is Verdict.STEADY
    assert found.usable
    assert abs(cents(found.frequency_hz, 612.3)) < 0.05
    assert found.start_s == pytest.approx(0.5, abs=0.04)
    assert found.end_s == pytest.approx(1.7, abs=0.08)
    assert found.level_dbfs == pytest.approx(-20.0, abs=1.0)


@pytest.mark.parametrize("rate_hz", [8000, 11025, 16000, 22050, 44100, 48000, 96000, 192000])
def test_every_sample_rate_reads_the_same_note(rate_hz: int) -> None:
    found = heard(Pipe(612.3, 0.8), rate_hz=rate_hz)
    assert found.usable
    assert abs(cents(found.frequency_hz, 612.3)) < 0.1


@pytest.mark.parametrize("rate_hz", [7999, 192001, 0])
def test_a_sample_rate_outside_the_range_is_refused(rate_hz: int) -> None:
    with pytest.raises(OutOfRangeError, match="sample rate"):
        read(np.zeros(1000, dtype=np.float32), Context(rate_hz))


def test_a_note_outside_its_range_is_told_and_not_forced_into_it() -> None:
    found = heard(Pipe(760.0, 0.8))
    assert found.usable
    assert Finding.OUTSIDE_RANGE in found.findings
    assert abs(cents(found.frequency_hz, 760.0)) < 0.1


@pytest.mark.parametrize("sharp_cents", [0.0, 40.0, 90.0])
def test_a_twelfth_above_the_range_is_overblown_and_gives_no_note(sharp_cents: float) -> None:
    found = heard(Pipe(1800.0 * 2 ** (sharp_cents / 1200.0), 0.8, line_db=(0.0, -20.0, -20.0)))
    assert found.verdict is Verdict.OVERBLOWN
    assert found.frequency_hz is None
    assert found.heard_hz is not None


def test_an_octave_above_the_range_is_an_open_neighbour() -> None:
    found = heard(Pipe(1190.0, 0.8, line_db=(0.0, -12.0, -20.0)))
    assert found.verdict is Verdict.OPEN_NEIGHBOUR
    assert not found.usable


@pytest.mark.parametrize("under_db", [4.0, 10.0, 18.0])
def test_a_weak_fundamental_is_no_overblow(under_db: float) -> None:
    found = heard(Pipe(600.0, 1.0, line_db=(-under_db, -30.0, 0.0, -35.0, -15.0)))
    assert found.usable
    assert Finding.WEAK_FUNDAMENTAL in found.findings
    assert abs(cents(found.frequency_hz, 600.0)) < 0.1


def test_heavy_breath_is_breathy_and_still_read() -> None:
    found = heard(Pipe(600.0, 1.0, breath_db=2.0))
    assert found.verdict is Verdict.BREATHY
    assert abs(cents(found.frequency_hz, 600.0)) < 3.0


def test_a_wildly_wandering_blow_is_unsteady() -> None:
    found = heard(Pipe(600.0, 1.5, wander_cents=(35.0, 10.0)))
    assert found.verdict is Verdict.UNSTEADY
    assert found.frequency_hz is None


def test_a_quarter_second_is_too_short() -> None:
    assert heard(Pipe(600.0, 0.25)).verdict is Verdict.TOO_SHORT


def test_cut_tops_are_clipped() -> None:
    loud = np.clip(sound(Pipe(600.0, 0.8, tone_dbfs=3.0)), -1.0, 1.0)
    assert read(loud, Context(48000, NEAR)).verdict is Verdict.CLIPPED


def test_two_chambers_at_once_are_several() -> None:
    both = sound(Pipe(600.0, 1.0)) + sound(Pipe(752.0, 1.0), seed=2)
    assert read(both, Context(48000, NEAR)).verdict is Verdict.SEVERAL


def test_a_bare_steady_line_is_hum() -> None:
    t = np.arange(96000) / 48000
    hum = 0.1 * np.sin(2 * np.pi * 600.0 * t) + coloured(np.random.default_rng(1), 96000, 0.5) * 1e-3
    found = read(hum.astype(np.float32), Context(48000, NEAR))
    assert found.verdict is Verdict.HUM
    assert not found.usable


def test_a_plucked_string_is_no_whistle() -> None:
    t = np.arange(48000) / 48000
    string = sum(np.sin(2 * np.pi * 600.0 * k * t) / k for k in range(1, 9)) * np.exp(-t / 0.3) * 0.2
    padded = np.concatenate([np.zeros(24000), string]) + np.random.default_rng(1).normal(size=72000) * 1e-4
    assert read(padded.astype(np.float32), Context(48000, NEAR)).verdict is Verdict.NOT_A_WHISTLE


@pytest.mark.parametrize("n_samples", [0, 10, 1000, 48000])
def test_silence_of_any_length_is_no_whistle(n_samples: int) -> None:
    found = read(np.zeros(n_samples, dtype=np.float32), Context(48000))
    assert found.verdict is Verdict.NOT_A_WHISTLE
    assert found.heard_hz is None


def test_more_breath_gives_a_higher_breath_figure() -> None:
    clean, hissy = heard(Pipe(600.0, 0.8, breath_db=-30.0)), heard(Pipe(600.0, 0.8, breath_db=-5.0))
    assert clean.breath_db is not None
    assert hissy.breath_db is not None
    assert hissy.breath_db > clean.breath_db + 10.0
    assert Finding.HISSY in hissy.findings
    assert Finding.HISSY not in clean.findings


def test_a_wavering_and_a_drifting_blow_say_so() -> None:
    assert Finding.WAVERS in heard(Pipe(600.0, 1.5, wander_cents=(11.0, 0.0))).findings
    assert Finding.DRIFTS in heard(Pipe(600.0, 1.5, drift_cents=20.0)).findings


@pytest.mark.parametrize("frequency_hz", [420.0, 612.3, 1100.0])
def test_a_twelfth_that_speaks_before_the_fundamental_is_a_chirp(frequency_hz: float) -> None:
    pipe = Pipe(frequency_hz, 1.0, breath_db=-25.0, attack_s=0.010)
    assert Finding.CHIRPS_FIRST in heard(replace(pipe, chirp=True)).findings
    assert Finding.CHIRPS_FIRST not in heard(pipe).findings


def test_heavy_breath_is_no_chirp() -> None:
    assert Finding.CHIRPS_FIRST not in heard(Pipe(600.0, 1.0, breath_db=2.0)).findings


def test_a_blow_on_a_multiple_of_the_mains_is_still_a_whistle() -> None:
    for frequency_hz in (600.0, 700.0, 960.0):
        assert heard(Pipe(frequency_hz, 0.9, breath_db=-30.0)).usable


@pytest.mark.parametrize("frequency_hz", [587.8, 1040.0])
def test_a_beeper_with_a_pipes_odd_lines_is_no_whistle(frequency_hz: float) -> None:
    t = np.arange(24000) / 48000
    edge = np.minimum(1.0, np.minimum(t, 0.5 - t) / 0.004)
    beep = sum(np.sin(2 * np.pi * k * frequency_hz * t) / k for k in (1, 3, 5)) * edge * 0.05
    whole = coloured(np.random.default_rng(6), 72000, 0.5) * 1e-3
    whole[24000:48000] += beep
    assert not read(whole.astype(np.float32), Context(48000)).usable


def test_a_line_that_swells_out_of_its_own_noise_is_no_whistle() -> None:
    # a fan whose blades beat: the noise stays, the line comes and goes
    rng, t = np.random.default_rng(7), np.arange(144000) / 48000
    swell = np.clip(np.sin(2 * np.pi * 0.8 * (t - 1.0)), 0.0, 1.0) * (t > 1.0)
    whole = coloured(rng, len(t), 0.5) * np.where(t > 0.4, 0.03, 0.001) + 0.1 * np.sin(2 * np.pi * 535.0 * t) * swell
    floor = np.full(961, 1e-6 / 24000)
    assert not read(whole.astype(np.float32), Context(48000, noise_power=floor)).usable


def test_hum_under_a_blow_is_remarked_and_read_through() -> None:
    samples = sound(Pipe(612.3, 1.0))
    t = np.arange(len(samples)) / 48000
    found = read((samples + 0.02 * np.sin(2 * np.pi * 400.0 * t)).astype(np.float32), Context(48000, NEAR))
    assert Finding.HUM_BEFORE in found.findings
    assert abs(cents(found.frequency_hz, 612.3)) < 0.1
    assert Finding.HUM_BEFORE not in heard(Pipe(612.3, 1.0)).findings


def test_reading_leaves_the_samples_as_they_were() -> None:
    samples = sound(Pipe(600.0, 0.6))
    before = samples.copy()
    read(samples, Context(48000))
    assert np.array_equal(samples, before)
