"""Length and pitch of a stopped bore: a wave that the wall slows down, between a window and a hard face.

Conventions
-----------
The forward model, for mode n::

    k L + atan(k0 delta) = (n - 1/2) pi,    k = w / v,  k0 = w / c,  w = 2 pi f

L is `length_mm`, from the fipple's inner face to the face that stops the bore. The stopper is rigid. delta is
`window_mm`, the window's share of the length: the piece of bore whose air would be as heavy as the air that moves in
the window. The bore alone is narrow enough for its wall to count (speed v); the window is not (speed c).
`wall_loss` multiplies the wall's effect: 1 for a smooth dry wall, 0 for none, about 1 to 1.5 for wood.
"""
from __future__ import annotations

import math
from functools import lru_cache

from acoustics.air import Air, gas_properties, speed_of_sound_m_per_s
from acoustics.constants import CENTS_PER_LOG
from acoustics.errors import NoSolutionError, require_between

_LOW_BORE_MM, _HIGH_BORE_MM = 4.0, 40.0
_LOW_LENGTH_MM, _HIGH_LENGTH_MM = 5.0, 1000.0
_HIGH_WINDOW_MM = 200.0
_LOW_HZ, _HIGH_HZ = 50.0, 20_000.0
_NOT_INCHES = "Was it typed in inches?"


def wave_speed_m_per_s(frequency_hz: float, bore_mm: float, air: Air, wall_loss: float = 1.0) -> float:
    """Phase speed of the plane wave in a round bore, slowed by friction and heat at the wall.

    Parameters
    ----------
    frequency_hz : float
        50 to 20 000.
    bore_mm : float
        Diameter, 4 to 40.
    air : Air
    wall_loss : float
        0 to 3.

    Raises
    ------
    OutOfRangeError
        If a value lies outside its range.

    Notes
    -----
    ``v = c / (1 + beta / rv)``, ``rv = a sqrt(w rho / mu)``, ``beta = (1 + (gamma - 1) / sqrt(Pr)) / sqrt(2)``: the
    wide-bore limit of the exact solution. They differ in the third order of 1/rv: 0.03 cents at 6 mm and 300 Hz, less
    than 0.01 from 9 mm up.

    References
    ----------
    Kirchhoff (1868), Ann. Phys. 210, 177-193; Zwikker and Kosten (1949), Sound Absorbing Materials;
    Keefe (1984), J. Acoust. Soc. Am. 75, 58-62.
    """
    _require_bore(bore_mm, wall_loss)
    require_between("frequency in Hz", frequency_hz, _LOW_HZ, _HIGH_HZ)
    speed_m_per_s, slowing = _medium(bore_mm, air, wall_loss)
    return speed_m_per_s / (1.0 + slowing / math.sqrt(frequency_hz))


def resonance_hz(
    length_mm: float, window_mm: float, bore_mm: float, air: Air, wall_loss: float = 1.0, mode: int = 1
) -> float:
    """Frequency at which a stopped chamber resonates.

    Parameters
    ----------
    length_mm : float
        Fipple's inner face to stopping face, 5 to 1000.
    window_mm : float
        0 to 200.
    bore_mm, air, wall_loss
        As in `wave_speed_m_per_s`.
    mode : int
        1 is the note; 2 is what it jumps to when overblown, a twelfth or a little more above.

    Raises
    ------
    OutOfRangeError
        If a value lies outside its range.

    Notes
    -----
    Newton's method on the phase, which is concave and rising in frequency: from below it climbs to the root, from above
    it steps below once and then climbs. A few steps reach the last digits.
    """
    _require_chamber(length_mm, window_mm, bore_mm, wall_loss)
    require_between("number of the mode", mode, 1, 20)
    speed_m_per_s, slowing = _medium(bore_mm, air, wall_loss)
    length_m, window_m = length_mm * 1e-3, window_mm * 1e-3
    wanted = (mode - 0.5) * math.pi
    frequency = wanted * speed_m_per_s / (2.0 * math.pi * (length_m + window_m))
    for _ in range(60):
        phase, slope = _phase(frequency, length_m, window_m, speed_m_per_s, slowing)
        step = (wanted - phase) / slope
        frequency += max(step, -0.5 * frequency)
        if abs(step) <= 1e-12 * frequency:
            break
    return frequency


def length_for_hz(frequency_hz: float, window_mm: float, bore_mm: float, air: Air, wall_loss: float = 1.0) -> float:
    """Length of air that sounds `frequency_hz` as its first mode: the inverse of `resonance_hz`.

    Raises
    ------
    OutOfRangeError
        If a value lies outside its range (`frequency_hz`: 50 to 20 000).
    NoSolutionError
        If no length from 5 to 1000 mm sounds that note.
    """
    _require_bore(bore_mm, wall_loss)
    require_between("frequency in Hz", frequency_hz, _LOW_HZ, _HIGH_HZ)
    require_between("the window's share of the length in mm", window_mm, 0.0, _HIGH_WINDOW_MM, _NOT_INCHES)
    speed_m_per_s, slowing = _medium(bore_mm, air, wall_loss)
    k0 = 2.0 * math.pi * frequency_hz / speed_m_per_s
    k = k0 * (1.0 + slowing / math.sqrt(frequency_hz))
    length_mm = 1e3 * (0.5 * math.pi - math.atan(k0 * window_mm * 1e-3)) / k
    if not _LOW_LENGTH_MM <= length_mm <= _HIGH_LENGTH_MM:
        raise NoSolutionError(
            f"{frequency_hz:g} Hz would need {length_mm:.1f} mm of air; a chamber has from {_LOW_LENGTH_MM:g} to "
            f"{_HIGH_LENGTH_MM:g} mm. Is the note meant for this bore and window?"
        )
    return length_mm


