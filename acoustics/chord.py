"""The whole chord in one blow: every chamber's pitch from one sound, and the beats between them.

Conventions
-----------
What is expected is evidence, not a result: it says which line belongs to which chamber, never where the line lies.
Levels are relative to the loudest chamber. A chamber that was not told apart has no pitch: None.

Notes
-----
Chambers that share one mouthpiece may pull each other: two that would sound nearly alike settle on one note or on a
ratio of small numbers (injection locking). The sound then holds one note, and nothing here can tell what each chamber
would speak alone.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from acoustics.chord_lines import assign, fine_lines, not_there_before, steady_span
from acoustics.chord_phase import Voice, frame_length_s, measure_voices, span_read_s
from acoustics.errors import NoSolutionError, OutOfRangeError, require_between
from acoustics.notes import beat_hz
from acoustics.spectrum import Line
from acoustics.units import cents_between, shift_hz

LOWEST_HZ, HIGHEST_HZ = 150.0, 3000.0
MOST_VOICES = 8
LONGEST_SOUND_S = 60.0
EDGE_S = 0.06  # the first and last frames may reach this far out of the steady part; their middles do not
BAND_MARGIN_CENTS = 50.0
TOO_NEAR_HZ = 6.0  # what frames of a third of a second tell apart
TOO_NEAR_BEATS = 3.0  # beats that must pass within the stretch
WEAK_DB = -15.0
TONE_EVENNESS, TONE_COHERENCE = 0.5, 0.8  # below these a line is no tone; a line of noise has about 0.1 of either
ROUGH_TONE_DB = -10.0  # a fundamental no further under the loudest is no breath noise
PAIR_EVENNESS = 0.85  # a line that swells and fades more than this may be two
EVEN_LINE_DB, ODD_LINE_DB = -12.0, 3.0  # how loud a chamber's upper line may be over its fundamental
ALIKE_CENTS = 10.0  # guesses this close do not say which of two chambers is the lower
NEAR_JUST_CENTS = 25.0
JUST_RATIOS = (
    (2, 1), (3, 2), (4, 3), (5, 3), (5, 4), (6, 5), (7, 4), (7, 5), (7, 6), (8, 5), (9, 4), (9, 5), (9, 7),
)


class Heard(StrEnum):
    """What became of one expected chamber."""

    HEARD = "heard"
    WEAK = "weak"
    MISSING = "missing"
    TOO_NEAR = "too_near"


@dataclass(frozen=True)
class ExpectedVoice:
    """A chamber that should sound, and where: its fundamental within `within_cents` of `near_hz`."""

    letter: str
    near_hz: float
    within_cents: float = 100.0


@dataclass(frozen=True)
class VoiceReading:
    """One chamber of the chord.

    frequency_hz : mean pitch from `start_s` to `end_s` of the reading; None when missing or too near another
    standard_error_cents : of that mean, from noise and from the chamber's own wander
    level_db : power of all its lines over that of the loudest chamber; None when it has none of its own
    """

    letter: str
    frequency_hz: float | None
    standard_error_cents: float | None
    level_db: float | None
    heard: Heard


@dataclass(frozen=True)
class Beat:
    """Two chambers near a ratio of small numbers, upper to lower as `n` to `m`.

    beat_hz : between line n of the lower and line m of the upper chamber
    error_cents : the interval minus the exact ratio; positive is wide
    """

    lower: str
    upper: str
    n: int
    m: int
    beat_hz: float
    error_cents: float


@dataclass(frozen=True)
class ChordReading:
    """One blow of the whole whistle: chambers in the order they were asked for, and the stretch that was read."""

    voices: tuple[VoiceReading, ...]
    beats: tuple[Beat, ...]
    start_s: float
    end_s: float


def read_chord(
    samples: NDArray[np.floating], sample_rate_hz: int, expected: Sequence[ExpectedVoice]
) -> ChordReading:
    """Read every chamber of one blow.

    Parameters
    ----------
    samples : mono, one blow, best with a little quiet before and after; 60 s at most
    sample_rate_hz : 8000 to 192000
    expected : one to eight chambers, each from 150 to 3000 Hz, guessed within 5 to 200 cents; no letter twice

    Raises
    ------
    OutOfRangeError : an argument out of those ranges
    NoSolutionError : nothing sounds steadily for a quarter of a second where the chambers are expected

    Notes
    -----
    Two chambers are told apart when their fundamentals lie 6 Hz apart, and three beats pass within the stretch: see
    ``too_near_hz``. The pitch is the mean over the stretch, also of a chamber that wanders.

    References
    ----------
    Harmonic least squares for several voices is textbook matter, e.g. Christensen & Jakobsson, Multi-Pitch Estimation,
    2009 (from memory).
    """
    _require(samples, sample_rate_hz, expected)
    order = _lowest_first(expected)
    voices = [expected[at] for at in order]
    bands = [_band_hz(voice) for voice in voices]
    span = steady_span(samples, sample_rate_hz, bands)
    if span is None:
        raise NoSolutionError("Nothing sounds steadily for 0.25 s where the chambers are expected; was one blow given?")
    edge = round(EDGE_S * sample_rate_hz)
    begin = max(0, span.first - edge)
    part = np.asarray(samples[begin:span.last + edge], dtype=np.float64)
    lines = fine_lines(part, sample_rate_hz, min(low for low, _ in bands), max(high for _, high in bands))
    lines = not_there_before(lines, samples[:span.onset], sample_rate_hz)
    found, (start_s, end_s) = _find(part, sample_rate_hz, voices, lines)
    read = dict(zip(order, _judge(voices, found, end_s - start_s), strict=True))
    readings = tuple(read[at] for at in range(len(expected)))
    begin_s = begin / sample_rate_hz
    return ChordReading(readings, beats_of(readings), begin_s + start_s, begin_s + end_s)


def too_near_hz(duration_s: float) -> float:
    """Fundamentals closer than this are not told apart in a stretch of this length."""
    return max(TOO_NEAR_HZ, TOO_NEAR_BEATS / duration_s)


def beats_of(voices: Sequence[VoiceReading]) -> tuple[Beat, ...]:
    """Pairs within 25 cents of a ratio of small numbers, each against the simplest such ratio, slowest beat first."""
    sounding = sorted((v.frequency_hz, v.letter) for v in voices if v.frequency_hz is not None)
    beats = []
    for (lower_hz, lower), (upper_hz, upper) in combinations(sounding, 2):
        interval_cents = cents_between(upper_hz, lower_hz)
        for n, m in JUST_RATIOS:
            error_cents = interval_cents - cents_between(n, m)
            if abs(error_cents) <= NEAR_JUST_CENTS:
                beats.append(Beat(lower, upper, n, m, beat_hz(lower_hz, upper_hz, n, m), error_cents))
                break
    return tuple(sorted(beats, key=lambda beat: beat.beat_hz))


def _require(samples: NDArray[np.floating], sample_rate_hz: int, expected: Sequence[ExpectedVoice]) -> None:
    require_between("sample rate in Hz", sample_rate_hz, 8000, 192_000)
    require_between("length of the sound in s", len(samples) / sample_rate_hz, 0.0, LONGEST_SOUND_S, "Is it one blow?")
    require_between("number of chambers", len(expected), 1, MOST_VOICES)
    for voice in expected:
        require_between(f"expected pitch of {voice.letter} in Hz", voice.near_hz, LOWEST_HZ, HIGHEST_HZ)
        require_between(f"reach of the guess for {voice.letter} in cents", voice.within_cents, 5.0, 200.0)
    if len({voice.letter for voice in expected}) < len(expected):
        raise OutOfRangeError("A chamber was named twice; each letter may stand once.")


def _lowest_first(expected: Sequence[ExpectedVoice]) -> list[int]:
    """Places by expected pitch; where two guesses all but coincide the letters, which rise with pitch, decide."""
    order = sorted(range(len(expected)), key=lambda at: expected[at].near_hz)
    for place in range(len(order) - 1):
        lower, upper = expected[order[place]], expected[order[place + 1]]
        if lower.letter > upper.letter and cents_between(upper.near_hz, lower.near_hz) < ALIKE_CENTS:
            order[place], order[place + 1] = order[place + 1], order[place]
    return order


def _band_hz(voice: ExpectedVoice) -> tuple[float, float]:
    reach_cents = voice.within_cents + BAND_MARGIN_CENTS
    return shift_hz(voice.near_hz, -reach_cents), shift_hz(voice.near_hz, reach_cents)


def _find(
    part: NDArray[np.float64], sample_rate_hz: int, voices: Sequence[ExpectedVoice], lines: Sequence[Line]
) -> tuple[list[Voice | None], tuple[float, float]]:
    """Each chamber's tone, or None; and the stretch they were read in. A line that is no tone is put aside."""
    while True:
        given = assign(lines, [voice.near_hz for voice in voices], [voice.within_cents for voice in voices])
        have = [line for line in given if line is not None]
        near_hz = [line.frequency_hz for line in have]
        closest_hz = min(np.diff(near_hz), default=1e9)
        frame_s = frame_length_s(len(part) / sample_rate_hz, float(closest_hz))
        measured = measure_voices(part, sample_rate_hz, near_hz, frame_s) if have else []
        loudest = max((tone.line_power[0] for tone in measured), default=0.0)
        false = [line for line, tone in zip(have, measured, strict=True) if not _is_tone(tone, loudest)]
        false = false or [line for line, tone in zip(have, measured, strict=True) if _is_upper_line(tone, measured)]
        if not false:
            tones = iter(measured)
            found = [None if line is None else next(tones) for line in given]
            return found, span_read_s(len(part), sample_rate_hz, frame_s)
        lines = [line for line in lines if line not in false]


