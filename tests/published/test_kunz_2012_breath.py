"""Kunz & Wagner (2012), J. Chem. Eng. Data 57, 3032-3091: breath as a real mixture of five gases, by CoolProp.

The model knows nothing of our ideal mixture: it has an equation of state for each gas and for each pair. Citation from
memory. The composition of breath is that of respiratory summaries: 16 % of oxygen, 4.5 % of carbon dioxide, saturated.
"""
import CoolProp.CoolProp as CP
import pytest

from acoustics.air import Breath, breath_speed_of_sound_m_per_s
from acoustics.units import cents_between

ROOM = Breath(20.0, 0.5, oxygen_dry_fraction=0.2095, co2_dry_fraction=0.0004)


def real_mixture_m_per_s(breath: Breath) -> float:
    temperature_k = breath.temperature_c + 273.15
    water = CP.HAPropsSI("psi_w", "T", temperature_k, "P", breath.pressure_pa, "R", breath.relative_humidity)
    dry = {"Oxygen": breath.oxygen_dry_fraction, "Argon": 0.0094, "CarbonDioxide": breath.co2_dry_fraction}
    dry["Nitrogen"] = 1.0 - sum(dry.values())
    share = {gas: x * (1.0 - water) for gas, x in dry.items()} | {"Water": water}
    state = CP.AbstractState("HEOS", "&".join(share))
    state.set_mole_fractions(list(share.values()))
    state.specify_phase(CP.iphase_gas)
    state.update(CP.PT_INPUTS, breath.pressure_pa, temperature_k)
    return state.speed_sound()


BREATHS = [
    Breath(34.0, oxygen_dry_fraction=0.165, co2_dry_fraction=0.040),
    Breath(34.0),
    Breath(35.0, co2_dry_fraction=0.050),
    Breath(30.0),
    Breath(25.0),
    Breath(20.0),
]


@pytest.mark.parametrize("breath", [*BREATHS, ROOM], ids=str)
def test_ideal_breath_lies_less_than_a_cent_below_the_real_one(breath):
    deviation_cents = cents_between(breath_speed_of_sound_m_per_s(breath), real_mixture_m_per_s(breath))
    assert -0.8 < deviation_cents < 0.0


@pytest.mark.parametrize("breath", BREATHS, ids=str)
def test_change_of_pitch_from_room_air_to_breath_is_that_of_the_real_mixture(breath):
    # A third of a cent is the most that the two ideal-gas errors above can differ by; breath is known to 10 cents.
    ours_cents = cents_between(breath_speed_of_sound_m_per_s(breath), breath_speed_of_sound_m_per_s(ROOM))
    real_cents = cents_between(real_mixture_m_per_s(breath), real_mixture_m_per_s(ROOM))
    assert ours_cents == pytest.approx(real_cents, abs=0.33)
    assert (ours_cents > 0) == (breath.temperature_c > 24.0)


def test_carbon_dioxide_alone_costs_a_little_less_than_twenty_cents():
    # Published estimate of the composition effect alone: "a little below 20 cents", in a note on the sharpening of
    # a wind instrument after breathing in fresh air. Read as 16 to 20.
    fresh = Breath(34.0, oxygen_dry_fraction=0.2095, co2_dry_fraction=0.0004)
    lost_cents = cents_between(breath_speed_of_sound_m_per_s(fresh), breath_speed_of_sound_m_per_s(Breath(34.0)))
    assert 16.0 < lost_cents < 20.0
