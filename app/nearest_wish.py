"""A wish that this wood cannot grant, said in one sentence with the nearest one that it can.

Where this wood grants no chord at all, the sentence says how much wood the nearest chord needs.
"""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from acoustics.notes import CHORDS, Chord, nearest_note, note_hz
from acoustics.tuning import Priors
from acoustics.units import cents_between
from app.body import Body, Stock
from app.choices_of_chord import ChordChoice, Compass, Sureness, choices, compass, most_chambers, sureness
from app.hole_plan import least_wall_mm
from app.more_wood import bores_text, wood_for_bores, wood_for_note, wood_text
from app.remark import Lengths
from app.whistle import Whistle
from app.whistle_limits import CHAMBER_LIMITS, MIN_CHAMBERS

_OCTAVE = 12
_ROUNDING_MM = 1.0  # the longest bore that is thought of stays within its limit when it is written


@dataclass(frozen=True)
class Nearest:
    """What could be had instead, with the sizes by key of the document that must change for it, none if it can."""

    chord: Chord
    root: str
    sentence: str
    sizes_mm: Mapping[str, float] = field(default_factory=dict)


def nearest_wish(
    chord: Chord, root_hz: float, whistle: Whistle, priors: Priors | None = None, units: str = "mm"
) -> Nearest | None:
    """None when the wish is likely to be granted as it is.

    `whistle` is the wood: its bores, body and stock count, and not how many chambers it has or their notes.
    """
    n_notes, n_most = len(chord.equal_steps), most_chambers(whistle, least_wall_mm(whistle))
    room, say, a4_hz = compass(whistle, priors), Lengths(units), whistle.a4_hz
    if n_notes <= n_most and sureness(chord, root_hz, room) is not Sureness.NOT:
        return None
    sizes = {} if n_most else wood_for_bores(whistle, n_notes, say)
    found = _picked(chord, root_hz, room, n_most or n_notes, a4_hz)
    if found is None:
        found = _picked(chord, root_hz, compass(_with_long_bores(whistle), priors), n_most or n_notes, a4_hz)
        if found is None:  # not even bores as long as a whistle can have
            return None
        sizes |= wood_for_note(whistle, note_hz(found[1], a4_hz), say, priors)
    why = _why(chord, found[0], n_most, say.size(_wall_mm(whistle)))
    wished = f"The {chord.name} on {nearest_note(root_hz, a4_hz)}"
    told = _told(found, found[0] == chord and f"The {found[0].name} on {found[1]}" == wished, sizes, say)
    two = ""
    if not n_most and n_notes > MIN_CHAMBERS:
        two = f"; any two notes need {bores_text(whistle, MIN_CHAMBERS, say)}"
    return Nearest(*found, f"{wished} {why}: {told}{two}.", sizes)


def _why(chord: Chord, instead: Chord, n_most: int, wall: str) -> str:
    n_notes = len(chord.equal_steps)
    if n_notes > n_most:
        holds = f"only {n_most}" if n_most else "not even two"
        return f"has {n_notes} notes, and this body holds {holds} such bores with walls of {wall}"
    return "is out of this wood's reach" if chord == instead else "spans more than these bores can"


def _told(found: tuple[Chord, str], as_wished: bool, sizes: Mapping[str, float], say: Lengths) -> str:
    chord, root = found
    if not sizes:
        return f"the nearest it can take is the {chord.name} on {root}"
    needs = "it needs" if as_wished else f"the nearest is the {chord.name} on {root}, which needs"
    return f"{needs} {wood_text(sizes, say)}"


def _wall_mm(whistle: Whistle) -> float:
    """The wall by which bores are counted here: the plan draws an undrawn body with the wanted one."""
    return whistle.wall_mm if whistle.body.diameter_mm is None else least_wall_mm(whistle)


def _with_long_bores(whistle: Whistle) -> Whistle:
    """The same wood with nothing that keeps the bores short."""
    longest_mm = CHAMBER_LIMITS["bore_length_mm"].high - _ROUNDING_MM
    chambers = tuple(replace(chamber, bore_length_mm=longest_mm) for chamber in whistle.chambers)
    body = Body(window_from_end_mm=whistle.body.window_from_end_mm)
    return replace(whistle, chambers=chambers, body=body, stock=Stock())


def _picked(chord: Chord, root_hz: float, room: Compass, n_most: int, a4_hz: float) -> tuple[Chord, str] | None:
    """The chord on the nearest root, else the nearest chord that there is room for."""
    own = choices(room, n_most, a4_hz, (chord,))
    choice = own[0] if own else _nearest_chord(chord, n_most, room, a4_hz)
    return None if choice is None else (choice.chord, _nearest_root(choice, root_hz, room, a4_hz))


def _nearest_root(choice: ChordChoice, root_hz: float, room: Compass, a4_hz: float) -> str:
    """The wished root where it will do, else the limit on that side; a sure one where there is one."""
    wished = str(nearest_note(root_hz, a4_hz))
    if sureness(choice.chord, note_hz(wished, a4_hz), room) is not Sureness.NOT:
        return wished
    if room.lowest_likely_hz is not None and cents_between(root_hz, room.lowest_likely_hz) < 0.0:
        return choice.lowest_sure or choice.lowest_likely
    return choice.highest_sure or choice.highest_likely


def _nearest_chord(chord: Chord, n_most: int, room: Compass, a4_hz: float) -> ChordChoice | None:
    """The chord of fewer notes, or of a narrower span, that keeps most of the wished notes."""
    wished = {step % _OCTAVE for step in chord.equal_steps}

    def kept(choice: ChordChoice) -> tuple[int, int, int]:
        steps = {step % _OCTAVE for step in choice.chord.equal_steps}
        return len(steps & wished), -len(steps - wished), -abs(max(choice.chord.equal_steps) - max(chord.equal_steps))

    others = [one for one in choices(room, n_most, a4_hz, CHORDS) if one.chord != chord]
    return max(others, key=kept, default=None)
