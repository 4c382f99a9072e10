"""Lemmon, Jacobsen, Penoncello & Friend (2000), J. Phys. Chem. Ref. Data 29, 331-385: dry air as a real gas.

Evaluated by CoolProp ("Air"), with the transport properties of Lemmon & Jacobsen (2004), Int. J. Thermophys. 25, 21-69.
Stated there (from memory): speed of sound 0.1 %, viscosity and conductivity 2 %.
The tolerances below are our own claims, all tighter.
"""
import CoolProp.CoolProp as CP
import pytest

from acoustics.air import Air, gas_properties, speed_of_sound_iso9613_m_per_s, speed_of_sound_m_per_s
from acoustics.units import cents_between

TEMPERATURES_C = [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0]


def dry_air(what: str, temperature_c: float) -> float:
    return CP.PropsSI(what, "T", temperature_c + 273.15, "P", 101_325.0, "Air")


@pytest.mark.parametrize("temperature_c", TEMPERATURES_C)
def test_cramers_dry_air_is_the_real_gas_within_a_tenth_of_a_cent(temperature_c):
    ours_m_per_s = speed_of_sound_m_per_s(Air(temperature_c, relative_humidity=0.0))
    assert abs(cents_between(ours_m_per_s, dry_air("A", temperature_c))) < 0.1


@pytest.mark.parametrize("temperature_c", TEMPERATURES_C)
def test_round_formula_of_the_standard_lies_up_to_a_cent_below_the_real_gas(temperature_c):
    deviation_cents = cents_between(speed_of_sound_iso9613_m_per_s(temperature_c), dry_air("A", temperature_c))
    assert -1.0 < deviation_cents < -0.3


@pytest.mark.parametrize("temperature_c", [-10.0, *TEMPERATURES_C])
def test_properties_of_dry_air_are_within_half_a_percent(temperature_c):
    gas = gas_properties(Air(temperature_c, relative_humidity=0.0))
    reference = {what: dry_air(what, temperature_c) for what in "DVLCO"}
    assert gas.density_kg_per_m3 == pytest.approx(reference["D"], rel=5e-3)
    assert gas.viscosity_pa_s == pytest.approx(reference["V"], rel=5e-3)
    assert gas.gamma == pytest.approx(reference["C"] / reference["O"], rel=5e-3)
    assert gas.prandtl == pytest.approx(reference["V"] * reference["C"] / reference["L"], rel=5e-3)
