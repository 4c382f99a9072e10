"""A wood that plays a chord nowhere: the sizes that are told do it, and where none are told it can already."""
from __future__ import annotations

import re

import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from acoustics.notes import CHORDS, Chord, chord_named
from acoustics.tuning import Priors
from acoustics.units import shift_hz
from app.body import Body
from app.choices_of_chord import choices, compass, most_chambers
from app.errors import WorldError
from app.hole_plan import least_wall_mm
from app.like import moved, moved_into
from app.nearest_wish import nothing_fits
from app.whistle import Whistle, checked
from app.work_plan import work_plan
from tests.app.test_nearest_wish import chords, is_one_sentence, resized, short, wood, woods

TOLD = {
    "circle_radius_mm": r"a circle of radius ([\d.]+) mm", "diameter_mm": r"a body of ([\d.]+) mm",
    "tenon_diameter_mm": r"a tenon of ([\d.]+) mm", "blank_width_mm": r"a blank of ([\d.]+) mm",
    "bore_length_mm": r"bores ([\d.]+) mm long", "length_mm": r"a body ([\d.]+) mm long",
    "blank_length_mm": r"a blank ([\d.]+) mm long", "bit_reach_mm": r"a bit that reaches ([\d.]+) mm",
}  # fmt: skip
ANY_LENGTH = "at any length"
MANY = settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def as_told(whistle: Whistle, sentence: str) -> Whistle:
    """The wood with every size that is printed there, read back from the words."""
    found = {key: re.search(words, sentence) for key, words in TOLD.items()}
    sizes_mm = {key: float(match[1]) for key, match in found.items() if match}
    assert sizes_mm, sentence
    return checked(resized(whistle, sizes_mm))


def plays(whistle: Whistle, of: tuple[Chord, ...]) -> bool:
    return bool(choices(compass(whistle), most_chambers(whistle), whistle.a4_hz, of))


@given(woods(), st.none() | chords())
@MANY
def test_what_plays_nowhere_is_told_the_wood_that_does(whistle: Whistle, chord: Chord | None) -> None:
    sentence = nothing_fits(whistle, chord)
    of = CHORDS if chord is None else (chord,)
    assert bool(sentence) is not plays(whistle, of), sentence
    if not sentence:
        event("plays")
        return
    is_one_sentence(sentence)
    if " fits this wood" not in sentence:
        event("sizes that do not go together")
        assert sentence in [remark.sentence for remark in work_plan(whistle).refusals]
    elif ANY_LENGTH in sentence:
        event("no length")
    else:
        event("sizes")
        assert plays(as_told(whistle, sentence), of), sentence


@given(woods(), st.lists(st.floats(0.0, 2600.0), min_size=1, max_size=5, unique=True), st.floats(220.0, 900.0))
@MANY
def test_a_recorded_chord_that_goes_nowhere_is_told_the_wood_for_it(whistle: Whistle, over_cents, lowest_hz) -> None:
    notes_hz = (lowest_hz, *(shift_hz(lowest_hz, cents) for cents in sorted(over_cents)))
    try:
        moved_into(notes_hz, whistle, Priors(), "mm")
    except WorldError as refusal:
        sentence = str(refusal)
    else:
        event("moved")
        return
    is_one_sentence(sentence)
    event("no length" if ANY_LENGTH in sentence else "sizes")
    if ANY_LENGTH not in sentence:
        larger = as_told(whistle, sentence)
        assert moved(notes_hz, compass(larger)) is not None, sentence
        assert most_chambers(larger, least_wall_mm(larger)) >= len(notes_hz), sentence


@pytest.mark.parametrize(("whistle", "chord", "sentence"), [
    # derived by hand: walls of 4 mm want 12.7 + 2 (4 + (12.7 + 4) / 2) = 37.4 mm for two half-inch bores
    (wood(body=Body(diameter_mm=30.0)), None,
     "No chord fits this wood with walls of 4 mm: any two notes need a body of 37.4 mm."),
    # derived by hand: three widths of air, one of plug and the hundredth that it must be longer: 50.81, written 50.9
    (short(45.0), None, "No chord fits this wood: any two notes need bores 50.9 mm long."),
    (short(45.0), "major sixth", "The major sixth fits this wood on no lowest note: it needs bores 62.4 mm long."),
])
def test_the_sizes_of_known_woods(whistle: Whistle, chord: str | None, sentence: str) -> None:
    assert nothing_fits(whistle, None if chord is None else chord_named(chord)) == sentence
