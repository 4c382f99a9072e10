"""What speaks for a blown whistle and what against: log odds with names, added up.

A bare steady line is no evidence of a whistle. Each term is a natural logarithm of how much more often a blown pipe
gives that sign than anything else that sounds: breath that comes with the tone, a level that wanders as a lung's does,
odd lines over even, a beginning out of quiet. Sizes are judgement, checked by `tests/bench/reading`.
"""
from __future__ import annotations

from dataclasses import astuple, dataclass

import numpy as np

from acoustics.breath_noise import Breath, breath_odds, ridden
from acoustics.pitch import PRESENT, Tone
from acoustics.segment import Shape
from acoustics.spectrum import HOP_S, Array
from acoustics.stillness import wander_odds

NOISE_FLUTTER = 0.5  # of a line's power; noise has 1, a tone hardly any
FLUTTER_ODDS = (0.4, 0.48), (0.0, -3.0)  # a line's flutter, log odds
DEAD_SHARE = 0.7  # of machines stand perfectly still; the others waver as a breath may
ALIVE_CENTS = 0.7  # a pitch that wanders by more is no dead line, though its level be held by a sound card
LIVING_CENTS, LIVING_ODDS = (ALIVE_CENTS, 12.0), 0.6  # a breath's usual wander of pitch
ALIVE = 1.19  # log odds by which a level wanders as no machine on the mains does
MOST_STILL, HELD = -5.0, -1.0  # of a level that stands still; the second where the pitch wanders
EDGE_FRAMES = 3, 4  # of half a frame's step: what is left of attack and release
MAINS_STRAY, MAINS_ODDS = 0.0008, -1.5  # a prior against, no ban: one blown note in twenty lies there by chance
EXPECTED_ODDS, ELSEWHERE_ODDS = 0.8, -0.4  # mild, for a wrong bore must still be told
NO_QUIET_ODDS, LONG_NOISE_ODDS, LEAD_S = -1.35, -2.0, 0.1
FALL_DB, FALL_DB_PER_S = 3.5, 10.0  # a struck or plucked thing falls by more, and faster
QUICK_RISE_S, QUICK_FADE_S, SLOW_S = 0.15, 0.08, 0.08  # a wheel takes longer; each `SLOW_S` more is a point
RISE_ODDS = (0.007, 0.012, 0.016), (-1.4, 0.0, 0.6)  # seconds, log odds; 42 takes of recorded pipes: 11 ms or more
SLOWEST_RISE_S = 0.1  # slower says nothing
LONGEST_BREATH_S = 4.0
WEAK_THIRD_DB, AUDIBLE_THIRD_DB, FAINTEST_THIRD_DB = -30.0, -40.0, -45.0


@dataclass(frozen=True)
class Signs:
    """Natural logarithms of the odds of a blown whistle, term by term."""

    came_log: float
    breath_log: float
    wander_log: float
    lines_log: float
    rise_log: float
    edges_log: float
    length_log: float
    place_log: float
    mains_log: float
    noise_log: float

    @property
    def total(self) -> float:
        """All of it together."""
        return float(sum(astuple(self)))


def signs_of(shape: Shape, tone: Tone, breath: Breath, range_hz: tuple[float, float] | None) -> Signs:
    """Weigh one blow."""
    breath_said, wander_said = breath_odds(breath), _wander(tone)
    lives = 0.0 if tone.spread_cents is None else tone.spread_cents
    still = wander_said < ALIVE and tone.spread_cents is not None and lives < ALIVE_CENTS
    living = shape.quiet_before and LIVING_CENTS[0] < lives < LIVING_CENTS[1]
    trusted = breath_said <= 1.0 and not ridden(breath)  # no switch brings breath; a gain turned down cuts a rise short
    return Signs(
        came_log=_came(shape),
        breath_log=_breath(shape, breath_said),
        wander_log=wander_said + (LIVING_ODDS if living else 0.0),
        lines_log=_lines(tone),
        rise_log=max(_rise(shape.rise_s), -np.inf if trusted else 0.0),
        edges_log=_edges(shape) + hold_odds(shape.level_track),
        length_log=-min(4.0, 2.0 * max(0.0, shape.end_s - shape.start_s - LONGEST_BREATH_S)),
        place_log=_place(tone.frequency_hz, range_hz),
        mains_log=MAINS_ODDS if still and _on_mains(tone.frequency_hz) else 0.0,
        noise_log=float(np.interp(tone.flutter, *FLUTTER_ODDS)),
    )


