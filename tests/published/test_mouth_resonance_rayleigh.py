"""Resonance of a bore with a heavy mouth: cot(k L) = k delta, the textbook form for a stopped tube with an inertance.

Rayleigh (1896), The Theory of Sound, vol. 2, ch. 16, treats such tubes; the form is quoted from memory. The judge here
is another root finder (scipy) on another form of the equation; and the first correction to the quarter-wave rule, found
by hand: with x = k delta, atan x = x - x^3/3, so that the note lies sharp of c / 4 (L + delta) by
(x^3 / 3) / (pi / 2) of itself, 367.4 x^3 cents.
"""
import math

import pytest
from scipy.optimize import brentq

from acoustics.air import Air, speed_of_sound_m_per_s
from acoustics.bore import length_for_hz, resonance_hz, wave_speed_m_per_s
from acoustics.units import cents_between

AIR = Air(20.0, 0.0)
CHAMBERS = [(40.0, 12.0), (60.0, 12.0), (80.0, 12.0), (100.0, 12.0), (100.0, 20.0), (150.0, 12.0), (200.0, 16.0)]


def cot_root_hz(length_mm: float, window_mm: float, bore_mm: float, wall_loss: float, mode: int) -> float:
    c = speed_of_sound_m_per_s(AIR)

    def mismatch(frequency_hz):  # cos(k L) - k0 delta sin(k L), which has no poles
        speed = c if wall_loss == 0.0 else wave_speed_m_per_s(frequency_hz, bore_mm, AIR, wall_loss)
        kl = 2.0 * math.pi * frequency_hz / speed * length_mm * 1e-3
        return math.cos(kl) - 2.0 * math.pi * frequency_hz / c * window_mm * 1e-3 * math.sin(kl)

    quarter_hz = c / (4e-3 * length_mm)
    return brentq(mismatch, (2 * mode - 2 + 0.2) * quarter_hz, (2 * mode - 1) * quarter_hz, xtol=1e-9)


@pytest.mark.parametrize("mode", [1, 2, 3])
@pytest.mark.parametrize("wall_loss", [0.0, 1.0, 1.5])
@pytest.mark.parametrize(("length_mm", "window_mm"), CHAMBERS)
def test_resonance_is_the_root_that_another_solver_finds_in_the_cotangent_form(length_mm, window_mm, wall_loss, mode):
    ours_hz = resonance_hz(length_mm, window_mm, 12.7, AIR, wall_loss, mode)
    assert ours_hz == pytest.approx(cot_root_hz(length_mm, window_mm, 12.7, wall_loss, mode), rel=1e-8)


@pytest.mark.parametrize(("length_mm", "window_mm"), [(100.0, 12.0), (150.0, 12.0), (200.0, 16.0)])
def test_quarter_wave_rule_is_flat_by_the_cube_of_the_windows_phase(length_mm, window_mm):
    shortcut_hz = speed_of_sound_m_per_s(AIR) / (4e-3 * (length_mm + window_mm))
    x = 0.5 * math.pi * window_mm / (length_mm + window_mm)
    sharp_cents = cents_between(resonance_hz(length_mm, window_mm, 12.7, AIR, wall_loss=0.0), shortcut_hz)
    # Derived by hand; the next terms are of relative order x^2, at most 5 % here.
    assert sharp_cents == pytest.approx(367.4 * x**3, rel=0.05)


@pytest.mark.parametrize(("length_mm", "window_mm"), CHAMBERS)
def test_overblown_chamber_sounds_a_twelfth_or_up_to_a_semitone_and_a_half_more(length_mm, window_mm):
    first_hz, second_hz = (resonance_hz(length_mm, window_mm, 12.7, AIR, mode=mode) for mode in (1, 2))
    assert 1901.96 < cents_between(second_hz, first_hz) < 2052.0


@pytest.mark.parametrize(("length_mm", "window_mm"), CHAMBERS)
def test_bare_bore_without_window_or_wall_is_a_quarter_wave(length_mm, window_mm):
    quarter_hz = speed_of_sound_m_per_s(AIR) / (4e-3 * length_mm)
    assert resonance_hz(length_mm, 0.0, 12.7, AIR, wall_loss=0.0) == pytest.approx(quarter_hz, rel=1e-12)
    assert length_for_hz(quarter_hz, 0.0, 12.7, AIR, wall_loss=0.0) == pytest.approx(length_mm, rel=1e-12)
