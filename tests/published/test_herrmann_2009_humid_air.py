"""Herrmann, Kretzschmar & Gatley (2009), HVAC&R Research 15, 961-986: humid air, as CoolProp evaluates it.

The tolerance, half a percent, is our own claim for each property over the whole range that `Air` takes. The Prandtl
number's straight line and the two slopes with vapour were fitted to this model, so for these the check guards the fit.
"""
import CoolProp.CoolProp as CP
import pytest

from acoustics.air import Air, gas_properties, vapour_mole_fraction


def humid_air(what: str, air: Air) -> float:
    return CP.HAPropsSI(what, "T", air.temperature_c + 273.15, "P", air.pressure_pa, "R", air.relative_humidity)


@pytest.mark.parametrize("pressure_pa", [75_000.0, 101_325.0, 105_000.0])
@pytest.mark.parametrize("relative_humidity", [0.25, 0.5, 0.75, 1.0])
@pytest.mark.parametrize("temperature_c", [-10.0, 0.0, 10.0, 20.0, 30.0, 40.0])
def test_properties_of_humid_air_are_within_half_a_percent(temperature_c, relative_humidity, pressure_pa):
    air = Air(temperature_c, relative_humidity, pressure_pa)
    gas = gas_properties(air)
    viscosity, heat = humid_air("mu", air), humid_air("cp_ha", air)
    assert gas.density_kg_per_m3 == pytest.approx(1.0 / humid_air("Vha", air), rel=5e-3)
    assert gas.viscosity_pa_s == pytest.approx(viscosity, rel=5e-3)
    assert gas.gamma == pytest.approx(heat / humid_air("cv_ha", air), rel=5e-3)
    assert gas.prandtl == pytest.approx(viscosity * heat / humid_air("K", air), rel=5e-3)


@pytest.mark.parametrize("temperature_c", [1.0, 10.0, 20.0, 30.0, 40.0])
def test_share_of_vapour_is_that_of_the_reference(temperature_c):
    # Two formulas of the vapour pressure over water differ by up to 0.1 %; 0.3 % of the vapour is 0.03 cents at 30 C.
    # Below 0 degC they part on purpose: the one used here is for water, the reference takes ice.
    air = Air(temperature_c, 0.6)
    ours = vapour_mole_fraction(air.temperature_c, air.relative_humidity, air.pressure_pa)
    assert ours == pytest.approx(humid_air("psi_w", air), rel=3e-3)
