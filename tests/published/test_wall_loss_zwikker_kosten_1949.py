"""The wall of a round bore: exact low-frequency solution of Zwikker & Kosten (1949), Sound Absorbing Materials.

Tijdeman (1975), J. Sound Vib. 39, 1-33, shows that it covers the other solutions when the bore is far narrower than the
wave is long. Evaluated here with Bessel functions from scipy. Kirchhoff's printed line for 20 degC,
v = c (1 - 0.162 / (r sqrt f)) with r in cm, is quoted from Weston (1953), Proc. Phys. Soc. B 66, 695; it has three
digits, and leaves out the second order, beta^2 / rv^2: together worth up to 0.5 cents here.
"""
import math

import numpy as np
import pytest
from scipy.special import jv

from acoustics.air import Air, gas_properties, speed_of_sound_m_per_s
from acoustics.bore import wave_speed_m_per_s
from acoustics.units import cents_between

DRY_20_C = Air(20.0, 0.0)
SIZES = [(bore_mm, frequency_hz) for bore_mm in (6.0, 9.5, 12.7, 14.0, 20.0) for frequency_hz in (300, 600, 1200, 2400)]


def exact_speed_m_per_s(frequency_hz: float, bore_mm: float, air: Air) -> float:
    gas, c, w = gas_properties(air), speed_of_sound_m_per_s(air), 2.0 * math.pi * frequency_hz
    kv_a = np.sqrt(-1j * w * gas.density_kg_per_m3 / gas.viscosity_pa_s) * 0.5e-3 * bore_mm

    def f(x):
        return 2.0 * jv(1, x) / (x * jv(0, x))

    heat = f(kv_a * math.sqrt(gas.prandtl))
    propagation = 1j * w / c * np.sqrt((1.0 + (gas.gamma - 1.0) * heat) / (1.0 - f(kv_a)))
    return w / propagation.imag


@pytest.mark.parametrize(("bore_mm", "frequency_hz"), SIZES)
def test_wide_bore_formula_is_the_exact_solution_but_for_the_third_order(bore_mm, frequency_hz):
    ours = wave_speed_m_per_s(frequency_hz, bore_mm, DRY_20_C)
    gas = gas_properties(DRY_20_C)
    rv = 0.5e-3 * bore_mm * math.sqrt(2.0 * math.pi * frequency_hz * gas.density_kg_per_m3 / gas.viscosity_pa_s)
    # The first term left out is of third order, with a factor near 1: 0.05 cents at the narrowest, rv = 33.
    assert abs(cents_between(ours, exact_speed_m_per_s(frequency_hz, bore_mm, DRY_20_C))) < 1731.234 / rv**3


@pytest.mark.parametrize(("bore_mm", "frequency_hz"), SIZES)
def test_kirchhoffs_printed_line_agrees_to_its_own_digits(bore_mm, frequency_hz):
    printed = speed_of_sound_m_per_s(DRY_20_C) * (1.0 - 0.162 / (0.05 * bore_mm * math.sqrt(frequency_hz)))
    beta_over_rv = 0.162 / (0.05 * bore_mm * math.sqrt(frequency_hz))
    tolerance_cents = 1731.234 * beta_over_rv * (0.0005 / 0.162 + beta_over_rv) + 0.1
    assert abs(cents_between(wave_speed_m_per_s(frequency_hz, bore_mm, DRY_20_C), printed)) < tolerance_cents


def test_wall_flattens_and_flattens_low_notes_of_narrow_bores_most():
    def flat_cents(frequency_hz: float, bore_mm: float) -> float:
        return cents_between(wave_speed_m_per_s(frequency_hz, bore_mm, DRY_20_C), speed_of_sound_m_per_s(DRY_20_C))

    assert flat_cents(400.0, 6.0) < flat_cents(600.0, 6.0) < flat_cents(600.0, 12.7) < 0.0
