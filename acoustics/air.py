"""Air: speed of sound, density, viscosity, and the breath that fills a blown chamber.

Conventions
-----------
Temperature in degrees Celsius, pressure in pascal, relative humidity from 0 to 1, gas shares as mole fractions.
The air in a blown chamber is not the air of the shop: breath is warm and wet, which sharpens, and heavy with carbon
dioxide, which flattens. Neither can be predicted to better than about 10 cents, so a reading must absorb the rest.
"""
from __future__ import annotations

import math
from dataclasses import dataclass

from acoustics.constants import (
    ABSOLUTE_ZERO_C,
    DRY_AIR_MOLAR_MASS_G_PER_MOL,
    GAS_CONSTANT_J_PER_MOL_K,
    MOLAR_MASS_G_PER_MOL,
    STANDARD_PRESSURE_PA,
)
from acoustics.errors import require_between

_LOW_C, _HIGH_C = -10.0, 40.0
_LOW_PA, _HIGH_PA = 60_000.0, 110_000.0
_NOT_FAHRENHEIT = "Was it read off a Fahrenheit scale?"
_NOT_PERCENT = "Was it given in percent?"
_NOT_HPA = "Was it given in hectopascal?"

# Molar heat at constant pressure and vanishing pressure, J/(mol K): its value at 34 degC and its change per kelvin, a
# straight line through each gas's reference equation of state from 0 to 40 degC.
_MOLAR_HEAT = {
    "N2": (29.130, 0.0004), "O2": (29.422, 0.0047), "Ar": (20.786, 0.0), "CO2": (37.550, 0.0457),
    "H2O": (33.629, 0.0067),
}
_ARGON_DRY_FRACTION = 0.0094


@dataclass(frozen=True)
class Air:
    """The air of a room.

    Parameters
    ----------
    temperature_c : float
        -10 to 40.
    relative_humidity : float
        0 to 1.
    pressure_pa : float
        60 000 to 110 000.
    co2_mole_fraction : float
        0 to 0.01. Breath holds more: see `Breath`.

    Raises
    ------
    OutOfRangeError
        If a value lies outside its range.
    """

    temperature_c: float = 20.0
    relative_humidity: float = 0.5
    pressure_pa: float = STANDARD_PRESSURE_PA
    co2_mole_fraction: float = 4e-4

    def __post_init__(self) -> None:
        require_between("air temperature in degrees Celsius", self.temperature_c, _LOW_C, _HIGH_C, _NOT_FAHRENHEIT)
        require_between("relative humidity", self.relative_humidity, 0.0, 1.0, _NOT_PERCENT)
        require_between("air pressure in Pa", self.pressure_pa, _LOW_PA, _HIGH_PA, _NOT_HPA)
        require_between("mole fraction of carbon dioxide", self.co2_mole_fraction, 0.0, 0.01, _NOT_PERCENT)


@dataclass(frozen=True)
class Breath:
    """What fills a chamber that has been blown for a while.

    Parameters
    ----------
    temperature_c : float
        0 to 40; breath leaves the mouth at about 31 to 35 and cools on its way.
    relative_humidity : float
        0 to 1; nearly 1.
    oxygen_dry_fraction, co2_dry_fraction : float
        Shares of the gas once dried: 0.10 to 0.21 and 0 to 0.10.
    pressure_pa : float
        60 000 to 110 000.

    Raises
    ------
    OutOfRangeError
        If a value lies outside its range.
    """

    temperature_c: float = 34.0
    relative_humidity: float = 1.0
    oxygen_dry_fraction: float = 0.16
    co2_dry_fraction: float = 0.045
    pressure_pa: float = STANDARD_PRESSURE_PA

    def __post_init__(self) -> None:
        require_between("breath temperature in degrees Celsius", self.temperature_c, 0.0, 40.0, _NOT_FAHRENHEIT)
        require_between("relative humidity of breath", self.relative_humidity, 0.0, 1.0, _NOT_PERCENT)
        require_between("share of oxygen in breath", self.oxygen_dry_fraction, 0.10, 0.21, _NOT_PERCENT)
        require_between("share of carbon dioxide in breath", self.co2_dry_fraction, 0.0, 0.10, _NOT_PERCENT)
        require_between("air pressure in Pa", self.pressure_pa, _LOW_PA, _HIGH_PA, _NOT_HPA)


@dataclass(frozen=True)
class GasProperties:
    """What the wall loss of a bore depends on; `gamma` and `prandtl` have no unit."""

    density_kg_per_m3: float
    viscosity_pa_s: float
    gamma: float
    prandtl: float


def vapour_mole_fraction(temperature_c: float, relative_humidity: float, pressure_pa: float) -> float:
    """Share of water vapour in moist air, 0 to about 0.12.

    Notes
    -----
    Saturation pressure of Davis (1992), Metrologia 29, 67-70, with its enhancement factor, as Cramer (1993) uses them.
    """
    t, p, T = temperature_c, pressure_pa, temperature_c - ABSOLUTE_ZERO_C
    saturation_pa = math.exp(1.2378847e-5 * T**2 - 1.9121316e-2 * T + 33.93711047 - 6343.1645 / T)
    enhancement = 1.00062 + 3.14e-8 * p + 5.6e-7 * t**2
    return relative_humidity * enhancement * saturation_pa / p


