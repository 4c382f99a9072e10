"""From what was measured of a blow to a verdict: whether it is a whistle, and what kind of blow.

What speaks for a whistle is weighed in `acoustics.signs`; here stand the thresholds and what a whistle did wrong.
"""
from __future__ import annotations

import numpy as np

from acoustics.breath_noise import Breath
from acoustics.heard import Finding, Verdict
from acoustics.pitch import HIGHEST_HZ, LOWEST_HZ, Tone
from acoustics.segment import Shape
from acoustics.signs import hold_odds, signs_of, toneless
from acoustics.spectrum import lines_of, local_level

SHORTEST_S = 0.3
HUM_CONTRAST, HUM_SHARE = 12.0, 1e-4  # power ratios: over the room beside it; of the tone
ENOUGH = 2.0  # log odds of a whistle
ENOUGH_TO_WARN = 0.5  # a warning, of a twelfth or octave up, a toot or several notes, needs less than a reading
LOOSE_CENTS = 20.0  # a wider spread is unsteady
LOOSE_ERROR_CENTS = 5.0  # a mean less sure than this is no reading
BREATH_RISE_DB = 3.0
TWELFTH_CENTS = (1840.0, 2080.0)  # 3 f, up to 90 cents sharper in a short chamber (the second resonance)
OCTAVE_CENTS = (1040.0, 1330.0)


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
    short = shape.end_s - shape.start_s < SHORTEST_S
    signs = signs_of(shape, tone, breath, range_hz)
    # a note that is misread lies outside the range, and an open pipe has even lines: neither speaks against it
    odds = signs.total if wrong is None else signs.total - signs.place_log - min(0.0, signs.lines_log)
    others = other_lines(shape, tone)
    if odds < (ENOUGH if wrong is None and not short and not others else ENOUGH_TO_WARN):
        if toneless(tone) and (breath.rise_db or 0.0) > BREATH_RISE_DB and hold_odds(shape.level_track) == 0.0:
            return Verdict.BREATHY
        return Verdict.HUM if _is_hum(shape, tone, breath) else Verdict.NOT_A_WHISTLE
    if short:
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


def _is_hum(shape: Shape, tone: Tone, breath: Breath) -> bool:
    """A line that stands still, with no breath about it."""
    still = tone.spread_cents is not None and tone.spread_cents < 3.0 and not toneless(tone)
    return still and (breath.rise_db or 0.0) < 1.0 and hold_odds(shape.level_track) == 0.0


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
