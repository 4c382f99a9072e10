"""Where the bores go in the body, what wood stands about them, and how deep they are drilled.

Seen as in `acoustics.layout`: from the plug end, pencil mark up, angles clockwise.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from acoustics.layout import (
    Bore,
    Walls,
    body_diameter_mm,
    bore_angle_deg,
    bores_on_circle,
    divider_chords_mm,
    drift_allowed_mm,
    drifted,
    pairs_of,
    pitch_radius_mm,
    walls,
)
from app.whistle import Chamber, Whistle

LEAST_WALL_MM: Final = 2.0  # unless the maker says another: common practice, no source
TRUING_LITTLE_MM, TRUING_AMPLE_MM = 3.175, 6.35  # 1/8 and 1/4 in off a square blank: common practice, no source
COMFORTABLE_GRIP_MM, LARGEST_GRIP_MM = 40.0, 60.0  # chord-whistle how-to of 2024: what an adult hand grasps
_SAME_MM: Final = 1e-6
MEETING_MM: Final = 5.0  # two holes from both ends must overlap: common practice, no source


class Grip(StrEnum):
    COMFORTABLE = "comfortable"
    WIDE = "wide"
    TOO_WIDE = "too_wide"


class Drilling(StrEnum):
    UNKNOWN = "unknown"  # nobody said how far the longest bit reaches
    ONE_END = "one_end"
    BOTH_ENDS = "both_ends"
    TOO_DEEP = "too_deep"


@dataclass(frozen=True)
class HolePlan:
    """One bore in the body. Walls are what is left; negative where the bore breaks out."""

    letter: str
    angle_deg: float
    x_mm: float
    y_mm: float
    bore_mm: float
    outside_mm: float
    to_next_mm: float  # wall to the next bore clockwise
    drift_allowed_mm: float  # any way, before a wall is under the least
    drift_outward_mm: float | None  # measured at the plug end
    drift_clockwise_mm: float | None
    exit_x_mm: float  # where it came out at the plug end; as drawn when nobody measured
    exit_y_mm: float
    exit_outside_mm: float
    exit_to_next_mm: float


@dataclass(frozen=True)
class BodyPlan:
    """The turned body as drawn, and what blank, hand, tenons and bit say of it."""

    diameter_mm: float
    smallest_mm: float  # with the wanted wall everywhere
    circle_radius_mm: float
    length_mm: float
    wanted_wall_mm: float
    least_wall_mm: float  # thinner is refused
    thinnest_mm: float  # the thinnest wall as drawn
    exit_thinnest_mm: float | None  # the same where the drill came out; None when nobody measured
    tenon_wall_mm: float | None  # outside the bores where the body is turned down; None without a tenon
    grip_mm: float
    grip: Grip
    blank_side_mm: float | None
    from_blank_surely_mm: float | None  # what the blank gives with ample truing
    from_blank_most_mm: float | None  # and with little
    blank_length_needed_mm: float
    drill_depth_mm: float  # right through the body
    drilling: Drilling
    divider_chords_mm: tuple[float, ...]


def body_and_holes(whistle: Whistle) -> tuple[BodyPlan, tuple[HolePlan, ...]]:
    """The body, and every bore in it."""
    bores_mm = [chamber.bore_mm for chamber in whistle.chambers]
    radius_mm, diameter_mm = _circle(whistle, bores_mm)
    drawn = bores_on_circle(bores_mm, radius_mm)
    came_out = tuple(_came_out(bore, chamber) for bore, chamber in zip(drawn, whistle.chambers, strict=True))
    wood, exit_wood = walls(drawn, diameter_mm), walls(came_out, diameter_mm)
    least_mm = least_wall_mm(whistle)
    holes = tuple(
        _hole(whistle, index, (drawn[index], came_out[index]), (wood, exit_wood), least_mm)
        for index in range(len(drawn))
    )
    return _body(whistle, (radius_mm, diameter_mm), came_out, (wood, exit_wood)), holes


def refused(body: BodyPlan) -> bool:
    """A wall thinner than the least, also at the tenon, or a body that the blank does not give."""
    thinnest_mm = min(body.thinnest_mm, math.inf if body.tenon_wall_mm is None else body.tenon_wall_mm)
    over_mm = body.diameter_mm - (math.inf if body.from_blank_most_mm is None else body.from_blank_most_mm)
    return thinnest_mm < body.least_wall_mm - _SAME_MM or over_mm > _SAME_MM


def least_wall_mm(whistle: Whistle) -> float:
    """The thinnest wall that the maker takes."""
    return whistle.body.least_wall_mm or min(LEAST_WALL_MM, whistle.wall_mm)


def body_length_mm(whistle: Whistle) -> float:
    """Mouthpiece end to plug end."""
    if whistle.body.length_mm is not None:
        return whistle.body.length_mm
    return window_from_end_mm(whistle) + max(chamber.bore_length_mm for chamber in whistle.chambers)


def window_from_end_mm(whistle: Whistle) -> float:
    """Mouthpiece end to the fipple face of the longest bore, as the maker wants it."""
    return whistle.body.window_from_end_mm or whistle.fipple_length_mm


def drilling_of(depth_mm: float, reach_mm: float | None) -> Drilling:
    """From where the longest bit gets through."""
    if reach_mm is None:
        return Drilling.UNKNOWN
    if depth_mm <= reach_mm:
        return Drilling.ONE_END
    return Drilling.BOTH_ENDS if depth_mm <= deepest_mm(reach_mm) else Drilling.TOO_DEEP


def deepest_mm(reach_mm: float) -> float:
    """The longest body that the bit drills through, from both ends."""
    return 2.0 * reach_mm - MEETING_MM


def blank_side_mm(whistle: Whistle) -> float | None:
    """The narrower side of the blank."""
    stock = whistle.stock
    if stock.blank_width_mm is None:
        return None
    return min(stock.blank_width_mm, stock.blank_height_mm or stock.blank_width_mm)


def _circle(whistle: Whistle, bores_mm: Sequence[float]) -> tuple[float, float]:
    """Radius of the bores' circle and diameter of the body; what is not said follows from the wanted wall."""
    body, wall_mm = whistle.body, whistle.wall_mm
    radius_mm, smallest_radius_mm = body.circle_radius_mm, pitch_radius_mm(bores_mm, wall_mm)
    if body.diameter_mm is None:
        smallest_mm = body_diameter_mm(bores_mm, wall_mm, radius_mm)
        return radius_mm or smallest_radius_mm, max(smallest_mm, body.tenon_diameter_mm or 0.0)
    if radius_mm is None:
        narrowest_mm = min(body.diameter_mm, body.tenon_diameter_mm or body.diameter_mm)
        radius_mm = 0.5 * (narrowest_mm - max(bores_mm)) - wall_mm
        if radius_mm < smallest_radius_mm:
            radius_mm = _balanced_radius_mm(narrowest_mm, bores_mm)
    return radius_mm, body.diameter_mm


