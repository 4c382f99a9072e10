"""Length and pitch of a stopped bore."""
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from acoustics.air import Air
from acoustics.bore import (
    length_for_hz,
    resonance_hz,
    slopes_cents_per_mm,
    wave_speed_m_per_s,
    window_for_reading_mm,
)
from acoustics.errors import NoSolutionError, OutOfRangeError
from acoustics.units import cents_between

LENGTHS_MM = st.floats(30.0, 250.0)
WINDOWS_MM = st.floats(3.0, 30.0)
BORES_MM = st.floats(6.0, 20.0)
LOSSES = st.floats(0.0, 2.0)
AIR = Air()


@settings(deadline=None)
@given(LENGTHS_MM, WINDOWS_MM, BORES_MM, LOSSES)
def test_length_for_a_note_sounds_that_note(length_mm, window_mm, bore_mm, wall_loss):
    note_hz = resonance_hz(length_mm, window_mm, bore_mm, AIR, wall_loss)
    assert length_for_hz(note_hz, window_mm, bore_mm, AIR, wall_loss) == pytest.approx(length_mm, rel=1e-9)


@settings(deadline=None)
@given(LENGTHS_MM, WINDOWS_MM, BORES_MM, LOSSES)
def test_window_for_a_reading_explains_that_reading(length_mm, window_mm, bore_mm, wall_loss):
    note_hz = resonance_hz(length_mm, window_mm, bore_mm, AIR, wall_loss)
    assert window_for_reading_mm(note_hz, length_mm, bore_mm, AIR, wall_loss) == pytest.approx(window_mm, rel=1e-7)


@settings(deadline=None)
@given(LENGTHS_MM, WINDOWS_MM, BORES_MM)
def test_longer_heavier_or_rougher_is_flatter_and_warmer_is_sharper(length_mm, window_mm, bore_mm):
    note_hz = resonance_hz(length_mm, window_mm, bore_mm, AIR)
    assert resonance_hz(length_mm + 0.1, window_mm, bore_mm, AIR) < note_hz
    assert resonance_hz(length_mm, window_mm + 0.1, bore_mm, AIR) < note_hz
    assert resonance_hz(length_mm, window_mm, bore_mm, AIR, wall_loss=1.2) < note_hz
    assert resonance_hz(length_mm, window_mm, bore_mm, Air(21.0)) > note_hz


@settings(deadline=None)
@given(LENGTHS_MM, WINDOWS_MM, BORES_MM, LOSSES)
def test_slopes_are_those_of_small_steps(length_mm, window_mm, bore_mm, wall_loss):
    def note_hz(more_length_mm, more_window_mm):
        return resonance_hz(length_mm + more_length_mm, window_mm + more_window_mm, bore_mm, AIR, wall_loss)

    per_length, per_window = slopes_cents_per_mm(note_hz(0, 0), length_mm, window_mm, bore_mm, AIR, wall_loss)
    h = 1e-3
    assert per_length == pytest.approx(cents_between(note_hz(h, 0), note_hz(-h, 0)) / (2 * h), rel=1e-4)
    assert per_window == pytest.approx(cents_between(note_hz(0, h), note_hz(0, -h)) / (2 * h), rel=1e-4)
    assert per_length < 0.0
    assert per_window < 0.0


def test_one_degree_at_20_c_is_worth_three_cents():
    # Derived by hand: c goes as the root of T, so 865.6 / 293.15 = 2.953; moisture at constant humidity adds 0.3.
    warmer_hz, note_hz = (resonance_hz(100.0, 12.0, 12.7, Air(t, 0.0)) for t in (21.0, 20.0))
    assert cents_between(warmer_hz, note_hz) == pytest.approx(2.95, abs=0.1)


def test_no_wall_loss_leaves_the_speed_of_free_air():
    # Derived by hand: with wall_loss 0 the denominator is 1. Free air at 20 C and 50 %: 343.99 m/s (Cramer 1993).
    assert wave_speed_m_per_s(600.0, 12.7, AIR, wall_loss=0.0) == pytest.approx(343.987, abs=0.002)


@pytest.mark.parametrize(("arguments", "hint"), [
    ((0.5, 12.0, 12.7, AIR), "inches"), ((100.0, 12.0, 0.5, AIR), "inches"), ((100.0, -1.0, 12.7, AIR), "window"),
    ((math.nan, 12.0, 12.7, AIR), "length"), ((100.0, 12.0, 12.7, AIR, 9.0), "wall loss"),
])
def test_value_out_of_range_is_refused_with_the_likely_mistake(arguments, hint):
    with pytest.raises(OutOfRangeError, match=hint):
        resonance_hz(*arguments)


def test_note_too_sharp_for_its_length_has_no_window():
    note_hz = resonance_hz(100.0, 12.0, 12.7, AIR)
    with pytest.raises(NoSolutionError, match="overblow"):
        window_for_reading_mm(note_hz * 3.0, 100.0, 12.7, AIR)


def test_note_beyond_any_chamber_has_no_length():
    with pytest.raises(NoSolutionError, match="air"):
        length_for_hz(9000.0, 12.0, 12.7, AIR)
