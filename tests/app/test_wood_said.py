"""Body, stock and drift read from what a maker writes."""
from __future__ import annotations

import pytest

from app.body import Body, Stock
from app.description import Description, Drilled, FieldRefusedError
from app.wood_said import BODY_NAMES, STOCK_NAMES, WoodSaid, said_of, with_wood


def read(lengths: dict[str, str] | None = None, drifts: dict[str, str] | None = None, units: str = "mm") -> Description:
    return with_wood(Description(), WoodSaid(lengths or {}, drifts or {}), units)


def test_what_is_left_empty_says_nothing() -> None:
    read_back = read({"diameter_mm": " ", "kerf_mm": ""})
    assert (read_back.turned, read_back.stock) == (Body(), Stock())
    assert read_back.drilled == (Drilled(),) * 4


def test_every_length_of_body_and_stock_can_be_written() -> None:
    names = {**BODY_NAMES, **STOCK_NAMES}
    lengths_of = {*vars(Body()), *vars(Stock())} - {"dowel_wood"}
    assert set(names) == lengths_of


def test_inches_and_millimetres_are_both_read() -> None:
    stock = read({"blank_width_mm": "2", "dowel_diameter_mm": "12.6 mm", "bit_reach_mm": "5 1/2"}, units="inch").stock
    assert (stock.blank_width_mm, stock.dowel_diameter_mm, stock.bit_reach_mm) == (50.8, 12.6, 139.7)  # by hand


@pytest.mark.parametrize(("text", "offset_mm"), [("0.4", 0.4), ("-0.4", -0.4), ("−1/64", -0.396875), ("0", 0.0)])
def test_a_drift_goes_either_way(text, offset_mm) -> None:
    drilled = read(drifts={"drift_outward_mm B": text}).drilled
    assert drilled[1] == Drilled(drift_outward_mm=offset_mm)
    assert drilled[0] == Drilled()


def test_a_drift_that_is_blanked_is_not_measured_again() -> None:
    before = Description(drilled=(Drilled(drift_outward_mm=0.4, windway_flat_mm=1.2),))
    assert with_wood(before, WoodSaid(), "mm").drilled[0] == Drilled(windway_flat_mm=1.2)


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_what_is_written_into_the_fields_reads_back_as_it_was(units) -> None:
    before = Description(
        turned=Body(diameter_mm=44.45, tenon_length_mm=12.7, windway_flat_mm=1.5875), n_chambers=2,
        stock=Stock(blank_width_mm=50.8, dowel_diameter_mm=12.6, dowel_wood="maple", chucking_mm=0.0),
        drilled=(Drilled(1.0, -0.396875, 0.4), Drilled()),
    )
    after = with_wood(before, said_of(before, units), units)
    assert after.stock.dowel_wood == "maple"
    assert vars(after.turned) == pytest.approx(vars(before.turned), abs=1e-3)
    assert after.stock.dowel_diameter_mm == pytest.approx(12.6, abs=1e-3)
    assert after.stock.chucking_mm == 0.0
    assert after.drilled[0].drift_outward_mm == pytest.approx(-0.396875, abs=1e-3)


@pytest.mark.parametrize(
    ("lengths", "drifts", "field", "sentence"),
    [
        ({"diameter_mm": "4"}, {}, "diameter_mm",
         "Diameter of the body is 4 mm; it must be from 15 to 120 mm: was it typed in inches?"),
        ({}, {"drift_clockwise_mm C": "-33"}, "drift_clockwise_mm C",
         "C's drift clockwise is -33 mm; it must be from -20 to 20 mm: it is where the drill came out against where it "
         "was meant to"),
        ({"blank_height_mm": "40"}, {}, "blank_width_mm",
         "Height of the blank is given without the width of the blank: measure both."),
    ],
)  # fmt: skip
def test_a_refusal_names_its_field_value_limit_and_likely_mistake(lengths, drifts, field, sentence) -> None:
    with pytest.raises(FieldRefusedError) as refusal:
        read(lengths, drifts)
    assert (refusal.value.field, str(refusal.value)) == (field, sentence)


def test_what_is_no_length_is_refused_by_its_name() -> None:
    with pytest.raises(FieldRefusedError, match="^Reach of the longest bit: “long” is not read as a length"):
        read({"bit_reach_mm": "long"})