def _balanced_radius_mm(body_mm: float, bores_mm: Sequence[float]) -> float:
    """The circle on which a body too small for the wanted wall leaves as much between the bores as outside them."""
    outside_mm = 0.5 * (body_mm - max(bores_mm))
    return max(0.0, *((outside_mm + middle_mm) / (1.0 + per_radius) for middle_mm, per_radius in pairs_of(bores_mm)))


def _came_out(bore: Bore, chamber: Chamber) -> Bore:
    return drifted(bore, chamber.drift_outward_mm or 0.0, chamber.drift_clockwise_mm or 0.0)


def _measured(chamber: Chamber) -> bool:
    return chamber.drift_outward_mm is not None or chamber.drift_clockwise_mm is not None


def _hole(
    whistle: Whistle, index: int, bores: tuple[Bore, Bore], wood: tuple[Walls, Walls], least_mm: float
) -> HolePlan:
    chamber, n_bores = whistle.chambers[index], len(whistle.chambers)
    (drawn, came_out), (before, after) = bores, wood
    outside_mm, shared_mm = before.outside_mm[index], before.to_any_mm[index]
    to_next = index % len(before.between_mm)  # two bores have one wall
    return HolePlan(
        chamber.letter, bore_angle_deg(index, n_bores), drawn.x_mm, drawn.y_mm, chamber.bore_mm,
        outside_mm, before.between_mm[to_next],
        # Two bores may both wander toward the wall between them, so each has half of it.
        min(drift_allowed_mm(outside_mm, least_mm), 0.5 * drift_allowed_mm(shared_mm, least_mm)),
        chamber.drift_outward_mm, chamber.drift_clockwise_mm,
        came_out.x_mm, came_out.y_mm, after.outside_mm[index], after.between_mm[to_next],
    )


def _body(
    whistle: Whistle, circle: tuple[float, float], came_out: Sequence[Bore], wood: tuple[Walls, Walls]
) -> BodyPlan:
    body, stock = whistle.body, whistle.stock
    (radius_mm, diameter_mm), length_mm = circle, body_length_mm(whistle)
    reach_out_mm = max(bore.from_axis_mm + 0.5 * bore.diameter_mm for bore in came_out)
    side_mm, grip_mm = blank_side_mm(whistle), body.grip_diameter_mm or diameter_mm
    return BodyPlan(
        diameter_mm=diameter_mm,
        smallest_mm=body_diameter_mm([chamber.bore_mm for chamber in whistle.chambers], whistle.wall_mm),
        circle_radius_mm=radius_mm, length_mm=length_mm,
        wanted_wall_mm=whistle.wall_mm, least_wall_mm=least_wall_mm(whistle), thinnest_mm=wood[0].least_mm,
        exit_thinnest_mm=wood[1].least_mm if any(_measured(chamber) for chamber in whistle.chambers) else None,
        tenon_wall_mm=None if body.tenon_diameter_mm is None else 0.5 * body.tenon_diameter_mm - reach_out_mm,
        grip_mm=grip_mm, grip=_grip(grip_mm), blank_side_mm=side_mm,
        from_blank_surely_mm=None if side_mm is None else side_mm - TRUING_AMPLE_MM,
        from_blank_most_mm=None if side_mm is None else side_mm - TRUING_LITTLE_MM,
        blank_length_needed_mm=length_mm + stock.chucking_mm,
        drill_depth_mm=length_mm, drilling=drilling_of(length_mm, stock.bit_reach_mm),
        divider_chords_mm=divider_chords_mm(len(whistle.chambers), radius_mm),
    )


def _grip(grip_mm: float) -> Grip:
    if grip_mm <= COMFORTABLE_GRIP_MM:
        return Grip.COMFORTABLE
    return Grip.WIDE if grip_mm <= LARGEST_GRIP_MM else Grip.TOO_WIDE
