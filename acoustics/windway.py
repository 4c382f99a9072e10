"""The slot that feeds a chamber, the breath it takes, and how window heights go with pitch."""
from __future__ import annotations

import math

from acoustics.errors import require_between

_NOT_INCHES = "Was it typed in inches?"
GRADING_POWER = -2.0 / 3.0


def windway_width_mm(dowel_mm: float, flat_mm: float) -> float:
    """Width of the flat on a round dowel: ``2 sqrt(h (d - h))``, h the depth taken off."""
    _require_flat(dowel_mm, flat_mm)
    return 2.0 * math.sqrt(flat_mm * (dowel_mm - flat_mm))


def windway_area_mm2(dowel_mm: float, flat_mm: float) -> float:
    """Area of the slot between flat and bore wall: a segment of the circle, ``r^2 acos(1 - h/r) - (r - h) w/2``."""
    width_mm = windway_width_mm(dowel_mm, flat_mm)
    radius_mm = 0.5 * dowel_mm
    sector_mm2 = radius_mm**2 * math.acos(1.0 - flat_mm / radius_mm)
    return sector_mm2 - 0.5 * (radius_mm - flat_mm) * width_mm


def jet_speed_m_per_s(breath_pa: float, density_kg_per_m3: float = 1.2) -> float:
    """Speed of a jet from a breath: Bernoulli, ``sqrt(2 P / rho)``, no loss."""
    require_between("breath in Pa", breath_pa, 10.0, 10_000.0, "A playing breath is 300 to 1000.")
    return math.sqrt(2.0 * breath_pa / density_kg_per_m3)


def breath_lasts_s(area_mm2: float, breath_pa: float, lungs_litre: float = 3.0) -> float:
    """How long a breath feeds all windways together, at the ideal flow (a real one lasts a little longer).

    Parameters
    ----------
    area_mm2 : float
        Of all windways together.
    breath_pa : float
        10 to 10 000.
    lungs_litre : float
        What is blown out, 0.5 to 6; 3 is common practice, no source.
    """
    require_between("windway area in mm2", area_mm2, 0.1, 2000.0)
    require_between("breath in litres", lungs_litre, 0.5, 6.0)
    return 1e-3 * lungs_litre / (1e-6 * area_mm2 * jet_speed_m_per_s(breath_pa))


def intonation_number(
    frequency_hz: float, window_height_mm: float, windway_mm: float, breath_pa: float, density_kg_per_m3: float = 1.2
) -> float:
    """Ising's number of a flue pipe: near 2 it speaks best, above about 3 it goes over to its next note.

    Notes
    -----
    ``I = (1/f) sqrt(2 P d / (rho H^3))``, d the height of the windway at its exit and H of the window. Made for organ
    pipes: good for ratios and direction, never for a cutting dimension.

    References
    ----------
    Ising (1971), Walcker Hausmitteilung 42, as given in notes on that work (formula and its two limits).
    """
    require_between("frequency in Hz", frequency_hz, 50.0, 20_000.0)
    require_between("window height in mm", window_height_mm, 1.0, 40.0, _NOT_INCHES)
    require_between("windway height in mm", windway_mm, 0.1, 10.0, _NOT_INCHES)
    height_m, jet_m = 1e-3 * window_height_mm, 1e-3 * windway_mm
    return jet_speed_m_per_s(breath_pa, density_kg_per_m3) * math.sqrt(jet_m / height_m**3) / frequency_hz


def graded_height_mm(frequency_hz: float, of_hz: float, of_height_mm: float) -> float:
    """Window height that gives a note the same intonation number as another: H goes as f to the power -2/3."""
    require_between("window height in mm", of_height_mm, 1.0, 40.0, _NOT_INCHES)
    return of_height_mm * math.pow(frequency_hz / of_hz, GRADING_POWER)


def _require_flat(dowel_mm: float, flat_mm: float) -> None:
    require_between("dowel diameter in mm", dowel_mm, 4.0, 40.0, _NOT_INCHES)
    require_between("depth of the flat in mm", flat_mm, 0.1, 0.5 * dowel_mm, "It is taken off one side of the dowel.")
