"""What a whistle's chord is called: by its intervals, and by its notes."""
from __future__ import annotations

from acoustics.notes import Chord, nearest_note
from app.chord_kin import also_called, chord_called
from app.whistle import Chamber, Whistle

WITHIN_CENTS = 20.0  # further off it is a chord of the maker's own


def note_of(chamber: Chamber, a4_hz: float) -> str:
    """As the maker calls it, else the nearest of the scale."""
    return chamber.note or str(nearest_note(chamber.target_hz, a4_hz))


def notes_of(whistle: Whistle) -> str:
    return "  ".join(note_of(chamber, whistle.a4_hz) for chamber in whistle.chambers)


def chord_of(whistle: Whistle) -> Chord | None:
    """The chord with those intervals, turned over or not, equal or just; None when they are the maker's own."""
    called = chord_called([chamber.target_hz for chamber in whistle.chambers], WITHIN_CENTS)
    return called.chord if called is not None else None


def name_of(whistle: Whistle) -> str:
    """ "major sixth", or the count of notes where they are the maker's own."""
    chord = chord_of(whistle)
    return chord.name if chord is not None else f"chord of {len(whistle.chambers)} notes"


def other_names_of(whistle: Whistle) -> str:
    """The other names of those very notes, "minor seventh on D"; empty when there is none."""
    chord = chord_of(whistle)
    return " or ".join(also_called(chord, whistle.chambers[0].target_hz, whistle.a4_hz)) if chord else ""
