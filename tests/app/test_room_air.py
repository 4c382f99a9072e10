"""The thermometer, as it is typed."""
from __future__ import annotations

import pytest

from app.errors import WorldError
from app.room_air import parse_temperature_c, temperature_text


@pytest.mark.parametrize(
    ("text", "expected_c"),
    [("19.5", 19.5), ("19,5 °C", 19.5), ("68 F", 20.0), ("50°f", 10.0), ("", None), ("0", 0.0)],  # derived by hand
)
def test_a_temperature_is_read_in_either_scale(text: str, expected_c: float | None) -> None:
    assert parse_temperature_c(text) == (None if expected_c is None else pytest.approx(expected_c))


@pytest.mark.parametrize(("text", "clue"), [("68", "Write 68 F"), ("-5", "outside 0 to 40"), ("200 F", "outside 32"),
                                            ("warm", "not read"), ("nan", "not read"), ("400", "slip")])
def test_what_is_no_shop_temperature_is_refused_in_one_sentence(text: str, clue: str) -> None:
    with pytest.raises(WorldError, match=clue) as refusal:
        parse_temperature_c(text)
    assert "\n" not in str(refusal.value)


def test_a_temperature_is_shown_as_it_would_be_typed() -> None:
    assert temperature_text(20.0) == "20 °C"
    assert temperature_text(20.0, fahrenheit=True) == "68 °F"
    assert temperature_text(None) == ""
    assert parse_temperature_c(temperature_text(19.5)) == 19.5
