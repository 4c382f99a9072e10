"""What stands in the fields becomes a whistle, or one sentence about one field."""
from __future__ import annotations

from dataclasses import replace

import pytest

from acoustics.notes import chord_named
from app.description import Description, FieldRefusedError, described, description_of
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