def _is_tone(tone: Voice, loudest: float) -> bool:
    """Even and of one phase; or too loud to be the breath of a silent chamber, however rough it sounds."""
    even = tone.evenness >= TONE_EVENNESS and tone.coherence >= TONE_COHERENCE
    return even or tone.line_power[0] > 10 ** (ROUGH_TONE_DB / 10.0) * loudest


def _is_upper_line(tone: Voice, among: Sequence[Voice]) -> bool:
    """Whether it is no more than an upper line of a lower chamber: an octave apart, or a twelfth."""
    for other in among:
        number = round(tone.frequency_hz / other.frequency_hz)
        beside_hz = abs(tone.frequency_hz - number * other.frequency_hz)
        if number >= 2 and beside_hz < TOO_NEAR_HZ:
            over_db = 10.0 * float(np.log10(tone.line_power[0] / other.line_power[0]))
            if over_db < (ODD_LINE_DB if number % 2 else EVEN_LINE_DB):
                return True
    return False


def _judge(voices: Sequence[ExpectedVoice], found: Sequence[Voice | None], duration_s: float) -> list[VoiceReading]:
    near_hz = too_near_hz(duration_s)
    loudest = max((sum(tone.line_power) for tone in found if tone is not None), default=1.0)
    together = _told_together(voices, found, near_hz)
    return [
        _reading(voice, tone, loudest, at in together)
        for at, (voice, tone) in enumerate(zip(voices, found, strict=True))
    ]


