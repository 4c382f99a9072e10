"""Cents and inch fractions: values by hand, round trips, and which way each rounding spares wood."""
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from acoustics.errors import OutOfRangeError
from acoustics.units import cents_between, inch_fraction_down, inch_fraction_up, inch_to_mm, mm_to_inch, shift_hz

FREQUENCIES_HZ = st.floats(20.0, 20_000.0)
LENGTHS_MM = st.floats(0.0, 500.0)
ONE_64TH_MM = 25.4 / 64


@pytest.mark.parametrize(
    ("frequency_hz", "reference_hz", "deviation_cents"),
    [(880.0, 440.0, 1200.0), (440.0, 880.0, -1200.0), (600.0, 600.0, 0.0), (600.0 * 2 ** (5 / 1200), 600.0, 5.0)],
)
def test_cents_are_those_worked_by_hand(frequency_hz, reference_hz, deviation_cents):
    assert cents_between(frequency_hz, reference_hz) == pytest.approx(deviation_cents, abs=1e-9)


def test_sharper_note_is_positive():
    assert cents_between(601.0, 600.0) > 0 > cents_between(599.0, 600.0)


@given(FREQUENCIES_HZ, st.floats(-3600.0, 3600.0))
def test_shifting_by_cents_is_undone_by_measuring_them(frequency_hz, cents):
    assert cents_between(shift_hz(frequency_hz, cents), frequency_hz) == pytest.approx(cents, abs=1e-9)


@given(FREQUENCIES_HZ, FREQUENCIES_HZ, FREQUENCIES_HZ)
def test_cents_add_along_a_chain_of_notes(first_hz, second_hz, third_hz):
    chain = cents_between(third_hz, second_hz) + cents_between(second_hz, first_hz)
    assert chain == pytest.approx(cents_between(third_hz, first_hz), abs=1e-8)


@pytest.mark.parametrize("silence_hz", [0.0, -440.0, math.nan, math.inf])
def test_silence_has_no_cents(silence_hz):
    with pytest.raises(OutOfRangeError, match="above 0"):
        cents_between(silence_hz, 440.0)
    with pytest.raises(OutOfRangeError, match="above 0"):
        cents_between(440.0, silence_hz)


@given(LENGTHS_MM)
def test_inches_and_millimetres_are_each_others_inverse(length_mm):
    assert inch_to_mm(mm_to_inch(length_mm)) == pytest.approx(length_mm, abs=1e-9)


@pytest.mark.parametrize(
    ("length_mm", "down", "up"),
    [
        (25.4, "1", "1"),  # by hand
        (12.7, "1/2", "1/2"),
        (57.6, "2 17/64", "2 9/32"),  # 57.6 / 25.4 * 64 = 145.13
        (0.0, "0", "0"),
        (0.39, "0", "1/64"),
        (9.525, "3/8", "3/8"),
        (184.15, "7 1/4", "7 1/4"),
    ],
)
def test_fraction_is_the_one_worked_by_hand(length_mm, down, up):
    assert str(inch_fraction_down(length_mm)) == down
    assert str(inch_fraction_up(length_mm)) == up


@given(LENGTHS_MM)
def test_cut_is_never_rounded_up_and_what_is_left_never_down(length_mm):
    assert inch_fraction_down(length_mm).length_mm <= length_mm + 1e-6
    assert inch_fraction_up(length_mm).length_mm >= length_mm - 1e-6


@given(LENGTHS_MM)
def test_fraction_and_leftover_make_the_length_again(length_mm):
    for fraction in (inch_fraction_down(length_mm), inch_fraction_up(length_mm)):
        assert fraction.length_mm + fraction.leftover_mm == pytest.approx(length_mm, abs=1e-9)
        assert abs(fraction.leftover_mm) < ONE_64TH_MM
        assert math.gcd(fraction.numerator, fraction.denominator) == 1


@given(st.integers(0, 64 * 20))
def test_length_that_is_on_the_rule_is_not_moved_off_it(n_64ths):
    on_the_rule_mm = n_64ths * ONE_64TH_MM
    assert str(inch_fraction_down(on_the_rule_mm)) == str(inch_fraction_up(on_the_rule_mm))


def test_coarser_rule_gives_coarser_fraction():
    assert str(inch_fraction_down(57.6, parts=8)) == "2 1/4"


@pytest.mark.parametrize("length_mm", [-0.1, 10_001.0, math.nan])
def test_length_that_no_rule_has_is_refused(length_mm):
    with pytest.raises(OutOfRangeError, match="length in mm"):
        inch_fraction_down(length_mm)


def test_rule_divided_in_tenths_is_refused():
    with pytest.raises(OutOfRangeError, match="10 parts"):
        inch_fraction_up(10.0, parts=10)
