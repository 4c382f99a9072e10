"""What a whistle's chord is called: by its intervals, and by its notes."""
from __future__ import annotations

from acoustics.notes import CHORDS, Chord, chord_hz, nearest_note
from acoustics.units import cents_between
from app.chord_kin import kin_of
from app.whistle import Chamber, Whistle

WITHIN_CENTS = 20.0  # further off it is a chord of the maker's own


def note_of(chamber: Chamber, a4_hz: float) -> str:
    """As the maker calls it, else the nearest of the scale."""
    return chamber.note or str(nearest_note(chamber.target_hz, a4_hz))


def notes_of(whistle: Whistle) -> str:
    return "  ".join(note_of(chamber, whistle.a4_hz) for chamber in whistle.chambers)


def chord_of(whistle: Whistle) -> Chord | None:
    """The chord with those intervals, equal or just; None when they are the maker's own."""
    targets_hz = [chamber.target_hz for chamber in whistle.chambers]
    found: list[tuple[float, int, Chord]] = []
    for number, chord in enumerate(CHORDS):
        for just in (False, True):
            if len(chord.equal_steps) == len(targets_hz) and not (just and chord.just_ratio is None):
                planned_hz = chord_hz(chord, targets_hz[0], just)
                off_cents = max(abs(cents_between(*pair)) for pair in zip(targets_hz, planned_hz, strict=True))
                found.append((off_cents, number, chord))
    nearest = min(found, default=None, key=lambda one: one[:2])
    return nearest[2] if nearest is not None and nearest[0] <= WITHIN_CENTS else None


def name_of(whistle: Whistle) -> str:
    """ "major sixth", or the count of notes where they are the maker's own."""
    chord = chord_of(whistle)
    return chord.name if chord is not None else f"chord of {len(whistle.chambers)} notes"


def other_name_of(whistle: Whistle) -> str:
    """One more name of those very notes, "minor seventh on D"; empty when there is none."""
    chord = chord_of(whistle)
    kin = kin_of(chord) if chord is not None else ()
    if not kin:
        return ""
    root_hz = whistle.chambers[0].target_hz * 2.0 ** (kin[0].steps_up / 12.0)
    return f"{kin[0].chord.name} on {nearest_note(root_hz, whistle.a4_hz).name}"
