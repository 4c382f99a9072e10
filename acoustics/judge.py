"""From what was measured of a blow to a verdict: whether it is a whistle, and what kind of blow.

A bare steady line is no evidence of a whistle. What speaks for one is gathered in `evidence`: breath noise that comes
with the tone, odd lines over even ones, a beginning out of quiet, a level that holds.
"""
from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from acoustics.heard import Finding, Verdict
from acoustics.pitch import HIGHEST_HZ, LOWEST_HZ, PRESENT, Tone
from acoustics.segment import Shape
from acoustics.spectrum import HOP_S, Array, lines_of, local_level

SHORTEST_S = 0.3
HUM_CONTRAST, HUM_SHARE = 12.0, 1e-4  # power ratios: over the room beside it; of the tone
NOISE_FLUTTER = 0.5  # of a line's power; noise has 1, a tone hardly any
ENOUGH = 2.0  # points of evidence
ENOUGH_TO_WARN = 0.5  # where a twelfth or octave up is to be expected, a warning needs less than a reading
LOOSE_CENTS = 20.0  # a wider spread is unsteady
LOOSE_ERROR_CENTS = 5.0  # a mean less sure than this is no reading
BREATH_RISE_DB = 3.0
LEAST_BREATH_DB = -45.0  # no blown tone has less noise about it; judgement, no source
FALL_DB, FALL_DB_PER_S = 3.5, 10.0  # a struck or plucked thing falls by more, and faster
LONG_S = 2.8  # no breath is without a waver for so long
MAINS_STRAY = 0.001
BREATH_SPREAD_CENTS, BREATH_LEVEL_DB = 0.3, 0.12  # no breath wavers less
TWELFTH_CENTS = (1840.0, 2080.0)  # 3 f, up to 90 cents sharper in a short chamber (the second resonance)
OCTAVE_CENTS = (1040.0, 1330.0)


@dataclass(frozen=True)
class Breath:
    """The noise that comes with the tone.

    relative_db : to the tone, the room's noise taken off
    rise_db : of all noise over the floor; None when no floor is known
    audible_db : of all noise to the tone: breath above this would have been heard
    """

    relative_db: float
    rise_db: float | None
    audible_db: float


def breath_of(shape: Shape, tone: Tone, sample_rate_hz: int) -> Breath:
    """Broadband noise between the lines of the tone, from 300 Hz to 8 kHz."""
    bin_hz = shape.bin_hz
    frequency_hz = np.arange(len(shape.body)) * bin_hz
    off = np.abs(frequency_hz / tone.frequency_hz - np.round(frequency_hz / tone.frequency_hz)) * tone.frequency_hz
    top_hz = min(8000.0, 0.45 * sample_rate_hz)
    between = (off > min(100.0, 0.3 * tone.frequency_hz)) & (frequency_hz > 300.0) & (frequency_hz < top_hz)
    if not np.any(between):
        return Breath(-99.0, None, -99.0)
    body = float(np.median(shape.body[between]))
    floor = None if shape.floor is None else float(np.median(shape.floor[between]))
    own = body - (floor or 0.0)
    power = max(own, 0.01 * body) * (top_hz - 300.0)
    tone_power = max(sum(tone.line_power), 1e-300)
    rise_db = None if floor is None else 10.0 * float(np.log10(max(body, 1e-300) / max(floor, 1e-300)))
    audible = max(body, 1e-300) * (top_hz - 300.0) / tone_power
    return Breath(10.0 * float(np.log10(power / tone_power)), rise_db, 10.0 * float(np.log10(audible)))


def evidence(shape: Shape, tone: Tone, breath: Breath) -> float:
    """Points for a blown whistle; `ENOUGH` or more is one."""
    points = 1.0 if shape.heard_before else 0.0 if shape.heard_after else -1.0
    if breath.rise_db is not None:
        points += min(2.0, max(0.0, (breath.rise_db - 0.3) / 1.25))
        points -= 1.0 if breath.rise_db < 0.5 and breath.audible_db < LEAST_BREATH_DB else 0.0
    points += _odd_points(tone)
    points += _hold_points(shape.level_track)
    machine_like = _on_mains(tone.frequency_hz) or shape.end_s - shape.start_s > LONG_S
    if machine_like and _unwavering(shape.level_track, tone):
        points -= 1.0
    if toneless(tone):
        points -= 3.0
    return points


def _unwavering(level_track: Array, tone: Tone) -> bool:
    """Whether level and pitch hold better than any breath does."""
    if len(level_track) < 60 or (tone.spread_cents or 0.0) > BREATH_SPREAD_CENTS:
        return False
    level_db = 10.0 * np.log10(level_track[20:-20] + 1e-300)
    smooth = np.convolve(level_db, np.ones(12) / 12.0, mode="valid")
    return float(np.std(smooth)) < BREATH_LEVEL_DB


def _on_mains(frequency_hz: float) -> bool:
    """Whether a multiple of 50 or 60 Hz lies within what the mains may stray."""
    numbers = (frequency_hz / 50.0, frequency_hz / 60.0)
    return any(abs(number / round(number) - 1.0) < MAINS_STRAY for number in numbers)


def line_db(tone: Tone) -> Array:
    """Lines 1 to 8 relative to the strongest; -99 where none stands out."""
    strongest = max(tone.line_power)
    lines = np.full(8, -99.0)
    for i, (power, contrast) in enumerate(zip(tone.line_power[:8], tone.line_contrast[:8], strict=True)):
        if contrast > PRESENT and power > 0.0:
            lines[i] = max(-99.0, 10.0 * float(np.log10(power / strongest)))
    return lines


