"""What a person types at the bench is read as one length, or refused in one sentence.

25.4 mm to the inch is the definition of the international inch (agreement of 1959, from memory); every expected
length below is derived by hand from it.
"""
from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.errors import WorldError
from app.lengths import MOST_MM, length_text, parse_length_mm

DERIVED_BY_HAND = [
    ("57.6", "mm", 57.6),
    ("57,6", "mm", 57.6),
    (" 57.6 mm ", "inch", 57.6),
    ("5.76 cm", "mm", 57.6),
    ("2 17/64", "mm", 57.546875),  # 145/64 in
    ('2 17/64"', "mm", 57.546875),
    ("2-17/64", "both", 57.546875),
    ("2 17/64 in.", "mm", 57.546875),
    ("2.27 in", "mm", 57.658),
    ("2.27", "inch", 57.658),
    ("1/2", "mm", 12.7),
    ("½", "mm", 12.7),
    ("2½ inches", "mm", 63.5),
    ("17/16", "mm", 26.9875),
    (".5", "mm", 0.5),
    ("3", "inch", 76.2),
    ("3", "both", 3.0),
    ("0", "mm", 0.0),
]


@pytest.mark.parametrize(("text", "units", "expected_mm"), DERIVED_BY_HAND)
def test_what_is_typed_is_the_length_meant(text: str, units: str, expected_mm: float) -> None:
    assert parse_length_mm(text, units) == pytest.approx(expected_mm, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "clue"),
    [
        ("", "No length"),
        ("   ", "No length"),
        ("abc", "not read as a length"),
        ("nan", "not read as a length"),
        ("inf", "not read as a length"),
        ("1e3", "not read as a length"),
        ("-3", "below zero"),
        ("1,234.5", "not read as a length"),
        ("57.6.1", "not read as a length"),
        ("57 6", "not read as a length"),
        ("17/63", "on no inch rule"),
        ("1/0", "on no inch rule"),
        ("2 65/64", "a whole inch or more"),
        ("1/2 mm", "fraction of a millimetre"),
        ("2 furlongs", "not a unit"),
        ("5760", "lost decimal point"),
        ("57.6 in", "wrong unit"),
        ("9" * 400, "lost decimal point"),
        ("9" * 400 + " 1/2", "not read as a length"),
    ],
)
def test_what_is_no_length_is_refused_in_one_sentence(text: str, clue: str) -> None:
    with pytest.raises(WorldError) as refusal:
        parse_length_mm(text)
    sentence = str(refusal.value)
    assert "\n" not in sentence
    assert len(sentence) < 160
    assert clue in sentence


def test_a_bare_number_is_inches_only_for_who_works_in_inches() -> None:
    assert parse_length_mm("1", "inch") > parse_length_mm("1", "both") == parse_length_mm("1", "mm")


@given(st.floats(min_value=0, max_value=MOST_MM - 1), st.sampled_from(["mm", "inch", "both"]))
def test_a_length_put_into_a_field_is_read_back(length_mm: float, units: str) -> None:
    assert parse_length_mm(length_text(length_mm, units), units) == pytest.approx(length_mm, abs=1e-3)


@given(st.integers(min_value=1, max_value=39 * 64))
def test_every_sixty_fourth_comes_back_as_the_fraction_it_was(sixty_fourths: int) -> None:
    length_mm = sixty_fourths / 64 * 25.4
    text = length_text(length_mm, "inch")
    assert "." not in text
    assert parse_length_mm(text, "inch") == pytest.approx(length_mm, abs=1e-9)


@given(st.text(max_size=40), st.sampled_from(["mm", "inch", "both"]))
def test_whatever_is_typed_is_a_length_or_one_sentence(text: str, units: str) -> None:
    try:
        outcome: object = parse_length_mm(text, units)
    except WorldError as refusal:
        outcome = str(refusal)
    assert "\n" not in outcome if isinstance(outcome, str) else 0 <= outcome <= MOST_MM
