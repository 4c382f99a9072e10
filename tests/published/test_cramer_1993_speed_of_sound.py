"""Cramer (1993), J. Acoust. Soc. Am. 93, 2510-2516: the uncertainty its abstract states, 300 ppm from 0 to 30 degC.

The judge is the humid-air model of Herrmann, Kretzschmar & Gatley (2009), ASHRAE RP-1485, as CoolProp evaluates it: the
speed of sound at frozen composition, c^2 = (cp / cv) / (d rho / d p)_T. It shares no formula with Cramer's fit.
"""
import math

import CoolProp.CoolProp as CP
import pytest

from acoustics.air import Air, speed_of_sound_m_per_s
from acoustics.units import cents_between

STATED = 300e-6
STATED_CENTS = 1731.234 * STATED  # 0.52


def reference_m_per_s(air: Air, step_pa: float = 50.0) -> float:
    temperature_k, pressure_pa = air.temperature_c + 273.15, air.pressure_pa
    state = ("T", temperature_k, "P", pressure_pa, "R", air.relative_humidity)
    water = CP.HAPropsSI("W", *state)
    density = [1.0 / CP.HAPropsSI("Vha", "T", temperature_k, "P", pressure_pa + sign * step_pa, "W", water)
               for sign in (-1, 1)]
    gamma = CP.HAPropsSI("cp_ha", *state) / CP.HAPropsSI("cv_ha", *state)
    return math.sqrt(gamma * 2.0 * step_pa / (density[1] - density[0]))


@pytest.mark.parametrize("pressure_pa", [75_000.0, 101_325.0])
@pytest.mark.parametrize("relative_humidity", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("temperature_c", [0.0, 10.0, 20.0, 25.0, 30.0])
def test_speed_of_sound_keeps_the_uncertainty_that_the_paper_states(temperature_c, relative_humidity, pressure_pa):
    air = Air(temperature_c, relative_humidity, pressure_pa)
    assert speed_of_sound_m_per_s(air) == pytest.approx(reference_m_per_s(air), rel=STATED)


@pytest.mark.parametrize("relative_humidity", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("temperature_c", [-10.0, -5.0, 35.0, 40.0])
def test_shop_colder_or_hotter_than_the_papers_range_stays_within_its_uncertainty(temperature_c, relative_humidity):
    air = Air(temperature_c, relative_humidity)
    assert abs(cents_between(speed_of_sound_m_per_s(air), reference_m_per_s(air))) < STATED_CENTS


def test_humidity_moves_the_pitch_as_far_as_the_reference_says():
    # 0 to 100 % at 20 degC. Twice the paper's uncertainty, since two of its values are taken from one another.
    dry, wet = Air(20.0, 0.0), Air(20.0, 1.0)
    ours_cents = cents_between(speed_of_sound_m_per_s(wet), speed_of_sound_m_per_s(dry))
    reference_cents = cents_between(reference_m_per_s(wet), reference_m_per_s(dry))
    assert ours_cents > 0
    assert ours_cents == pytest.approx(reference_cents, abs=2 * STATED_CENTS)