def speed_of_sound_m_per_s(air: Air) -> float:
    """Speed of sound in moist air.

    Notes
    -----
    Stated for 0 to 30 degC, 75 to 102 kPa, at most 6 % of vapour and 1 % of carbon dioxide, with 300 ppm (0.5 cents) of
    uncertainty. IEC 61094-2:2009 takes the same coefficients for 60 to 110 kPa. Used here from -10 to 40 degC: out
    there it was compared with a real-gas mixture and stays within 0.3 cents at every humidity.

    References
    ----------
    Cramer (1993), J. Acoust. Soc. Am. 93, 2510-2516, doi:10.1121/1.405827, equation 15 and table III.
    """
    t, p, xc = air.temperature_c, air.pressure_pa, air.co2_mole_fraction
    xw = vapour_mole_fraction(t, air.relative_humidity, p)
    return (
        331.5024 + 0.603055 * t - 0.000528 * t**2
        + (51.471935 + 0.1495874 * t - 0.000782 * t**2) * xw
        + (-1.82e-7 + 3.73e-8 * t - 2.93e-10 * t**2) * p
        + (-85.20931 - 0.228525 * t + 5.91e-5 * t**2) * xc
        - 2.835149 * xw**2 - 2.15e-13 * p**2 + 29.179762 * xc**2 + 0.000486 * xw * p * xc
    )


def speed_of_sound_iso9613_m_per_s(temperature_c: float) -> float:
    """Speed of sound in dry air by the round formula of a standard: a check, 0.5 to 0.8 cents low.

    Parameters
    ----------
    temperature_c : float
        -20 to 50, the range of the standard.

    Raises
    ------
    OutOfRangeError
        Outside that range.

    References
    ----------
    ISO 9613-1:1993, formula A.5.
    """
    require_between("air temperature in degrees Celsius", temperature_c, -20.0, 50.0, _NOT_FAHRENHEIT)
    return 343.2 * math.sqrt((temperature_c - ABSOLUTE_ZERO_C) / 293.15)


def gas_properties(air: Air) -> GasProperties:
    """Density, viscosity, ratio of specific heats and Prandtl number of moist air, each within 0.5 %.

    Notes
    -----
    Density: ideal gas. Dry viscosity: U.S. Standard Atmosphere, 1976, equation 51. Vapour lowers the viscosity by about
    0.3 of its mole fraction and raises the Prandtl number as much; mixing rules range from 0.1 to 0.5, and the whole
    range is worth 0.1 cents of wall loss. Prandtl number: a straight line through the reference equations of state.
    Ratio of specific heats: ``rho c^2 / p``, the ideal-gas relation turned round.
    """
    T = air.temperature_c - ABSOLUTE_ZERO_C
    xw = vapour_mole_fraction(air.temperature_c, air.relative_humidity, air.pressure_pa)
    molar_mass_g_per_mol = (1.0 - xw) * DRY_AIR_MOLAR_MASS_G_PER_MOL + xw * MOLAR_MASS_G_PER_MOL["H2O"]
    density_kg_per_m3 = air.pressure_pa * molar_mass_g_per_mol * 1e-3 / (GAS_CONSTANT_J_PER_MOL_K * T)
    dry_viscosity_pa_s = 1.458e-6 * T**1.5 / (T + 110.4)
    return GasProperties(
        density_kg_per_m3=density_kg_per_m3,
        viscosity_pa_s=dry_viscosity_pa_s * (1.0 - 0.3 * xw),
        gamma=density_kg_per_m3 * speed_of_sound_m_per_s(air) ** 2 / air.pressure_pa,
        prandtl=(0.7108 - 1.35e-4 * air.temperature_c) * (1.0 + 0.3 * xw),
    )


def breath_speed_of_sound_m_per_s(breath: Breath) -> float:
    """Speed of sound in a chamber filled with breath, as an ideal mixture of five gases.

    Notes
    -----
    ``M = sum x M_i``, ``Cp = sum x Cp_i``, ``gamma = Cp / (Cp - R)``, ``c = sqrt(gamma R T / M)``. The ideal gas runs
    0.3 to 0.6 cents below real moist air, so a change of breath is to be taken between two results of this function.
    """
    xw = vapour_mole_fraction(breath.temperature_c, breath.relative_humidity, breath.pressure_pa)
    nitrogen_dry_fraction = 1.0 - breath.oxygen_dry_fraction - breath.co2_dry_fraction - _ARGON_DRY_FRACTION
    dry = {"N2": nitrogen_dry_fraction, "O2": breath.oxygen_dry_fraction, "Ar": _ARGON_DRY_FRACTION,
           "CO2": breath.co2_dry_fraction}
    share = {gas: (1.0 - xw) * x for gas, x in dry.items()} | {"H2O": xw}
    molar_mass_kg_per_mol = 1e-3 * sum(x * MOLAR_MASS_G_PER_MOL[gas] for gas, x in share.items())
    above_34_k = breath.temperature_c - 34.0
    heat = {gas: at_34_c + per_k * above_34_k for gas, (at_34_c, per_k) in _MOLAR_HEAT.items()}
    molar_heat_j_per_mol_k = sum(x * heat[gas] for gas, x in share.items())
    gamma = molar_heat_j_per_mol_k / (molar_heat_j_per_mol_k - GAS_CONSTANT_J_PER_MOL_K)
    T = breath.temperature_c - ABSOLUTE_ZERO_C
    return math.sqrt(gamma * GAS_CONSTANT_J_PER_MOL_K * T / molar_mass_kg_per_mol)