def _told_together(voices: Sequence[ExpectedVoice], found: Sequence[Voice | None], near_hz: float) -> set[int]:
    """Chambers that cannot be told from another: two tones too near, or one line where two chambers may be."""
    together: set[int] = set()
    for at, other in combinations(range(len(voices)), 2):
        one, two = found[at], found[other]
        if one is not None and two is not None:
            if abs(one.frequency_hz - two.frequency_hz) < near_hz:
                together |= {at, other}
        elif (tone := one or two) is not None:
            alike = abs(voices[at].near_hz - voices[other].near_hz) < near_hz
            silent = voices[other if one is not None else at]
            if alike or (_reaches(silent, tone.frequency_hz) and tone.evenness < PAIR_EVENNESS):
                together |= {at, other}
    return together


def _reaches(voice: ExpectedVoice, frequency_hz: float) -> bool:
    return abs(cents_between(frequency_hz, voice.near_hz)) <= voice.within_cents


def _reading(voice: ExpectedVoice, tone: Voice | None, loudest: float, together: bool) -> VoiceReading:
    if together:
        return VoiceReading(voice.letter, None, None, None, Heard.TOO_NEAR)
    if tone is None:
        return VoiceReading(voice.letter, None, None, None, Heard.MISSING)
    level_db = 10.0 * float(np.log10(sum(tone.line_power) / loudest))
    heard = Heard.WEAK if level_db < WEAK_DB else Heard.HEARD
    return VoiceReading(voice.letter, tone.frequency_hz, tone.standard_error_cents, level_db, heard)
