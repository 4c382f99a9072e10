"""The forward model of all faces of a whistle at once: `acoustics.belief.tone_of` on arrays.

Conventions
-----------
A face is one chamber behind one closure in one air; every array has one entry for each. Deviations are in cents
against the chamber's own target. `acoustics.bore` is the model itself; here it is only made fast, and a test holds the
two together.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from acoustics.air import speed_of_sound_m_per_s
from acoustics.belief import HIGH_LENGTH_MM, HIGH_WINDOW_MM, LOW_LENGTH_MM, LOW_WINDOW_MM, Vector, finger_mm_of
from acoustics.bore import wave_speed_m_per_s
from acoustics.constants import CENTS_PER_LOG
from acoustics.evidence import ChamberPlan, Closure, Plan, Priors, Stop
from acoustics.window import window_prior_mm

_ANY_HZ = 1000.0
_STEPS = 30
_SMALL_STEP = 1e-6  # of the frequency; the error that is left is the square of it

Face = tuple[ChamberPlan, Closure, float | None]  # the last: temperature of the room when it is not the plan's


@dataclass(frozen=True)
class Faces:
    """What is known of each face before anything is heard."""

    window_mm: Vector  # the window's share as geometry has it
    length_mm: Vector  # from the fipple to the face as booked
    target_hz: Vector
    speed_m_per_s: Vector  # of sound in free air
    slowing: Vector  # B of v = c / (1 + B / sqrt(f)) in the bore
    by_finger: NDArray[np.bool_]


@dataclass(frozen=True)
class Tones:
    """What the forward model says of each face, and how that changes."""

    deviation_cents: Vector
    per_depth_cents_per_mm: Vector
    per_window_log_cents: Vector
    per_finger_log_cents: Vector


def faces_of(plan: Plan, faces: Sequence[Face], priors: Priors) -> Faces:
    """Arrange faces as arrays.

    Raises
    ------
    OutOfRangeError
        If a bore, a window or the air lies outside the range of the forward model.
    """
    window_mm, speeds, slowings = [], [], []
    airs = {temperature_c: plan.air(temperature_c) for _, _, temperature_c in faces}
    for chamber, _, temperature_c in faces:
        air = airs[temperature_c]
        speed = speed_of_sound_m_per_s(air)
        slowed = wave_speed_m_per_s(_ANY_HZ, chamber.bore_mm, air, priors.wall_loss)
        window_mm.append(window_prior_mm(chamber.bore_mm, chamber.window_width_mm, chamber.window_height_mm))
        speeds.append(speed)
        slowings.append((speed / slowed - 1.0) * math.sqrt(_ANY_HZ))
    return Faces(
        np.array(window_mm), np.array([chamber.bore_length_mm - closure.depth_mm for chamber, closure, _ in faces]),
        np.array([chamber.target_hz for chamber, _, _ in faces]), np.array(speeds), np.array(slowings),
        np.array([closure.stop is Stop.FINGER for _, closure, _ in faces], dtype=bool),
    )


def tones_of(faces: Faces, priors: Priors, window_log: Vector, depth_mm: Vector, finger_log: float) -> Tones:
    """Note and slopes of every face; `window_log` and `depth_mm` are departures from what was expected and booked."""
    log_ratio = np.minimum(np.maximum(priors.window_log + window_log, -6.0), 6.0)
    window_mm = np.minimum(np.maximum(faces.window_mm * np.exp(log_ratio), LOW_WINDOW_MM), HIGH_WINDOW_MM)
    finger_mm = faces.by_finger * finger_mm_of(priors, finger_log)
    length_mm = np.minimum(np.maximum(faces.length_mm - depth_mm - finger_mm, LOW_LENGTH_MM), HIGH_LENGTH_MM)
    length_m, window_m, k0_per_hz = 1e-3 * length_mm, 1e-3 * window_mm, 2.0 * math.pi / faces.speed_m_per_s
    frequency = 0.25 * faces.speed_m_per_s / (length_m + window_m)
    for _ in range(_STEPS):
        # Newton's method from above: one step falls below the root, the others climb to it (`acoustics.bore`).
        lag, x = faces.slowing / np.sqrt(frequency), k0_per_hz * frequency * window_m
        phase = k0_per_hz * frequency * (1.0 + lag) * length_m + np.arctan(x)
        per_hz = k0_per_hz * ((1.0 + 0.5 * lag) * length_m + window_m / (1.0 + x * x))
        step = (0.5 * math.pi - phase) / per_hz
        frequency = frequency + np.maximum(step, -0.5 * frequency)
        if (np.abs(step) <= _SMALL_STEP * frequency).all():
            break
    k0 = k0_per_hz * frequency
    per_phase_cents = -1e-3 * CENTS_PER_LOG / (per_hz * frequency)
    per_depth = -per_phase_cents * k0 * (1.0 + faces.slowing / np.sqrt(frequency))
    per_window_log = per_phase_cents * k0 / (1.0 + (k0 * window_m) ** 2) * window_mm
    deviation_cents = CENTS_PER_LOG * np.log(frequency / faces.target_hz) + priors.air_cents
    return Tones(deviation_cents, per_depth, per_window_log, per_depth * finger_mm)
