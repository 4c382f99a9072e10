"""The window's share of the length, from geometry."""
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from acoustics.errors import OutOfRangeError
from acoustics.window import window_prior_mm

SIDES_MM = st.floats(2.0, 20.0)


def test_half_inch_bore_with_a_ten_by_six_window_has_twelve_millimetres():
    # Derived by hand: 2.3 * 6.35^2 / sqrt(60) = 92.74 / 7.746 = 11.97.
    assert window_prior_mm(12.7, 10.0, 6.0) == pytest.approx(11.97, abs=0.005)


@settings(deadline=None)
@given(SIDES_MM, SIDES_MM)
def test_larger_window_weighs_less_and_only_its_area_counts(width_mm, height_mm):
    share_mm = window_prior_mm(12.7, width_mm, height_mm)
    assert window_prior_mm(12.7, width_mm + 0.1, height_mm) < share_mm
    assert window_prior_mm(12.7, height_mm, width_mm) == pytest.approx(share_mm)


def test_share_grows_with_the_area_of_the_bore():
    assert window_prior_mm(20.0, 10.0, 6.0) == pytest.approx(4.0 * window_prior_mm(10.0, 10.0, 6.0))


def test_window_typed_in_inches_is_refused():
    with pytest.raises(OutOfRangeError, match="inches"):
        window_prior_mm(12.7, 0.39, 0.24)
