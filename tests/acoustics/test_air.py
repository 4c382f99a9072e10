"""Air and breath: ranges, and which way each thing moves the pitch."""
import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from acoustics.air import (
    Air,
    Breath,
    breath_speed_of_sound_m_per_s,
    gas_properties,
    speed_of_sound_iso9613_m_per_s,
    speed_of_sound_m_per_s,
    vapour_mole_fraction,
)
from acoustics.errors import OutOfRangeError
from acoustics.units import cents_between

TEMPERATURES_C = st.floats(-10.0, 39.0)
HUMIDITIES = st.floats(0.0, 0.99)


@given(TEMPERATURES_C, HUMIDITIES)
def test_warmer_air_is_faster(temperature_c, relative_humidity):
    cooler, warmer = (Air(temperature_c + step, relative_humidity) for step in (0.0, 1.0))
    assert speed_of_sound_m_per_s(warmer) > speed_of_sound_m_per_s(cooler)


@given(TEMPERATURES_C, HUMIDITIES)
def test_wetter_air_is_faster_and_lighter(temperature_c, relative_humidity):
    drier, wetter = (Air(temperature_c, relative_humidity + step) for step in (0.0, 0.01))
    assert speed_of_sound_m_per_s(wetter) > speed_of_sound_m_per_s(drier)
    assert gas_properties(wetter).density_kg_per_m3 < gas_properties(drier).density_kg_per_m3


def test_carbon_dioxide_slows_air():
    assert speed_of_sound_m_per_s(Air(co2_mole_fraction=0.01)) < speed_of_sound_m_per_s(Air(co2_mole_fraction=0.0))


def test_weather_moves_the_barometer_but_not_the_pitch():
    low, high = (speed_of_sound_m_per_s(Air(pressure_pa=pressure_pa)) for pressure_pa in (97_000.0, 104_000.0))
    assert abs(cents_between(high, low)) < 0.3


@pytest.mark.parametrize("temperature_c", [0.0, 10.0, 20.0, 30.0])
def test_one_degree_is_worth_what_the_square_root_law_says(temperature_c):
    # By hand: c goes as the square root of T, so 1200 / (2 ln 2 T) = 865.6 / T cents per kelvin. The speed of dry air
    # follows it to 0.02 cents.
    cents = cents_between(*(speed_of_sound_m_per_s(Air(temperature_c + half, 0.0)) for half in (0.5, -0.5)))
    assert cents == pytest.approx(865.617 / (temperature_c + 273.15), abs=0.02)


def test_warm_breath_sharpens_and_cold_breath_flattens_a_chamber():
    room = Breath(20.0, 0.5, oxygen_dry_fraction=0.2095, co2_dry_fraction=0.0004)
    room_m_per_s = breath_speed_of_sound_m_per_s(room)
    assert breath_speed_of_sound_m_per_s(Breath(34.0)) > room_m_per_s
    assert breath_speed_of_sound_m_per_s(Breath(20.0)) < room_m_per_s


def test_breath_without_breath_in_it_is_dry_air():
    ideal = breath_speed_of_sound_m_per_s(Breath(20.0, 0.0, oxygen_dry_fraction=0.2095, co2_dry_fraction=0.0004))
    assert -0.8 < cents_between(ideal, speed_of_sound_m_per_s(Air(20.0, 0.0))) < -0.3  # what an ideal gas leaves out


def test_dry_air_holds_no_vapour_and_boiling_is_far():
    assert vapour_mole_fraction(20.0, 0.0, 101_325.0) == 0.0
    assert 0.0 < vapour_mole_fraction(40.0, 1.0, 101_325.0) < 0.08


@pytest.mark.parametrize(
    ("field", "value", "hint"),
    [
        ("temperature_c", 68.0, "Fahrenheit"),
        ("temperature_c", -11.0, "Fahrenheit"),
        ("temperature_c", math.nan, "Fahrenheit"),
        ("relative_humidity", 50.0, "percent"),
        ("relative_humidity", -0.1, "percent"),
        ("pressure_pa", 1013.25, "hectopascal"),
        ("pressure_pa", 120_000.0, "hectopascal"),
        ("co2_mole_fraction", 0.04, "percent"),
    ],
)
def test_air_out_of_range_is_refused_with_the_likely_mistake(field, value, hint):
    with pytest.raises(OutOfRangeError, match=hint):
        Air(**{field: value})


@pytest.mark.parametrize(
    ("field", "value"),
    [("temperature_c", 98.6), ("relative_humidity", 100.0), ("oxygen_dry_fraction", 16.0), ("co2_dry_fraction", 4.5),
     ("pressure_pa", 1013.0)],
)
def test_breath_out_of_range_is_refused(field, value):
    with pytest.raises(OutOfRangeError, match=f"{value:g}"):
        Breath(**{field: value})


def test_standard_formula_is_refused_outside_the_range_the_standard_gives():
    with pytest.raises(OutOfRangeError, match="-20 to 50"):
        speed_of_sound_iso9613_m_per_s(51.0)


def test_air_cannot_be_changed_behind_its_checks():
    with pytest.raises(dataclasses.FrozenInstanceError):
        Air().temperature_c = 500.0
