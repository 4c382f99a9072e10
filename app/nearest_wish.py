"""A wish that this wood cannot grant, said in one sentence with the nearest one that it can.

Where this wood grants no chord at all, the sentence says how much wood the nearest chord needs.
"""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from acoustics.notes import CHORDS, Chord, nearest_note, note_hz
from acoustics.tuning import Priors
from acoustics.units import cents_between
from app.choices_of_chord import ChordChoice, Compass, Sureness, choices, compass, most_chambers, sureness
from app.hole_plan import least_wall_mm
from app.more_wood import bores_text, with_long_bores, wood_for_bores, wood_for_note, wood_for_span, wood_text
from app.remark import Lengths
from app.whistle import Whistle
from app.whistle_limits import MIN_CHAMBERS
from app.work_plan import work_plan

_OCTAVE = 12
_NARROWEST_STEPS = min(max(chord.equal_steps) for chord in CHORDS)


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
        found = _picked(chord, root_hz, compass(with_long_bores(whistle), priors), n_most or n_notes, a4_hz)
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


def nothing_fits(whistle: Whistle, chord: Chord | None = None, priors: Priors | None = None, units: str = "mm") -> str:
    """Why this wood plays no chord at all, or this one on no root, and the wood that would; empty where it can.

    Counted with the wanted walls, as everything is that is offered without being asked for.
    """
    say, n_notes = Lengths(units), MIN_CHAMBERS if chord is None else len(chord.equal_steps)
    n_steps = _NARROWEST_STEPS if chord is None else max(chord.equal_steps)
    too_many = n_notes > most_chambers(whistle)
    whole = replace(whistle, body=replace(whistle.body, least_wall_mm=whistle.wall_mm))
    sizes = wood_for_bores(whole, n_notes, say) if too_many else {}
    longer = wood_for_span(whistle, 100.0 * n_steps, whistle.a4_hz, say, priors)
    what = "No chord fits this wood" if chord is None else f"The {chord.name} fits this wood on no lowest note"
    if longer is None:
        spans = "the narrowest spans" if chord is None else "it spans"
        return f"{what}: {spans} {n_steps} semitones, more than bores so wide can at any length."
    if too_many and not sizes:  # what no fewer bores would cure: a body thicker than its blank, or swapped sizes
        return next((remark.sentence for remark in work_plan(whistle, priors, units).refusals), "")
    sizes |= longer
    if not sizes:
        return ""
    walls = f" with walls of {say.size(whistle.wall_mm)}" if too_many else ""
    return f"{what}{walls}: {'any two notes need' if chord is None else 'it needs'} {wood_text(sizes, say)}."


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