def _odd_points(tone: Tone) -> float:
    """A stopped pipe favours odd lines; strings, voices and reeds do not."""
    lines = line_db(tone)
    third, even = float(lines[2]), float(np.max(lines[1::2]))
    if even > -8.0 or float(np.max(lines[3::2])) > -13.0:
        return -3.0
    if even > -11.0 and lines[0] == 0.0:
        return -1.5
    return 0.0 if third < -45.0 or third < even else 1.5 if third > even + 2.0 else 1.0


def _hold_points(level_track: Array) -> float:
    """A blow holds its level; a struck or plucked thing falls from its start."""
    if len(level_track) < 20:
        return 0.0
    level_db = 10.0 * np.log10(level_track + 1e-300)
    third = len(level_db) // 3
    fall_db = float(np.median(level_db[:third]) - np.median(level_db[-third:]))
    return -2.0 if fall_db > FALL_DB and fall_db > FALL_DB_PER_S * 2.0 * third * HOP_S else 0.0


def misread(heard_hz: float, range_hz: tuple[float, float] | None) -> Verdict | None:
    """Overblown or an open neighbour, by where the note lies above the range it should lie in."""
    if range_hz is None or range_hz[0] <= heard_hz <= range_hz[1]:
        return None
    below_cents = [1200.0 * float(np.log2(heard_hz / edge_hz)) for edge_hz in range_hz]
    for verdict, (low, high) in ((Verdict.OVERBLOWN, TWELFTH_CENTS), (Verdict.OPEN_NEIGHBOUR, OCTAVE_CENTS)):
        if below_cents[1] <= high and below_cents[0] >= low:
            return verdict
    return None


def verdict_of(shape: Shape, tone: Tone, breath: Breath, range_hz: tuple[float, float] | None) -> Verdict:
    """One verdict, the gravest first."""
    wrong = misread(tone.heard_hz, range_hz) if tone.heard_hz == tone.frequency_hz else None
    if evidence(shape, tone, breath) < (ENOUGH if wrong is None else ENOUGH_TO_WARN):
        if toneless(tone) and (breath.rise_db or 0.0) > BREATH_RISE_DB and _hold_points(shape.level_track) == 0.0:
            return Verdict.BREATHY
        return Verdict.HUM if _is_hum(shape, tone, breath) else Verdict.NOT_A_WHISTLE
    others = other_lines(shape, tone)
    if shape.end_s - shape.start_s < SHORTEST_S:
        return Verdict.NOT_A_WHISTLE if others else Verdict.TOO_SHORT
    if (tone.spread_cents or 0.0) > LOOSE_CENTS:
        return Verdict.UNSTEADY
    if others:
        return Verdict.SEVERAL
    if wrong is not None:
        return wrong
    if tone.standard_error_cents > LOOSE_ERROR_CENTS:
        return Verdict.UNSTEADY
    return Verdict.BREATHY if breath.relative_db > -6.0 else Verdict.STEADY


def toneless(tone: Tone) -> bool:
    """Whether the line is only a heap of noise at a resonance: breath that found no note."""
    return tone.flutter > NOISE_FLUTTER


def _is_hum(shape: Shape, tone: Tone, breath: Breath) -> bool:
    """A line that stands still, with no breath about it."""
    still = tone.spread_cents is not None and tone.spread_cents < 3.0 and not toneless(tone)
    return still and (breath.rise_db or 0.0) < 1.0 and _hold_points(shape.level_track) == 0.0


def other_lines(shape: Shape, tone: Tone) -> list[float]:
    """Strong lines that are none of the tone's own."""
    strongest = shape.lines[0].power if shape.lines else 0.0
    others = []
    for line in shape.lines:
        number = line.frequency_hz / tone.frequency_hz
        off_hz = abs(number - round(number)) * tone.frequency_hz
        if line.power > 0.03 * strongest and (off_hz > 25.0 + 0.01 * line.frequency_hz or number < 0.7):
            others.append(line.frequency_hz)
    return others


def _hum_before(shape: Shape, tone_power: float) -> bool:
    """Whether a machine's line, not far under the tone, lay in the range of notes before the blow."""
    if shape.floor is None:
        return False
    bin_hz = shape.bin_hz
    lines = lines_of(shape.floor, local_level(shape.floor, 6), bin_hz, LOWEST_HZ, HIGHEST_HZ, HUM_CONTRAST)
    return bool(lines) and lines[0].power > HUM_SHARE * tone_power


def findings_of(
    shape: Shape, tone: Tone, breath: Breath, peak: float, range_hz: tuple[float, float] | None
) -> tuple[Finding, ...]:
    """Everything worth saying beside the verdict."""
    level_dbfs = 10.0 * np.log10(max(sum(tone.line_power), 1e-30))
    low_hz, high_hz = range_hz or (LOWEST_HZ, HIGHEST_HZ)
    strongest = max(tone.line_power)
    told = {
        Finding.SLOW_TO_SPEAK: shape.attack_s > 0.15,
        Finding.HISSY: breath.relative_db > -14.0,
        Finding.WAVERS: (tone.spread_cents or 0.0) > 8.0,
        Finding.DRIFTS: abs(tone.drift_cents) > 8.0,
        Finding.FAINT: level_dbfs < -50.0,
        Finding.NEAR_CLIPPING: peak > 0.9,
        Finding.HUM_BEFORE: _hum_before(shape, sum(tone.line_power)),
        Finding.OUTSIDE_RANGE: not low_hz <= tone.frequency_hz <= high_hz,
        Finding.WEAK_FUNDAMENTAL: tone.line_power[0] < 0.5 * strongest,
    }
    return tuple(finding for finding, holds in told.items() if holds)
