"""What was heard of a chord that is liked, how sure it is, and where it was moved, in plain sentences."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from acoustics.like import Doubt, Hidden, LikedChord, LikedNote
from acoustics.notes import Chord, nearest_note
from acoustics.units import cents_between
from app.choices_of_chord import Sureness
from app.chord_kin import intervals_of
from app.like import Intervals, Likeness, Moved
from app.whistle import LETTERS

DOUBTS = {
    Doubt.FAINT: "is faint and may be something else in the room",
    Doubt.MULTIPLE: "lies on a line of a lower note but does not turn with it, so it was taken as a note",
    Doubt.TOO_NEAR: "has another line too near to tell beside it and was taken as one note",
    Doubt.SWELLS: "swells and fades, as two notes do that are too near to tell",
}
MULTIPLES = {2: "an octave", 3: "a twelfth", 4: "two octaves"}
INTERVALS = {
    Intervals.HEARD: "the intervals are as heard", Intervals.EQUAL: "the intervals are rounded to equal steps",
    Intervals.JUST: "the intervals are rounded to whole-number ratios",
}
LEAST_ERROR_CENTS = 0.1
VOWELS = "aeiou"


def likeness_lines(likeness: Likeness, file_name: str, a4_hz: float) -> Iterator[str]:
    """The notes, the chord's name, and how sure both are."""
    heard = likeness.heard
    yield (
        f"{file_name}, {heard.start_s:.2f} to {heard.end_s:.2f} s: {len(heard.notes)} notes; tones are"
        f" {100.0 * heard.tone_share:.0f} % of the sound, the rest is noise."
    )
    for letter, note in zip(LETTERS, heard.notes, strict=False):
        yield _note_line(letter, note, heard.notes[0], a4_hz)
    yield _name_line(likeness)
    yield from sureness_lines(heard)


def sureness_lines(heard: LikedChord) -> Iterator[str]:
    """Whether there are just so many notes."""
    if heard.is_sure:
        yield f"That there are {len(heard.notes)} is sure, as far as the sound goes."
        return
    yield f"That there are {len(heard.notes)} is not sure:"
    for letter, note in zip(LETTERS, heard.notes, strict=False):
        yield from (f"    {letter} {DOUBTS[doubt]}." for doubt in note.doubts)
    yield from (f"    {line}" for line in _hidden_lines(heard.hidden))
    if heard.is_noisy:
        yield "    Much of the sound is noise, under which a fundamental may be lost and a higher line stand for it."
    if heard.is_clipped:
        yield "    The recording is clipped, which can put notes into it that nobody blew."


def moved_line(moved: Moved, intervals: Intervals, a4_hz: float) -> str:
    """Where it will be played, against where it was heard."""
    lowest = nearest_note(moved.notes_hz[0], a4_hz)
    can = "surely" if moved.sureness is Sureness.SURE else "probably"
    on = f"{lowest} {lowest.deviation_cents:+.1f} cents"
    if moved.shift_semitones == 0.0:
        return f"It stays on {on}, where this wood can {can} play it; {INTERVALS[intervals]}."
    way = "up" if moved.shift_semitones > 0.0 else "down"
    size = abs(moved.shift_semitones)
    by = f"{size:.0f}" if size == round(size) else f"{size:.2f}"
    return (
        f"It is moved {way} by {by} semitone{'s' * (by != '1')} to {on}, where this wood can {can} play it;"
        f" {INTERVALS[intervals]}."
    )


def _note_line(letter: str, note: LikedNote, lowest: LikedNote, a4_hz: float) -> str:
    name = nearest_note(note.frequency_hz, a4_hz)
    over = cents_between(note.frequency_hz, lowest.frequency_hz)
    above = f"{over:7.1f} cents over {LETTERS[0]}" if note is not lowest else " " * 20
    return (
        f"{letter}  {name!s:4}{name.deviation_cents:+6.1f} cents {note.frequency_hz:8.1f} Hz  {above}"
        f"  ± {max(note.standard_error_cents, LEAST_ERROR_CENTS):.1f}, {round(note.level_db)} dB"
    )


def _name_line(likeness: Likeness) -> str:
    chord = likeness.chord
    if chord is None:
        steps = tuple(round(cents_between(hz, likeness.notes_hz[0]) / 100.0) for hz in likeness.notes_hz)
        return f"No chord that is known here: over A stand about {intervals_of(Chord('', steps))}."
    off = f"{likeness.off_equal_cents:.1f} cents off equal steps"
    if likeness.off_just_cents is not None and chord.just_ratio is not None:
        off += f", {likeness.off_just_cents:.1f} off {':'.join(map(str, chord.just_ratio))}"
    held = intervals_of(chord)
    name = chord.name if held in chord.name else f"{chord.name} ({held})"
    return f"Nearest to {'an' if name[0] in VOWELS else 'a'} {name}: at most {off}."


def _hidden_lines(hidden: Sequence[Hidden]) -> Iterator[str]:
    for number in sorted({one.number for one in hidden}):
        letters = [LETTERS[one.note] for one in hidden if one.number == number]
        named = letters[0] if len(letters) == 1 else f"{', '.join(letters[:-1])} or {letters[-1]}"
        yield f"A note just {MULTIPLES[number]} over {named} would be hidden under that one's own line."
