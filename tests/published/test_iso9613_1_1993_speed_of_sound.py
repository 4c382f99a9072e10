"""ISO 9613-1:1993, formula A.5: c = 343.2 sqrt(T / 293.15), for -20 to 50 degC.

343.2 m/s at 20 degC is the one figure printed. That the square root law is followed is checked at absolute temperatures
that are squares of simple fractions of 293.15 K, where the speed is derived by hand.
"""
import pytest

from acoustics.air import speed_of_sound_iso9613_m_per_s


def test_value_at_twenty_degrees_is_the_printed_one():
    assert speed_of_sound_iso9613_m_per_s(20.0) == 343.2


@pytest.mark.parametrize(("fraction", "speed_m_per_s"), [(31 / 32, 332.475), (33 / 32, 353.925)])
def test_speed_goes_as_the_square_root_of_absolute_temperature(fraction, speed_m_per_s):
    temperature_c = 293.15 * fraction**2 - 273.15  # 1.96 and 38.6 degC
    assert speed_of_sound_iso9613_m_per_s(temperature_c) == pytest.approx(speed_m_per_s, rel=1e-12)
