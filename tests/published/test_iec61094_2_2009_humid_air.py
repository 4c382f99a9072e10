"""IEC 61094-2:2009, *Measurement microphones - Part 2*, Annex F, Table F.1: humid air, 400 ppm of CO2, twice.

The printed figures were taken from a public transcription of the table. The standard takes Cramer's speed of sound, so
that column proves the sixteen coefficients and the vapour formulas to the last printed figure; the other columns rest
on formulas that are not ours.
"""
from typing import NamedTuple

import pytest

from acoustics.air import Air, gas_properties, speed_of_sound_m_per_s


class Printed(NamedTuple):
    air: Air
    speed_m_per_s: float
    density_kg_per_m3: float
    gamma: float
    viscosity_pa_s: float
    diffusivity_m2_per_s: float


TABLE_F1 = [
    Printed(Air(23.0, 0.50, 101_325.0), 345.86652, 1.1860848, 1.4007573, 1.826566e-5, 2.115317e-5),
    Printed(Air(20.0, 0.65, 80_000.0), 344.38267, 0.9441589, 1.4000266, 1.811295e-5, 2.627024e-5),
]


@pytest.mark.parametrize("row", TABLE_F1)
def test_speed_of_sound_is_the_printed_one_to_its_last_figure(row):
    # Half a unit of the last printed figure.
    assert speed_of_sound_m_per_s(row.air) == pytest.approx(row.speed_m_per_s, abs=5e-6)


@pytest.mark.parametrize("row", TABLE_F1)
def test_gas_properties_agree_with_the_printed_ones_to_half_a_percent(row):
    # Our own claim: the formulas differ, and half a percent of any of these is worth 0.1 cents of wall loss at most.
    gas = gas_properties(row.air)
    assert gas.density_kg_per_m3 == pytest.approx(row.density_kg_per_m3, rel=5e-3)
    assert gas.gamma == pytest.approx(row.gamma, rel=5e-3)
    assert gas.viscosity_pa_s == pytest.approx(row.viscosity_pa_s, rel=5e-3)


@pytest.mark.parametrize("row", TABLE_F1)
def test_prandtl_number_is_the_newer_one_and_lower_than_the_printed_columns_give(row):
    # The annex uses an older heat conductivity, about 2.5 % under the present reference equations; what follows for the
    # wall loss is 0.4 % of it, 0.07 cents in 18. The difference is pinned here so that nobody "repairs" it unknowingly.
    printed_prandtl = row.viscosity_pa_s / (row.density_kg_per_m3 * row.diffusivity_m2_per_s)
    assert gas_properties(row.air).prandtl / printed_prandtl == pytest.approx(0.975, abs=0.01)
