"""What a whistle document may say of the turned body, and of the stock that it is made from."""
from __future__ import annotations

from dataclasses import dataclass

CHUCKING_MM = 25.4  # an inch in the chuck: woodworking magazine, single whistle


@dataclass(frozen=True)
class Body:
    """The turned body and what goes on its ends. None: not decided, and the work plan says what would do."""

    diameter_mm: float | None = None
    circle_radius_mm: float | None = None  # from the body's axis to each bore's
    least_wall_mm: float | None = None  # thinner than this is refused
    length_mm: float | None = None  # mouthpiece end to plug end
    window_from_end_mm: float | None = None  # mouthpiece end to the longest bore's fipple face; None: fipple is flush
    tenon_diameter_mm: float | None = None  # of the ends that go into cap and mouthpiece, and of their mortises
    tenon_length_mm: float | None = None
    mortise_depth_mm: float | None = None
    cap_length_mm: float | None = None
    mouthpiece_length_mm: float | None = None
    mouthpiece_chamber_diameter_mm: float | None = None  # the hollow that feeds all windways
    mouthpiece_chamber_depth_mm: float | None = None
    grip_diameter_mm: float | None = None  # where the hand holds; None: the body itself
    windway_flat_mm: float | None = None  # taken off one side of the fipple's dowel


@dataclass(frozen=True)
class Stock:
    """What lies on the bench, as measured. None: not measured."""

    blank_width_mm: float | None = None
    blank_height_mm: float | None = None  # None: the blank is square
    blank_length_mm: float | None = None
    bit_diameter_mm: float | None = None
    bit_reach_mm: float | None = None  # of the longest bit, from the point to where its chuck would touch
    dowel_diameter_mm: float | None = None
    dowel_across_mm: float | None = None  # the same dowel measured across the first way
    dowel_wood: str = ""
    kerf_mm: float | None = None  # what one saw cut takes away
    chucking_mm: float = CHUCKING_MM  # length of blank that is lost to the chuck; 0 between centres