def window_for_reading_mm(
    frequency_hz: float, length_mm: float, bore_mm: float, air: Air, wall_loss: float = 1.0
) -> float:
    """The window's share of the length that explains a note heard from a known length of air.

    Raises
    ------
    OutOfRangeError
        If a value lies outside its range.
    NoSolutionError
        If the note is too sharp for that length, whatever the window: overblown, leaking, or the length is wrong;
        or so flat that the window would have to exceed 200 mm.
    """
    _require_bore(bore_mm, wall_loss)
    require_between("frequency in Hz", frequency_hz, _LOW_HZ, _HIGH_HZ)
    require_between("length of air in mm", length_mm, _LOW_LENGTH_MM, _HIGH_LENGTH_MM, _NOT_INCHES)
    speed_m_per_s, slowing = _medium(bore_mm, air, wall_loss)
    k0 = 2.0 * math.pi * frequency_hz / speed_m_per_s
    rest = 0.5 * math.pi - k0 * (1.0 + slowing / math.sqrt(frequency_hz)) * length_mm * 1e-3
    window_mm = 1e3 * math.tan(rest) / k0 if rest >= 0.0 else -1.0
    if not 0.0 <= window_mm <= _HIGH_WINDOW_MM:
        raise NoSolutionError(
            f"{frequency_hz:g} Hz does not fit {length_mm:g} mm of air with any window up to {_HIGH_WINDOW_MM:g} mm. "
            "Did it overblow, or is the length wrong?"
        )
    return window_mm


def slopes_cents_per_mm(
    frequency_hz: float, length_mm: float, window_mm: float, bore_mm: float, air: Air, wall_loss: float = 1.0
) -> tuple[float, float]:
    """Cents by which the note changes for one more millimetre of length, and of window; both negative.

    Parameters
    ----------
    frequency_hz : float
        The resonance itself, from `resonance_hz`.

    Raises
    ------
    OutOfRangeError
        If a value lies outside its range.
    """
    _require_chamber(length_mm, window_mm, bore_mm, wall_loss)
    speed_m_per_s, slowing = _medium(bore_mm, air, wall_loss)
    _, per_hz = _phase(frequency_hz, length_mm * 1e-3, window_mm * 1e-3, speed_m_per_s, slowing)
    k0 = 2.0 * math.pi * frequency_hz / speed_m_per_s
    per_length = k0 * (1.0 + slowing / math.sqrt(frequency_hz))
    per_window = k0 / (1.0 + (k0 * window_mm * 1e-3) ** 2)
    cents = -1e-3 * CENTS_PER_LOG / (per_hz * frequency_hz)
    return cents * per_length, cents * per_window


def _phase(
    frequency_hz: float, length_m: float, window_m: float, speed_m_per_s: float, slowing: float
) -> tuple[float, float]:
    """Phase of the chamber in radians, and its derivative by frequency."""
    k0_per_hz = 2.0 * math.pi / speed_m_per_s
    lag = slowing / math.sqrt(frequency_hz)
    x = k0_per_hz * frequency_hz * window_m
    phase = k0_per_hz * frequency_hz * (1.0 + lag) * length_m + math.atan(x)
    return phase, k0_per_hz * ((1.0 + 0.5 * lag) * length_m + window_m / (1.0 + x * x))


@lru_cache(maxsize=256)
def _medium(bore_mm: float, air: Air, wall_loss: float) -> tuple[float, float]:
    """Speed of sound in free air, and B of ``v = c / (1 + B / sqrt(f))``."""
    gas = gas_properties(air)
    beta = (1.0 + (gas.gamma - 1.0) / math.sqrt(gas.prandtl)) / math.sqrt(2.0)
    rv_at_1_hz = 0.5e-3 * bore_mm * math.sqrt(2.0 * math.pi * gas.density_kg_per_m3 / gas.viscosity_pa_s)
    return speed_of_sound_m_per_s(air), wall_loss * beta / rv_at_1_hz


def _require_bore(bore_mm: float, wall_loss: float) -> None:
    require_between("bore diameter in mm", bore_mm, _LOW_BORE_MM, _HIGH_BORE_MM, _NOT_INCHES)
    require_between("wall loss as a multiple of theory", wall_loss, 0.0, 3.0)


def _require_chamber(length_mm: float, window_mm: float, bore_mm: float, wall_loss: float) -> None:
    _require_bore(bore_mm, wall_loss)
    require_between("length of air in mm", length_mm, _LOW_LENGTH_MM, _HIGH_LENGTH_MM, _NOT_INCHES)
    require_between("the window's share of the length in mm", window_mm, 0.0, _HIGH_WINDOW_MM, _NOT_INCHES)
