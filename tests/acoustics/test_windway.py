"""The slot and the breath, against integration and the numbers worked by hand."""
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from acoustics.errors import OutOfRangeError
from acoustics.windway import (
    breath_lasts_s,
    graded_height_mm,
    intonation_number,
    jet_speed_m_per_s,
    windway_area_mm2,
    windway_width_mm,
)


@given(st.floats(6.0, 20.0), st.floats(0.05, 1.0))
def test_area_is_the_integral_of_the_width(dowel_mm, share):
    flat_mm = max(0.1, 0.5 * share * dowel_mm)
    depths = np.linspace(0.0, flat_mm, 20_001)
    widths = 2.0 * np.sqrt(depths * (dowel_mm - depths))
    assert windway_area_mm2(dowel_mm, flat_mm) == pytest.approx(np.trapezoid(widths, depths), rel=1e-4)


def test_a_flat_to_the_middle_is_as_wide_as_the_dowel():
    assert windway_width_mm(12.7, 6.35) == pytest.approx(12.7)
    assert windway_area_mm2(12.7, 6.35) == pytest.approx(math.pi * 6.35**2 / 2.0)


def test_four_eighth_inch_flats_empty_the_lungs_in_about_a_second():
    """Worked by hand: 100 mm2 at 28.9 m/s is 2.9 litres a second."""
    area_mm2 = 4.0 * windway_area_mm2(12.7, 3.175)
    assert jet_speed_m_per_s(500.0) == pytest.approx(28.87, abs=0.01)
    assert breath_lasts_s(area_mm2, 500.0) == pytest.approx(1.04, abs=0.03)


def test_a_thinner_windway_makes_the_breath_last_longer():
    assert breath_lasts_s(20.0, 500.0) > breath_lasts_s(40.0, 500.0)


@given(st.floats(300.0, 1300.0), st.floats(300.0, 1300.0), st.floats(4.0, 12.0))
def test_graded_windows_give_one_intonation_number(low_hz, high_hz, height_mm):
    other_mm = graded_height_mm(high_hz, low_hz, height_mm)
    if not 1.0 <= other_mm <= 40.0:
        return
    assert intonation_number(low_hz, height_mm, 1.0, 500.0) == pytest.approx(
        intonation_number(high_hz, other_mm, 1.0, 500.0)
    )


def test_an_octave_lower_wants_a_window_about_1_6_times_as_long():
    assert graded_height_mm(440.0, 880.0, 6.0) / 6.0 == pytest.approx(2.0 ** (2.0 / 3.0))


@pytest.mark.parametrize(("breath_pa", "number"), [(50, 0.924), (100, 1.307), (200, 1.849), (400, 2.615), (800, 3.698)])
def test_intonation_numbers_worked_by_hand(breath_pa, number):
    """600 Hz, window 6 mm, windway 0.8 mm, 1.204 kg/m3."""
    assert intonation_number(600.0, 6.0, 0.8, breath_pa, 1.204) == pytest.approx(number, rel=0.005)


def test_a_flat_deeper_than_the_radius_is_refused():
    with pytest.raises(OutOfRangeError, match="taken off one side"):
        windway_width_mm(12.7, 7.0)