def _came(shape: Shape) -> float:
    """Out of quiet; or from the very start, or out of noise of its own kind, as a machine's line that swells."""
    if shape.quiet_before:
        return 1.0
    return LONG_NOISE_ODDS if shape.lead_s > LEAD_S else NO_QUIET_ODDS


def _breath(shape: Shape, odds: float) -> float:
    """Noise that was there before the tone is not its breath; where nothing was heard before, half is believed."""
    if shape.quiet_before:
        return odds
    return min(0.0, odds) if shape.heard_before else 0.5 * odds


def _wander(tone: Tone) -> float:
    """A level that stands still speaks against breath, the more the longer and cleaner the tone is."""
    level_db = np.array(tone.level_track_db[::2])
    first, last = EDGE_FRAMES if len(level_db) >= 22 else (0, 0)
    odds = wander_odds(level_db[first : len(level_db) - last], 2.0 * tone.step_s)
    said = -float(np.log(1.0 - DEAD_SHARE + DEAD_SHARE * np.exp(-np.clip(odds, -30.0, 30.0))))
    return max(said, HELD if (tone.spread_cents or 0.0) > ALIVE_CENTS else MOST_STILL)


def line_db(tone: Tone) -> Array:
    """Lines 1 to 8 relative to the strongest; -99 where none stands out."""
    strongest = max(tone.line_power)
    lines = np.full(8, -99.0)
    for i, (power, contrast) in enumerate(zip(tone.line_power[:8], tone.line_contrast[:8], strict=True)):
        if contrast > PRESENT and power > 0.0:
            lines[i] = max(-99.0, 10.0 * float(np.log10(power / strongest)))
    return lines


def _lines(tone: Tone) -> float:
    """A stopped pipe favours odd lines; strings, voices and reeds do not."""
    lines = line_db(tone)
    third, even = float(lines[2]), float(np.max(lines[1::2]))
    if even > -8.0 or float(np.max(lines[3::2])) > -13.0:
        return -3.0
    if lines[1] > max(third + 5.0, -20.0) and lines[3] > -30.0:
        return -4.0  # a full falling series: stick and slip, a reed, a string
    if even > -12.0 and lines[0] == 0.0:
        return -2.2
    if third >= FAINTEST_THIRD_DB and third >= even:
        odd = 1.5 if third > even + 2.0 else 1.0
        return odd * min(1.0, (third - FAINTEST_THIRD_DB) / (WEAK_THIRD_DB - FAINTEST_THIRD_DB))
    sees_db = -10.0 * float(np.log10(max(max(tone.line_contrast), 1.0) / PRESENT))
    bare = len(tone.line_power) > 2 and third < AUDIBLE_THIRD_DB and sees_db < AUDIBLE_THIRD_DB
    return -1.0 if bare else 0.0


def _rise(rise_s: float | None) -> float:
    """A switch or a loudspeaker is there at once; an air column swings up over many periods."""
    if rise_s is None or rise_s > SLOWEST_RISE_S:
        return 0.0
    return float(np.interp(rise_s, *RISE_ODDS))


def _edges(shape: Shape) -> float:
    """A pipe speaks and falls silent at once; a wheel takes its time."""
    late = max(0.0, shape.attack_s - QUICK_RISE_S) / SLOW_S
    lasting = max(0.0, shape.fade_s - QUICK_FADE_S) / SLOW_S
    return -min(5.0, late) - min(2.0, lasting)


def hold_odds(level_track: Array) -> float:
    """A blow holds its level; a struck or plucked thing falls from its start."""
    if len(level_track) < 20:
        return 0.0
    level_db = 10.0 * np.log10(level_track + 1e-300)
    third = len(level_db) // 3
    fall_db = float(np.median(level_db[:third]) - np.median(level_db[-third:]))
    return -2.0 if fall_db > FALL_DB and fall_db > FALL_DB_PER_S * 2.0 * third * HOP_S else 0.0


def _place(frequency_hz: float, range_hz: tuple[float, float] | None) -> float:
    """Nearly every blow lies where its chamber is expected; other tones lie anywhere."""
    if range_hz is None:
        return 0.0
    return EXPECTED_ODDS if range_hz[0] <= frequency_hz <= range_hz[1] else ELSEWHERE_ODDS


def _on_mains(frequency_hz: float) -> bool:
    """Whether a multiple of 50 or 60 Hz lies within what the mains may stray."""
    numbers = (frequency_hz / 50.0, frequency_hz / 60.0)
    return any(abs(number / round(number) - 1.0) < MAINS_STRAY for number in numbers)


def toneless(tone: Tone) -> bool:
    """Whether the line is only a heap of noise at a resonance: breath that found no note."""
    return tone.flutter > NOISE_FLUTTER
