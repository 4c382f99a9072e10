"""A chord like that of a whistle that is loved: out of its sound, by what name, and where this wood can play it."""
from __future__ import annotations

import math
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

import numpy as np

from acoustics.constants import REFERENCE_PITCH_HZ
from acoustics.errors import NoSolutionError, OutOfRangeError
from acoustics.like import LONGEST_SOUND_S, LikedChord, hear_like
from acoustics.notes import Chord, nearest_note, note_hz
from acoustics.tuning import Priors
from acoustics.units import cents_between, shift_hz
from app.choices_of_chord import Compass, Sureness, compass, most_chambers
from app.chord_kin import chord_called, off_cents
from app.errors import WorldError
from app.hole_plan import least_wall_mm
from app.more_wood import wood_for_bores, wood_for_span, wood_text
from app.recording import Recording
from app.remark import Lengths
from app.source import Block
from app.whistle import Whistle

NAMED_CENTS = 35.0  # an interval further than this from a chord's own is another interval
_SAME_CENTS = 0.01  # a note that is just the limit is within it
_ON_NOTE_CENTS = 0.05


class Intervals(StrEnum):
    """What becomes of the intervals on the way to the plan."""

    HEARD = "heard"
    EQUAL = "equal"
    JUST = "just"


@dataclass(frozen=True)
class Likeness:
    """What was heard, and the nearest known chord: None when it is none; how far off it is at its farthest note."""

    heard: LikedChord
    chord: Chord | None
    off_equal_cents: float | None
    off_just_cents: float | None

    @property
    def notes_hz(self) -> tuple[float, ...]:
        return tuple(note.frequency_hz for note in self.heard.notes)


@dataclass(frozen=True)
class Moved:
    """The chord where it shall be played: lowest first, and so many semitones from where it was heard."""

    notes_hz: tuple[float, ...]
    shift_semitones: float
    sureness: Sureness

    def texts(self, a4_hz: float) -> list[str]:
        """Each note by name and tenths of a cent, as a maker may write it."""
        notes = [nearest_note(hz, a4_hz) for hz in self.notes_hz]
        return [
            f"{note}{note.deviation_cents:+.1f}" if abs(note.deviation_cents) >= _ON_NOTE_CENTS else str(note)
            for note in notes
        ]


def likeness_of(path: Path, a4_hz: float = REFERENCE_PITCH_HZ) -> Likeness:
    """The chord in a sound file; WorldError when there is none, or only one note."""
    samples, sample_rate_hz = _whole_sound(path)
    try:
        heard = hear_like(samples, sample_rate_hz)
    except (NoSolutionError, OutOfRangeError) as refusal:
        raise WorldError(f"{path.name}: {refusal}") from refusal
    if len(heard.notes) == 1:
        only_hz = heard.notes[0].frequency_hz
        note = nearest_note(only_hz, a4_hz)
        upper = "; another note may be hidden under its lines" if heard.hidden else ""
        raise WorldError(
            f"{path.name} holds one note, {note} {note.deviation_cents:+.0f} cents ({only_hz:.1f} Hz), which is one"
            f" chamber and no chord{upper}."
        )
    return named(heard)


def named(heard: LikedChord) -> Likeness:
    """By the nearest known chord, as it is or turned over."""
    notes_hz = [note.frequency_hz for note in heard.notes]
    called = chord_called(notes_hz, NAMED_CENTS)
    if called is None:
        return Likeness(heard, None, None, None)
    equal, just = (off_cents(notes_hz, called.chord, just) for just in (False, True))
    return Likeness(heard, called.chord, equal, just)


def kept(likeness: Likeness, intervals: Intervals) -> tuple[float, ...]:
    """The notes with their intervals as heard, or rounded; the lowest stays where it is."""
    lowest_hz, chord = likeness.notes_hz[0], likeness.chord
    if intervals is Intervals.HEARD:
        return likeness.notes_hz
    if intervals is Intervals.JUST:
        if chord is None or chord.just_ratio is None:
            what = "These notes are no chord that" if chord is None else f"The {chord.name} is none that"
            raise WorldError(f"{what} has agreed whole-number ratios: keep the intervals as heard, or equal.")
        return tuple(lowest_hz * number / chord.just_ratio[0] for number in chord.just_ratio)
    steps = [round(cents / 100.0) for cents in _intervals_cents(likeness.notes_hz)]
    if len(set(steps)) < len(steps):
        raise WorldError("Two of these notes lie on one step of the equal scale: keep the intervals as heard.")
    return tuple(shift_hz(lowest_hz, 100.0 * step) for step in (chord.equal_steps if chord else steps))


