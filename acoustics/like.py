"""The notes of a chord of which nothing is known beforehand: from the sound of another whistle.

Conventions
-----------
Nothing is expected but a few notes that stand still, each with its own fundamental from 150 to 3000 Hz. Levels are
relative to the loudest note. What cannot be told is said beside the notes, never guessed.

Notes
-----
A note that lies at a whole multiple of a lower one's frequency, and turns with it, cannot be told from that one's own
line: see `Hidden`. Chambers of one mouthpiece may pull each other into just that.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from acoustics.chord import HIGHEST_HZ, LOWEST_HZ, PAIR_EVENNESS, ROUGH_TONE_DB
from acoustics.chord_lines import FINE_FRAME_S, fine_lines
from acoustics.chord_phase import Voice, frame_length_s, measure_voices, span_read_s
from acoustics.errors import NoSolutionError, require_between
from acoustics.like_notes import Fundamental, fundamentals
from acoustics.like_span import SHORTEST_S, steady_stretch
from acoustics.reading import clipped
from acoustics.spectrum import frame_power, frames_of, local_level

MOST_NOTES = 6
LONGEST_SOUND_S = 300.0
HIGHEST_LINE_HZ = 9000.0
NOISE_REACH_HZ = 120.0
FAINT_DB, LOST_DB = -15.0, -25.0  # a fainter note is doubtful; one fainter still is the room's, or a trace
HIDING_DB = -20.0  # a line this strong may hide a note
HIDING_NUMBERS = (2, 3, 4)
TONE_COHERENCE = 0.6  # a line of noise has about 0.1; a horn that beats in itself still has this
MULTIPLE_EVENNESS = 0.8  # a lower note's own line, where its phase was not followed, swells more than this
UNEVEN_CENTS = 7.0  # times what evenness lacks: so far were recorded notes of rough level from their own mean pitch
# Of the power from 150 Hz to 9 kHz. From about a third of it noise covers the weaker fundamentals of horns, and their
# higher lines stand as notes.
CLEAN_TONE_SHARE, LEAST_TONE_SHARE = 0.85, 0.5


class Doubt(StrEnum):
    """Why one note is not sure."""

    FAINT = "faint"
    MULTIPLE = "multiple"
    TOO_NEAR = "too_near"
    SWELLS = "swells"


@dataclass(frozen=True)
class LikedNote:
    """One note of the chord.

    frequency_hz : mean over the stretch
    standard_error_cents : of that mean, from noise and from the note's own wander
    level_db : power of all its lines over that of the loudest note
    doubts : faint; a multiple of a lower note; two lines too near to be told apart, taken as one; a level that swells
        as two such do. None of them when it is sure
    """

    frequency_hz: float
    standard_error_cents: float
    level_db: float
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True)
class Hidden:
    """A place where a further note could not be told: `number` times the note at place `note`, under its own line."""

    note: int
    number: int


@dataclass(frozen=True)
class LikedChord:
    """The chord of the longest steady stretch.

    notes : lowest first; one alone is a note, and no chord
    hidden : where a further note would go unnoticed
    tone_share : of the power, what stands over the noise between the lines
    is_clipped : the recording was too loud, and what it lost may stand in it as notes
    start_s, end_s : what the means are taken over
    """

    notes: tuple[LikedNote, ...]
    hidden: tuple[Hidden, ...]
    tone_share: float
    is_clipped: bool
    start_s: float
    end_s: float

    @property
    def is_sure(self) -> bool:
        """Whether the number of notes is sure: none is doubtful, and none could hide."""
        doubted = self.is_clipped or self.is_noisy or any(note.doubts for note in self.notes)
        return not self.hidden and not doubted

    @property
    def is_noisy(self) -> bool:
        """Whether fundamentals may be lost under the noise."""
        return self.tone_share < CLEAN_TONE_SHARE


def hear_like(samples: NDArray[np.floating], sample_rate_hz: int) -> LikedChord:
    """Read the chord of the longest steady stretch.

    Parameters
    ----------
    samples : mono, 300 s at most
    sample_rate_hz : 8000 to 192000

    Raises
    ------
    OutOfRangeError : an argument out of those ranges
    NoSolutionError : nothing stands still for 0.4 s, or what does is noise, no tone, or more than six notes

    References
    ----------
    Explaining a spectrum's lines by few harmonic series, and refining these together by least squares, is textbook
    matter, e.g. Christensen & Jakobsson, Multi-Pitch Estimation, 2009 (from memory). Phase as witness is our own.
    """
    require_between("sample rate in Hz", sample_rate_hz, 8000, 192_000)
    require_between("length of the sound in s", len(samples) / sample_rate_hz, 0.0, LONGEST_SOUND_S,
                    "Cut out the part where the chord is held.")
    stretch = steady_stretch(samples, sample_rate_hz)
    if stretch is None:
        raise NoSolutionError(
            f"No steady chord was found: nothing stands still for {SHORTEST_S:g} s; is it a tune, or does it glide?"
        )
    first, last = stretch
    part = np.asarray(samples[first:last], dtype=np.float64)
    found, voices, frame_s = _measured(part, sample_rate_hz)
    tone_share = _tone_share(part, sample_rate_hz)
    _require_notes(len(found), tone_share)
    loudest = max(sum(voice.line_power) for voice in voices)
    notes = tuple(_note(one, voice, loudest) for one, voice in zip(found, voices, strict=True))
    start_s, end_s = span_read_s(len(part), sample_rate_hz, frame_s)
    begin_s = first / sample_rate_hz
    hidden, is_clipped = _hiding(voices, loudest), clipped(part, float(np.max(np.abs(part))))
    return LikedChord(notes, hidden, tone_share, is_clipped, begin_s + start_s, begin_s + end_s)


def _require_notes(n_notes: int, tone_share: float) -> None:
    if n_notes == 0:
        raise NoSolutionError(
            "No steady chord was found: what stands still has no clear tone; is it wind, breath or speech?"
        )
    if n_notes > MOST_NOTES:
        raise NoSolutionError(
            f"{n_notes} notes stand in it, and a whistle has {MOST_NOTES} chambers at most; do others play along?"
        )
    if tone_share < LEAST_TONE_SHARE:
        raise NoSolutionError(
            f"The recording is too noisy: tones are {100 * tone_share:.0f} % of it, and {100 * LEAST_TONE_SHARE:.0f} %"
            " are needed; is there one from nearer by?"
        )


def _measured(part: NDArray[np.float64], sample_rate_hz: int) -> tuple[list[Fundamental], list[Voice], float]:
    """The notes measured all together, again whenever one has turned out to be none; and in what frames."""
    if not np.any(part):
        return [], [], 0.0
    lines = fine_lines(part, sample_rate_hz, LOWEST_HZ, min(HIGHEST_LINE_HZ, 0.45 * sample_rate_hz))
    found = fundamentals(part, sample_rate_hz, lines)
    while found:
        near_hz = [one.frequency_hz for one in found]
        closest_hz = min((high - low for low, high in pairwise(near_hz)), default=1e9)
        frame_s = frame_length_s(len(part) / sample_rate_hz, closest_hz)
        voices = measure_voices(part, sample_rate_hz, near_hz, frame_s)
        kept = _notes_among(found, voices)
        if len(kept) == len(found):
            return found, voices, frame_s
        found = kept
    return [], [], 0.0


def _notes_among(found: Sequence[Fundamental], voices: Sequence[Voice]) -> list[Fundamental]:
    """Tones that are no mere trace; and beside them what is rough, but too loud to be breath.

    On a lower note's line only an even, loud tone is a note: a line that wavers does not show whose it is.
    """
    if not any(map(_is_tone, voices)):
        return []
    loudest = max(sum(voice.line_power) for voice in voices)
    levels = [10.0 * np.log10(sum(voice.line_power) / loudest) for voice in voices]
    return [
        one for one, voice, level_db in zip(found, voices, levels, strict=True)
        if level_db > (LOST_DB if _is_tone(voice) else ROUGH_TONE_DB)
        and not (one.is_multiple and (one.has_rival or voice.evenness < MULTIPLE_EVENNESS or level_db < FAINT_DB))
    ]


def _is_tone(voice: Voice) -> bool:
    return voice.coherence > TONE_COHERENCE


def _note(one: Fundamental, voice: Voice, loudest: float) -> LikedNote:
    level_db = 10.0 * float(np.log10(sum(voice.line_power) / loudest))
    doubts = {
        Doubt.FAINT: level_db < FAINT_DB, Doubt.MULTIPLE: one.is_multiple,
        Doubt.TOO_NEAR: one.has_rival, Doubt.SWELLS: voice.evenness < PAIR_EVENNESS,
    }
    told = tuple(doubt for doubt, is_so in doubts.items() if is_so)
    error_cents = float(np.hypot(voice.standard_error_cents, UNEVEN_CENTS * (1.0 - voice.evenness)))
    return LikedNote(voice.frequency_hz, error_cents, level_db, told)


def _hiding(voices: Sequence[Voice], loudest: float) -> tuple[Hidden, ...]:
    """Lines within the range of notes that are strong enough to hide one."""
    return tuple(
        Hidden(at, number) for at, voice in enumerate(voices) for number in HIDING_NUMBERS
        if number * voice.frequency_hz < HIGHEST_HZ
        and voice.line_power[number - 1] > 10 ** (HIDING_DB / 10.0) * loudest
    )


def _tone_share(part: NDArray[np.float64], sample_rate_hz: int) -> float:
    """What stands over the noise between the lines, from the lowest note to the highest line."""
    frame = min(round(FINE_FRAME_S * sample_rate_hz), len(part) // 2)
    rows = frame_power(frames_of(part, frame, frame // 2), sample_rate_hz)
    power = np.mean(rows, axis=0)
    bin_hz = sample_rate_hz / frame
    band = slice(int(LOWEST_HZ / bin_hz), int(HIGHEST_LINE_HZ / bin_hz) + 1)
    # local_level takes its median for that of one frame; of the mean of n it is nearly 1 - 1 / 3n of their mean
    median_ratio = math.log(2.0) / (1.0 - 1.0 / (3.0 * len(rows)))
    noise = float(np.sum(local_level(power, round(NOISE_REACH_HZ / bin_hz))[band])) * median_ratio
    return max(0.0, 1.0 - noise / max(float(np.sum(power[band])), 1e-300))
