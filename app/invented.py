"""An invented whistle with physics of its own, for practice and for measuring the program against a known truth.

It must not share a formula with the tuning model: neither `acoustics.bore`, `acoustics.window`, `acoustics.model` nor
`acoustics.tuning` may be reached from here (`tests/test_boundaries.py`). What differs on purpose: wall loss by the
exact Bessel form with a hidden multiplier, a window whose share of the length changes with frequency, air by another
formula. The spreads are those of the project's measuring world (common practice, no source, unless said).
"""
from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

import numpy as np

MAJOR_SIXTH_STEPS = (0, 4, 7, 9)  # semitones over the lowest, equal temperament
LETTERS = "ABCDEF"
HUMID_CENTS = 3.16  # 50 % relative humidity at 20 degrees over dry air
WINDOW_REFERENCE_HZ = 700.0
FIPPLE_MM, PLUG_BITE_MM = 12.7, 14.0


@dataclass(frozen=True)
class HiddenChamber:
    """One bore as it truly is, beside what the maker's rule told about it."""

    letter: str
    target_hz: float
    bore_mm: float
    bore_length_mm: float
    told_bore_length_mm: float
    window_width_mm: float
    window_height_mm: float
    window_mm: float  # the window's share of the length at `WINDOW_REFERENCE_HZ`
    attack_ms: float
    breath_db: float


@dataclass(frozen=True)
class HiddenWhistle:
    name: str
    room_c: float
    wall_loss: float  # times the theory of smooth rigid walls
    window_slope: float  # relative growth of the window's share over one `WINDOW_REFERENCE_HZ`
    chambers: tuple[HiddenChamber, ...]

    def chamber(self, letter: str) -> HiddenChamber:
        return next(chamber for chamber in self.chambers if chamber.letter == letter)

    def resonance_hz(self, letter: str, face_mm: float, air_c: float, mode: int = 1) -> float:
        """Where the chamber sounds with a face `face_mm` inside the plug end and its air at `air_c`."""
        chamber = self.chamber(letter)
        return self._solve_hz(chamber, chamber.bore_length_mm - face_mm, air_c, (mode - 0.5) * math.pi)

    def open_hz(self, letter: str, air_c: float) -> float:
        """Where it sounds with nothing in its far end (unflanged end: 0.613 of the radius)."""
        chamber = self.chamber(letter)
        return self._solve_hz(chamber, chamber.bore_length_mm + 0.613 * chamber.bore_mm / 2.0, air_c, math.pi)

    def _solve_hz(self, chamber: HiddenChamber, length_mm: float, air_c: float, turn: float) -> float:
        """Bisect the phase along bore and window for a whole `turn` in radians."""
        low_hz, high_hz = 60.0, 12_000.0
        for _ in range(32):  # to a hundred-thousandth of a cent
            middle_hz = math.sqrt(low_hz * high_hz)
            if self._phase(chamber, length_mm, air_c, middle_hz) < turn:
                low_hz = middle_hz
            else:
                high_hz = middle_hz
        return math.sqrt(low_hz * high_hz)

    def _phase(self, chamber: HiddenChamber, length_mm: float, air_c: float, frequency_hz: float) -> float:
        free_per_mm = 2.0 * math.pi * frequency_hz / (1000.0 * speed_m_per_s(air_c))
        slowed = 1.0 + self.wall_loss * (wall_slowing(frequency_hz, chamber.bore_mm, air_c) - 1.0)
        window_mm = chamber.window_mm * (1.0 + self.window_slope * (frequency_hz / WINDOW_REFERENCE_HZ - 1.0))
        return free_per_mm * slowed * length_mm + math.atan(free_per_mm * window_mm)


def speed_m_per_s(air_c: float) -> float:
    """ISO 9613-1:1993, formula A.5, with a fixed allowance for humidity."""
    return 343.2 * math.sqrt((air_c + 273.15) / 293.15) * 2.0 ** (HUMID_CENTS / 1200.0)


def wall_slowing(frequency_hz: float, bore_mm: float, air_c: float) -> float:
    """Wave number in a narrow tube over that in free air, by the exact low-frequency form.

    Zwikker and Kosten, *Sound Absorbing Materials*, 1949; air as an ideal gas near 20 degrees.
    """
    warm = (air_c + 273.15) / 293.15
    density_kg_per_m3, viscosity_pa_s = 1.2046 / warm, 1.8206e-5 * warm**0.7
    gamma, prandtl = 1.402, 0.708
    radius_m = bore_mm / 2000.0
    shear = radius_m * cmath.sqrt(-1j * 2.0 * math.pi * frequency_hz * density_kg_per_m3 / viscosity_pa_s)
    viscous, thermal = _tube(shear), _tube(shear * math.sqrt(prandtl))
    return float(cmath.sqrt((1.0 + (gamma - 1.0) * thermal) / (1.0 - viscous)).real)


def _tube(z: complex) -> complex:
    """``2 J1(z) / (z J0(z))`` by the continued fraction of a ratio of neighbouring Bessel functions."""
    ratio: complex = 0.0
    for order in range(int(abs(z)) + 60, 0, -1):
        ratio = 1.0 / (2.0 * order / z - ratio)
    return 2.0 * ratio / z


def invent_whistle(rng: np.random.Generator, lowest_hz: float | None = None,
                   steps: tuple[int, ...] = MAJOR_SIXTH_STEPS) -> HiddenWhistle:
    """Draw a whistle of equal bores as a turner might have laid it out, and the truth that no rule shows."""
    lowest_hz = lowest_hz or float(rng.uniform(560.0, 720.0))
    bore_mm = round(float(rng.uniform(12.0, 14.0)), 1)
    width_mm, height_mm = round(float(rng.uniform(9.5, 11.0)), 1), round(float(rng.uniform(5.5, 7.0)), 1)
    usual_window_mm = 2.3 * (bore_mm / 2.0) ** 2 / math.sqrt(width_mm * height_mm)
    room_c = round(float(rng.normal(20.0, 2.5)) * 2.0) / 2.0
    laid_out_mm = 1000.0 * speed_m_per_s(room_c) / (4.0 * lowest_hz) - usual_window_mm + PLUG_BITE_MM
    told_mm = round((laid_out_mm + float(rng.uniform(-1.0, 3.0))) * 2.0) / 2.0
    pattern = math.exp(float(rng.normal(0.0, 0.15)) + float(rng.normal(0.0, 0.05)))
    chambers = tuple(
        HiddenChamber(
            letter, lowest_hz * 2.0 ** (step / 12.0), bore_mm, told_mm + float(rng.normal(0.0, 0.3)), told_mm, width_mm,
            height_mm, usual_window_mm * pattern * math.exp(float(rng.normal(0.0, 0.08))),
            attack_ms=float(rng.uniform(30.0, 70.0)), breath_db=float(rng.uniform(-30.0, -18.0)),
        )
        for letter, step in zip(LETTERS, steps, strict=False)
    )
    return HiddenWhistle("Practice whistle", room_c, float(rng.uniform(1.0, 1.5)), float(rng.normal(0.02, 0.015)),
                         chambers)
