"""What stands in the fields becomes a whistle, or one sentence about one field."""
from __future__ import annotations

from dataclasses import replace

import pytest

from acoustics.notes import chord_named
from app.body import Body, Stock
from app.chord_kin import inverted
from app.description import Description, Drilled, FieldRefusedError, described, description_of
from app.whistle import Whistle

HARBOUR = Description(
    name="Tidewick harbour whistle", number=4, of=12, wood="cherry", caps="ash",
    sizes={"bore_mm": ("1/2",), "bore_length_mm": ("140",), "window_width_mm": ("10",), "window_height_mm": ("6",)},
    body={"fipple_length_mm": "20", "wall_mm": "4"}, chord=chord_named("major sixth"), lowest_note="F5",
    temperature_c=19.5,
)  # fmt: skip


def refused(description: Description, units: str = "mm") -> FieldRefusedError:
    with pytest.raises(FieldRefusedError) as refusal:
        described(description, units)
    assert "\n" not in str(refusal.value)
    return refusal.value


def test_the_fields_become_a_lettered_whistle_lowest_first() -> None:
    whistle = described(HARBOUR, "mm")
    assert [(c.letter, c.note) for c in whistle.chambers] == [("A", "F5"), ("B", "A5"), ("C", "C6"), ("D", "D6")]
    assert whistle.chambers[1].target_hz == pytest.approx(880.0)  # published: ISO 16, an octave above 440
    assert {c.bore_mm for c in whistle.chambers} == {12.7}
    assert whistle.air.temperature_c == 19.5


def test_a_whistle_taken_apart_into_fields_is_the_same_whistle_again() -> None:
    whistle = described(replace(HARBOUR, sizes=HARBOUR.sizes | {"window_height_mm": ("7", "6", "5.5", "5")}), "mm")
    for units in ("mm", "inch", "both"):
        again = described(description_of(whistle, units), units)
        assert again.id == whistle.id
        assert [c.note for c in again.chambers] == [c.note for c in whistle.chambers]
        for chamber, same in zip(whistle.chambers, again.chambers, strict=True):
            assert same.window_height_mm == pytest.approx(chamber.window_height_mm, abs=1e-3)
            assert same.target_hz == pytest.approx(chamber.target_hz, abs=0.01)


def test_a_target_that_is_no_note_of_the_scale_is_kept_as_a_frequency() -> None:
    whistle = described(HARBOUR, "mm")
    odd = replace(whistle, chambers=(replace(whistle.chambers[0], target_hz=690.0), *whistle.chambers[1:]))
    again: Whistle = described(description_of(odd, "mm"), "mm")
    assert again.chambers[0].target_hz == 690.0


@pytest.mark.parametrize(
    ("change", "field", "clue"),
    [
        ({"name": " "}, "name", "no name"),
        ({"lowest_note": "H5"}, "lowest_note", "not a note"),
        ({"lowest_note": "F2"}, "lowest_note", "an octave away"),
        ({"chord": None, "own_notes": "F5 A5 C6"}, "own_notes", "3 notes are named for 4"),
        ({"chord": None, "own_notes": "F5 C6 A5 D6"}, "own_notes", "lowest note first"),
        ({"chord": None, "own_notes": "F5 A5 nanHz D6"}, "own_notes", "Hz"),
        ({"chord": None, "own_notes": "F5 A5 C6+120 D6"}, "own_notes", "not a note"),
        ({"chord": chord_named("augmented triad"), "n_chambers": 3, "just": True}, "chord", "no agreed just form"),
        ({"sizes": HARBOUR.sizes | {"bore_mm": ("0.5",)}}, "bore_mm", "typed in inches"),
        ({"sizes": HARBOUR.sizes | {"bore_mm": ("127",)}}, "bore_mm", "lost decimal point"),
        ({"sizes": HARBOUR.sizes | {"bore_mm": ("",)}}, "bore_mm", "No length"),
        ({"sizes": HARBOUR.sizes | {"window_width_mm": ("14",)}}, "window_width_mm", "swapped"),
        ({"sizes": HARBOUR.sizes | {"window_height_mm": ("6", "6", "60", "6")}}, "window_height_mm C", "C's window"),
        ({"body": {"fipple_length_mm": "20", "wall_mm": "x"}}, "wall_mm", "not read as a length"),
    ],
)
def test_a_field_that_cannot_be_used_is_named_with_the_likely_mistake(
    change: dict[str, object], field: str, clue: str
) -> None:
    refusal = refused(replace(HARBOUR, **change))
    assert refusal.field == field
    assert clue in str(refusal)


def test_a_known_chord_is_known_again_by_its_steps() -> None:
    again = description_of(described(HARBOUR, "mm"), "mm")
    assert again.chord == chord_named("major sixth")
    assert again.lowest_note == "F5"


@pytest.mark.parametrize("just", [False, True])
def test_a_chord_turned_over_is_known_again_turned_over(just: bool) -> None:
    # published: a dominant seventh's first inversion has 3, 6 and 8 steps over its third (any book of harmony)
    turned = inverted(chord_named("dominant seventh"), 1)
    assert turned.equal_steps == (0, 3, 6, 8)
    again = description_of(described(replace(HARBOUR, chord=turned, just=just), "mm"), "mm")
    assert (again.chord, again.lowest_note, again.just) == (turned, "F5", just)


def test_what_no_field_shows_is_handed_on_as_it_is() -> None:
    """The window's fields say nothing of these yet, and must not lose them."""
    drilled = (Drilled(1.2, 0.4, -0.1), Drilled())
    said = replace(HARBOUR, turned=Body(diameter_mm=46.0), stock=Stock(kerf_mm=1.5), drilled=drilled)
    whistle = described(said, "mm")
    assert (whistle.body.diameter_mm, whistle.stock.kerf_mm) == (46.0, 1.5)
    assert (whistle.chambers[0].windway_flat_mm, whistle.chambers[0].drift_outward_mm) == (1.2, 0.4)
    assert whistle.chambers[3].drift_outward_mm is None
    again = described(description_of(whistle, "mm"), "mm")
    assert (again.body, again.stock, again.chambers) == (whistle.body, whistle.stock, whistle.chambers)


def test_a_just_chord_is_known_again_as_just() -> None:
    whistle = described(replace(HARBOUR, just=True), "mm")
    # published: Ellis in Helmholtz (1885), 12:15:18:20
    assert whistle.chambers[3].target_hz / whistle.chambers[0].target_hz == pytest.approx(20 / 12, rel=1e-5)
    again = description_of(whistle, "mm")
    assert (again.chord, again.just) == (chord_named("major sixth"), True)
    assert described(again, "mm").chambers[1].target_hz == pytest.approx(whistle.chambers[1].target_hz, abs=1e-3)


@pytest.mark.parametrize(("text", "frequency_hz"), [
    # derived by hand: 880 x 2^(12 / 1200), 880 x 2^(-14 / 1200), 880 x 2^(-0.5 / 1200)
    ("A5+12", 886.121), ("A5-14", 872.912), ("A5\u221214c", 872.912), ("A5-0.5cents", 879.746), ("873.5Hz", 873.5),
])
def test_a_note_of_your_own_may_lie_off_the_scale(text: str, frequency_hz: float) -> None:
    whistle = described(replace(HARBOUR, chord=None, own_notes=f"F5 {text} C6 D6"), "mm")
    assert whistle.chambers[1].target_hz == pytest.approx(frequency_hz, abs=0.001)
    assert whistle.chambers[1].note == text
