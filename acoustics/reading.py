"""One whole blow read: find it in the sound, find its steady part, measure the pitch, judge what it was."""
from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from acoustics.attack import chirps_first
from acoustics.breath_noise import Breath, breath_of
from acoustics.errors import require_between
from acoustics.heard import Blow, Context, Finding, Samples, Verdict
from acoustics.judge import findings_of, verdict_of
from acoustics.pitch import Tone, measure
from acoustics.segment import Shape, find_shape
from acoustics.signs import toneless

LOWEST_RATE_HZ, HIGHEST_RATE_HZ = 8000, 192_000
CROWDED_SHARE = 0.35  # of samples within 5 % of the peak: a sine has 0.2
CLEAR_TONE_DB = -10.0  # breath over the tone; more would be taken for a line that speaks first
CLIPPED_SHARE = 0.004  # of samples that repeat the one before at the very peak: far above chance for any tone


def read(samples: Samples, context: Context) -> Blow:
    """Read one whole blow.

    Parameters
    ----------
    samples : mono, full scale 1.0; best with a little of the quiet before and after
    context : sample rate, and what is known before the blow

    Returns
    -------
    The blow, times counted from the first sample. Sound without a tone is a blow too, with its verdict and no pitch.

    Raises
    ------
    OutOfRangeError : sample rate outside 8000 to 192000 Hz
    """
    rate_hz = context.sample_rate_hz
    require_rate(rate_hz)
    shape = find_shape(samples, rate_hz, context.noise_power)
    steady = None if shape is None else samples[shape.steady[0] : shape.steady[1]].astype(np.float64)
    tone = None if shape is None or steady is None else _measure_strongest(steady, rate_hz, shape)
    if shape is None or steady is None or tone is None:
        return _toneless(samples, context)
    breath = breath_of(shape, tone, rate_hz)
    peak = float(np.max(np.abs(steady)))
    verdict = Verdict.CLIPPED if clipped(steady, peak) else verdict_of(shape, tone, breath, context.range_hz)
    findings = findings_of(shape, tone, breath, peak, context.range_hz)
    clear = breath.relative_db < CLEAR_TONE_DB
    if clear and chirps_first(samples, rate_hz, tone.frequency_hz, shape.start_s):
        findings = (*findings, Finding.CHIRPS_FIRST)
    return _blow(shape, tone, breath, verdict, findings)


def require_rate(sample_rate_hz: int) -> None:
    """Refuse a sample rate that cannot carry a whistle's lines, or that no sound card has."""
    hint = "Below 8000 Hz the upper lines of a whistle are missing."
    require_between("sample rate in Hz", sample_rate_hz, LOWEST_RATE_HZ, HIGHEST_RATE_HZ, hint)


def _measure_strongest(samples: NDArray[np.float64], sample_rate_hz: int, shape: Shape) -> Tone | None:
    if not shape.lines:
        return None
    others_hz = [line.frequency_hz for line in shape.lines[1:]]
    return measure(samples, sample_rate_hz, shape.lines[0].frequency_hz, others_hz, shape.floor)


def clipped(samples: NDArray[np.float64], peak: float) -> bool:
    """Whether the tops are cut flat: samples repeat their neighbour at the very peak, or crowd beneath it."""
    if peak < 0.5:
        return False
    size = np.abs(samples)
    flat = (size[1:] >= 0.985 * peak) & (samples[1:] == samples[:-1])
    return bool(np.mean(flat) > CLIPPED_SHARE or np.mean(size > 0.95 * peak) > CROWDED_SHARE)


def _blow(shape: Shape, tone: Tone, breath: Breath, verdict: Verdict, findings: tuple[Finding, ...]) -> Blow:
    usable = verdict in (Verdict.STEADY, Verdict.BREATHY) and not toneless(tone)
    return Blow(
        start_s=shape.sound_start_s,
        end_s=shape.end_s,
        verdict=verdict,
        usable=usable,
        frequency_hz=tone.frequency_hz if usable else None,
        heard_hz=None if toneless(tone) else tone.frequency_hz,
        standard_error_cents=tone.standard_error_cents if usable else None,
        spread_cents=tone.spread_cents,
        level_dbfs=10.0 * float(np.log10(max(sum(tone.line_power), 1e-30))),
        breath_db=breath.relative_db,
        attack_ms=1000.0 * shape.attack_s,
        findings=findings,
    )


def _toneless(samples: Samples, context: Context) -> Blow:
    """What to say of sound in which no line stood out."""
    level = float(np.mean(np.square(samples, dtype=np.float64))) if len(samples) else 0.0
    return Blow(
        start_s=0.0,
        end_s=len(samples) / context.sample_rate_hz,
        verdict=Verdict.NOT_A_WHISTLE,
        usable=False,
        frequency_hz=None,
        heard_hz=None,
        standard_error_cents=None,
        spread_cents=None,
        level_dbfs=10.0 * float(np.log10(max(level, 1e-30))),
        breath_db=None,
        attack_ms=None,
    )