def moved_into(notes_hz: Sequence[float], wood: Whistle, priors: Priors, units: str) -> Moved:
    """As `moved`; WorldError with the wood that it would need where this one cannot play it anywhere."""
    n_notes, n_most = len(notes_hz), most_chambers(wood, least_wall_mm(wood))
    to = moved(notes_hz, compass(wood, priors))
    if to is not None and n_notes <= n_most:
        return to
    say, span_cents = Lengths(units), cents_between(notes_hz[-1], notes_hz[0])
    longer = wood_for_span(wood, span_cents, notes_hz[0], say, priors)
    spans = f"spans {span_cents / 100.0:.1f} semitones"
    if longer is None:
        raise WorldError(f"The chord {spans}, more than bores so wide can at any length: it needs narrower ones.")
    needs = wood_text(wood_for_bores(wood, n_notes, say) | longer, say)
    if n_notes > n_most:
        holds = f"only {n_most}" if n_most else "not even two"
        raise WorldError(
            f"The chord has {n_notes} notes and this body holds {holds} such bores: it needs {needs}, or narrower"
            " bores."
        )
    raise WorldError(f"The chord {spans}, more than these bores can: it needs {needs}.")


def moved(notes_hz: Sequence[float], room: Compass) -> Moved | None:
    """By the fewest whole semitones to where every note is in reach, surely if at all; None when nowhere is."""
    for sureness, low_hz, high_hz in _rooms(room):
        least = math.ceil(cents_between(low_hz, notes_hz[0]) / 100.0 - _SAME_CENTS / 100.0)
        most = math.floor(cents_between(high_hz, notes_hz[-1]) / 100.0 + _SAME_CENTS / 100.0)
        if least <= most:
            steps = min(max(0, least), most)
            return Moved(tuple(shift_hz(hz, 100.0 * steps) for hz in notes_hz), float(steps), sureness)
    return None


def moved_to(notes_hz: Sequence[float], root: str, room: Compass, a4_hz: float) -> Moved:
    """To the lowest note that the maker names; WorldError when this wood is not likely to play it there."""
    try:
        root_hz = note_hz(root, a4_hz)
    except OutOfRangeError as refusal:
        raise WorldError(f"--root: {refusal}") from refusal
    shift_cents = cents_between(root_hz, notes_hz[0])
    there_hz = tuple(shift_hz(hz, shift_cents) for hz in notes_hz)
    for sureness, low_hz, high_hz in _rooms(room):
        if cents_between(there_hz[0], low_hz) >= -_SAME_CENTS and cents_between(there_hz[-1], high_hz) <= _SAME_CENTS:
            return Moved(there_hz, shift_cents / 100.0, sureness)
    refused = f"The chord on {root} is out of this wood's reach"
    if (nearest := moved(there_hz, room)) is None:
        raise WorldError(f"{refused}: leave --root out to have it moved into reach.")
    raise WorldError(f"{refused}: the nearest lowest note it can have is {nearest_note(nearest.notes_hz[0], a4_hz)}.")


def _rooms(room: Compass) -> list[tuple[Sureness, float, float]]:
    """What is in reach, the surer first."""
    both = (
        (Sureness.SURE, room.lowest_sure_hz, room.highest_sure_hz),
        (Sureness.LIKELY, room.lowest_likely_hz, room.highest_likely_hz),
    )
    return [(sureness, low, high) for sureness, low, high in both if low is not None and high is not None]


def _intervals_cents(notes_hz: Sequence[float]) -> list[float]:
    return [cents_between(hz, notes_hz[0]) for hz in notes_hz]


def _whole_sound(path: Path) -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.float32]], int]:
    """All of the file's loudest channel."""
    parts = []
    n_samples = 0
    with closing(Recording(path)) as recording:
        recording.open()
        while (item := recording.read(0.0)) is not None:
            if isinstance(item, Block):
                parts.append(item.samples)
                n_samples += len(item.samples)
                if n_samples > LONGEST_SOUND_S * recording.sample_rate_hz:
                    raise WorldError(
                        f"{path.name} is longer than {LONGEST_SOUND_S:.0f} s: cut out the part where the chord is held."
                    )
    return np.concatenate(parts), recording.sample_rate_hz
