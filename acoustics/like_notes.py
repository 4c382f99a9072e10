"""Which lines of a chord are the fundamentals of its notes, when nothing of the chord is known.

Every note is taken to have its own fundamental among the lines. From the lowest line up, a line is a note of its own
unless it is a higher line of notes already found. A line at twice, three or four times a note's frequency may be a
further note, an octave or a twelfth above: a note's own line turns with its fundamental's phase, which the wander of a
blown note makes plain even where intervals are pure, and what does not turn with it is a note. At five times and more
no whistle has a note, so nothing is asked there.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from acoustics.chord import HIGHEST_HZ
from acoustics.pitch import Phasors, Stretch
from acoustics.spectrum import Array, Line
from acoustics.units import cents_between

FRAME_S = 0.125  # follows a wandering note; lines within 16 Hz are told apart by fitting them together
FRAMES_TO_A_FRAME = 4
NEAR_HZ, NEAR_CENTS = 4.5, 30.0  # a line within either of a whole multiple may be that line: notes wander
BESIDE_HZ = 40.0  # lines within it spill into one another's frames
KNOT_S = 0.5  # a line's level against its fundamental's changes no faster
FAINTEST_LINE = 10**-2.5  # of the strongest line's power: no fundamental lies under it
HIGHEST_MULTIPLE = 4
OWN_SHARE = 0.5  # of a line's power that does not turn with lower notes: most of it, or its frequency is not the note's
WAVER_CENTS = 70.0  # lines this near a stronger one are its own wavering, or a note too near to be told
RIVAL = 0.1  # of the stronger line's power: such a one may be a note


@dataclass(frozen=True)
class Fundamental:
    """A note's own lowest line.

    is_multiple : it lies on a line of a lower note
    has_rival : another strong line lies too near to be told from its wavering
    """

    frequency_hz: float
    is_multiple: bool
    has_rival: bool


@dataclass(frozen=True)
class _Track:
    """A line frame by frame: its mean frequency, its whole phase."""

    frequency_hz: float
    phase: Array


def fundamentals(
    samples: NDArray[np.floating], sample_rate_hz: int, lines: Sequence[Line]
) -> list[Fundamental]:
    """The lines that are fundamentals, lowest first."""
    loud = max((line.power for line in lines), default=0.0)
    peaks, rivalled = _peaks([line for line in lines if line.power > FAINTEST_LINE * loud])
    able = [line for line in peaks if line.frequency_hz < HIGHEST_HZ]
    frame = min(round(FRAME_S * sample_rate_hz), len(samples) // 3)
    stretch = Stretch(samples, sample_rate_hz, frame, max(1, frame // FRAMES_TO_A_FRAME))
    turning = stretch.at_rest([line.frequency_hz for line in able]) if able else np.zeros((0, 0), dtype=complex)
    notes: list[_Track] = []
    found: list[Fundamental] = []
    upper: list[float] = []
    for at, line in enumerate(able):
        numbers = _numbers(line.frequency_hz, [note.frequency_hz for note in notes])
        own = 1.0
        if numbers:
            others = [one.frequency_hz for one in able if one is not line]
            own = _own_share(turning[:, at], line.frequency_hz, notes, others, stretch.step_s)
            if max(numbers) > HIGHEST_MULTIPLE or any(_near(line.frequency_hz, 2.0 * hz) for hz in upper):
                own = 0.0  # no note lies so high; and twice an upper line may be the line of a note that hides there
        if own <= OWN_SHARE:
            upper.append(line.frequency_hz)
        else:
            notes.append(_track(turning[:, at], line.frequency_hz, stretch.step_s))
            found.append(Fundamental(notes[-1].frequency_hz, bool(numbers), line in rivalled))
    return found


def _peaks(lines: Sequence[Line]) -> tuple[list[Line], set[Line]]:
    """The strongest line of each place, lowest first; and those that have a rival there."""
    peaks: list[Line] = []
    rivalled: set[Line] = set()
    for line in sorted(lines, key=lambda line: -line.power):
        over = [one for one in peaks if abs(cents_between(line.frequency_hz, one.frequency_hz)) < WAVER_CENTS]
        rivalled |= {one for one in over if line.power > RIVAL * one.power}
        if not over:
            peaks.append(line)
    return sorted(peaks, key=lambda line: line.frequency_hz), rivalled


def _track(rest: Phasors, line_hz: float, step_s: float) -> _Track:
    turned = np.unwrap(np.angle(rest))
    few = max(1, len(turned) // 4)
    rise = float(np.mean(turned[-few:]) - np.mean(turned[:few]))
    off_hz = rise / (2.0 * np.pi * step_s * max(1, len(turned) - few))
    phase = turned + 2.0 * np.pi * line_hz * step_s * np.arange(len(turned))
    return _Track(line_hz + off_hz, phase)


def _numbers(frequency_hz: float, notes_hz: Sequence[float]) -> list[int]:
    """Which line of each note that has one here this would be."""
    numbers = [(round(frequency_hz / note_hz), note_hz) for note_hz in notes_hz]
    return [number for number, note_hz in numbers if number >= 2 and _near(frequency_hz, number * note_hz)]


def _near(frequency_hz: float, other_hz: float) -> bool:
    return abs(frequency_hz - other_hz) < NEAR_HZ or abs(cents_between(frequency_hz, other_hz)) < NEAR_CENTS


def _own_share(
    rest: Phasors, line_hz: float, notes: Sequence[_Track], others_hz: Sequence[float], step_s: float
) -> float:
    """Share of the line's power that turns with none of the notes.

    All that lies beside the line is fitted together, each with a level that may change slowly: the notes' lines, and
    other lines at one frequency.
    """
    t: Array = step_s * np.arange(len(rest), dtype=np.float64)
    turns = [
        (number * note.phase, number * note.frequency_hz)
        for note in notes if (number := round(line_hz / note.frequency_hz)) >= 1
    ]
    mine = [phase for phase, hz in turns if abs(hz - line_hz) < BESIDE_HZ or _near(line_hz, hz)]
    free = [
        2.0 * np.pi * other_hz * t for other_hz in others_hz
        if abs(other_hz - line_hz) < BESIDE_HZ and not _numbers(other_hz, [note.frequency_hz for note in notes])
    ]
    knots = _knots(t)
    waves = [np.exp(1j * (phase - 2.0 * np.pi * line_hz * t)) for phase in (*mine, *free)]
    basis = np.hstack([wave[:, None] * knots for wave in waves])
    fit = np.linalg.lstsq(basis, rest, rcond=1e-6)[0]
    n_mine = len(mine) * knots.shape[1]
    held = float(np.sum(np.abs(basis[:, :n_mine] @ fit[:n_mine]) ** 2))
    left = float(np.sum(np.abs(rest - basis @ fit) ** 2))
    return left / max(left + held, 1e-300)


def _knots(t: Array) -> Array:
    """Triangles that sum to one: a level that may change from knot to knot."""
    n_knots = max(2, round((t[-1] - t[0]) / KNOT_S) + 1)
    places = np.linspace(t[0], t[-1], n_knots)
    return np.stack([np.interp(t, places, one) for one in np.eye(n_knots)], axis=1)
