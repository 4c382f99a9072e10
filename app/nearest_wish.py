"""A wish that this wood cannot grant, said in one sentence with the nearest one that it can."""
from __future__ import annotations

from dataclasses import dataclass

from acoustics.notes import CHORDS, Chord, nearest_note
from acoustics.units import cents_between
from app.choices_of_chord import ChordChoice, Compass, Sureness, choices, sureness

_OCTAVE = 12


@dataclass(frozen=True)
class Nearest:
    """What could be had instead; chord and root are None when nothing can."""

    chord: Chord | None
    root: str | None
    sentence: str


def nearest_wish(chord: Chord, root_hz: float, room: Compass, n_most: int, a4_hz: float = 440.0) -> Nearest | None:
    """None when the wish is likely to be granted as it is."""
    wished = f"The {chord.name} on {nearest_note(root_hz, a4_hz)}"
    if len(chord.equal_steps) > n_most:
        holds = f"only {n_most}" if n_most else "not even two"
        why = f"has {len(chord.equal_steps)} notes, and this body holds {holds} such bores"
        return _instead(wished, why, _shorter(chord, n_most, room, a4_hz), root_hz, room, a4_hz)
    if sureness(chord, root_hz, room) is not Sureness.NOT:
        return None
    own = choices(room, n_most, a4_hz, (chord,))
    if own:
        root = _nearest_root(own[0], root_hz, room, a4_hz)
        why = "is out of this wood's reach: the nearest lowest note it can take is"
        return Nearest(chord, root, f"{wished} {why} {root}.")
    why = "spans more than these bores can"
    return _instead(wished, why, _shorter(chord, n_most, room, a4_hz), root_hz, room, a4_hz)


def _instead(
    wished: str, why: str, choice: ChordChoice | None, root_hz: float, room: Compass, a4_hz: float
) -> Nearest:
    if choice is None:
        instead = "no other chord fits: a longer or thicker body, or narrower bores"
        return Nearest(None, None, f"{wished} {why}, and {instead}.")
    root = _nearest_root(choice, root_hz, room, a4_hz)
    return Nearest(choice.chord, root, f"{wished} {why}: the nearest it can take is the {choice.chord.name} on {root}.")


def _nearest_root(choice: ChordChoice, root_hz: float, room: Compass, a4_hz: float) -> str:
    """The wished root where it will do, else the limit on that side; a sure one where there is one."""
    if sureness(choice.chord, root_hz, room) is not Sureness.NOT:
        return str(nearest_note(root_hz, a4_hz))
    if room.lowest_likely_hz is not None and cents_between(root_hz, room.lowest_likely_hz) < 0.0:
        return choice.lowest_sure or choice.lowest_likely
    return choice.highest_sure or choice.highest_likely


def _shorter(chord: Chord, n_most: int, room: Compass, a4_hz: float) -> ChordChoice | None:
    """The chord of fewer notes, or of a narrower span, that keeps most of the wished notes."""
    wished = {step % _OCTAVE for step in chord.equal_steps}

    def kept(choice: ChordChoice) -> tuple[int, int, int]:
        steps = {step % _OCTAVE for step in choice.chord.equal_steps}
        return len(steps & wished), -len(steps - wished), -abs(max(choice.chord.equal_steps) - max(chord.equal_steps))

    others = [one for one in choices(room, n_most, a4_hz, CHORDS) if one.chord != chord]
    return max(others, key=kept, default=None)
