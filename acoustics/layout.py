"""Bores in a body: where they lie, how much wall stands about each, and what the drill's wandering takes of it.

Conventions
-----------
The plug end is seen from outside with the pencil mark up. Angles run clockwise from the mark; chamber A is the first
bore after it. Bore i of n lies at ``(i + 1/2) 360 / n`` degrees on the pitch circle. x to the right, y up.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from acoustics.errors import OutOfRangeError, require_between

_MIN_BORES, _MAX_BORES = 2, 6
_NOT_INCHES = "Was it typed in inches?"
_ON_AXIS_MM = 1e-9


@dataclass(frozen=True)
class Bore:
    """One round hole at the plug end. Lengths in mm."""

    x_mm: float
    y_mm: float
    diameter_mm: float

    @property
    def from_axis_mm(self) -> float:
        """From the body's axis to the bore's."""
        return math.hypot(self.x_mm, self.y_mm)


@dataclass(frozen=True)
class Walls:
    """What is left between holes, in mm; negative where two holes break into each other or through the outside.

    between_mm : from each bore to the next clockwise, the last to the first (two bores have one wall)
    to_any_mm : from each bore to the nearest other, which is no neighbour where a narrow one stands between
    outside_mm : from each bore to the outside
    least_mm : the thinnest of all, also between bores that are not neighbours
    """

    between_mm: tuple[float, ...]
    to_any_mm: tuple[float, ...]
    outside_mm: tuple[float, ...]
    least_mm: float


def pitch_radius_mm(bores_mm: Sequence[float], wall_mm: float) -> float:
    """Radius of the smallest circle on which equally spaced bores have at least `wall_mm` between any two.

    Parameters
    ----------
    bores_mm : sequence of float
        Diameters in order, 2 to 6 of them, 4 to 40 each.
    wall_mm : float
        0.5 to 30.

    Raises
    ------
    OutOfRangeError

    Notes
    -----
    Neighbours on a circle of radius R lie ``2 R sin(180 deg / n)`` apart: ``R = (d + w) / (2 sin(180 deg / n))`` for
    equal bores. Of unequal ones any pair may decide: two wide bores that are not neighbours, with a narrow one between.
    """
    _require_bores(bores_mm)
    require_between("wall in mm", wall_mm, 0.5, 30.0, _NOT_INCHES)
    return max((middle_mm + wall_mm) / per_radius for middle_mm, per_radius in pairs_of(bores_mm))


def pairs_of(bores_mm: Sequence[float]) -> list[tuple[float, float]]:
    """For any two bores: mean of their diameters, and how far apart their centres lie in radii of the circle."""
    n_bores = len(bores_mm)
    return [
        (0.5 * (bores_mm[i] + bores_mm[j]), 2.0 * math.sin(math.pi * (i - j) / n_bores))
        for i in range(n_bores) for j in range(i)
    ]


def body_diameter_mm(bores_mm: Sequence[float], wall_mm: float, circle_radius_mm: float | None = None) -> float:
    """Smallest body with at least `wall_mm` outside every bore, on the smallest pitch circle unless one is given."""
    radius_mm = pitch_radius_mm(bores_mm, wall_mm) if circle_radius_mm is None else circle_radius_mm
    return 2.0 * (radius_mm + 0.5 * max(bores_mm) + wall_mm)


def bores_on_circle(bores_mm: Sequence[float], circle_radius_mm: float) -> tuple[Bore, ...]:
    """The bores at their places, A first."""
    _require_bores(bores_mm)
    placed = []
    for i, bore_mm in enumerate(bores_mm):
        angle = math.radians(bore_angle_deg(i, len(bores_mm)))
        placed.append(Bore(circle_radius_mm * math.sin(angle), circle_radius_mm * math.cos(angle), bore_mm))
    return tuple(placed)


def bore_angle_deg(number: int, n_bores: int) -> float:
    """Clockwise from the pencil mark; `number` from 0."""
    return (number + 0.5) * 360.0 / n_bores


def drifted(bore: Bore, outward_mm: float, clockwise_mm: float = 0.0) -> Bore:
    """The bore where the drill came out: so far outward from the axis, and so far aside."""
    from_axis_mm = max(bore.from_axis_mm, _ON_AXIS_MM)
    out_x, out_y = bore.x_mm / from_axis_mm, bore.y_mm / from_axis_mm
    return Bore(
        bore.x_mm + outward_mm * out_x + clockwise_mm * out_y,
        bore.y_mm + outward_mm * out_y - clockwise_mm * out_x,
        bore.diameter_mm,
    )


def walls(bores: Sequence[Bore], body_mm: float) -> Walls:
    """What wood is left about the bores in a round body of diameter `body_mm`."""
    n_bores = len(bores)
    if n_bores < _MIN_BORES:
        raise OutOfRangeError(f"bores are {n_bores}; walls need two or more.")
    neighbours = [(i, (i + 1) % n_bores) for i in range(n_bores if n_bores > 2 else 1)]
    between = tuple(_wall_between(bores[i], bores[j]) for i, j in neighbours)
    to_any = tuple(
        min(_wall_between(bore, other) for j, other in enumerate(bores) if j != i) for i, bore in enumerate(bores)
    )
    outside = tuple(0.5 * body_mm - bore.from_axis_mm - 0.5 * bore.diameter_mm for bore in bores)
    return Walls(between, to_any, outside, min(*to_any, *outside))


def divider_chords_mm(n_bores: int, circle_radius_mm: float) -> tuple[float, ...]:
    """Settings of the dividers from a hole's centre to the next, the one after next, and so on, each once.

    ``2 R sin(k 180 deg / n)`` for k from 1 to n // 2.
    """
    return tuple(2.0 * circle_radius_mm * math.sin(math.pi * k / n_bores) for k in range(1, n_bores // 2 + 1))


def drift_allowed_mm(wall_mm: float, least_wall_mm: float) -> float:
    """How far one bore may wander toward a face that stands still before the wall is under `least_wall_mm`."""
    return max(0.0, wall_mm - least_wall_mm)


def _wall_between(one: Bore, other: Bore) -> float:
    apart_mm = math.hypot(one.x_mm - other.x_mm, one.y_mm - other.y_mm)
    return apart_mm - 0.5 * (one.diameter_mm + other.diameter_mm)


def _require_bores(bores_mm: Sequence[float]) -> None:
    if not _MIN_BORES <= len(bores_mm) <= _MAX_BORES:
        raise OutOfRangeError(f"bores are {len(bores_mm)}; a whistle has from {_MIN_BORES} to {_MAX_BORES}.")
    for bore_mm in bores_mm:
        require_between("bore diameter in mm", bore_mm, 4.0, 40.0, _NOT_INCHES)
