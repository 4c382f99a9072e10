"""Whistles for the lay-out sheet: one whose blank, dowel and drill were measured, one that is too thin, in full."""
from __future__ import annotations

from dataclasses import replace

from app.body import Body, Stock
from app.whistle import Whistle
from tests.ui.sheet_cases import harbour

ENDS = Body(
    length_mm=152.7, tenon_diameter_mm=43.0, tenon_length_mm=12.0, mortise_depth_mm=12.5, cap_length_mm=25.0,
    mouthpiece_length_mm=60.0, mouthpiece_chamber_diameter_mm=36.5, mouthpiece_chamber_depth_mm=14.0,
)
MEASURED = Stock(
    blank_width_mm=52.0, blank_length_mm=190.0, bit_diameter_mm=12.8, bit_reach_mm=127.0, dowel_diameter_mm=12.6,
    dowel_across_mm=12.5, dowel_wood="maple",
)


def drilled() -> Whistle:
    """The harbour whistle after drilling: B came out far from its place."""
    a, b, c, d = harbour().chambers
    b = replace(b, drift_outward_mm=1.2, drift_clockwise_mm=-0.8)
    return replace(
        harbour(), body=replace(ENDS, diameter_mm=44.4), stock=MEASURED,
        chambers=(replace(a, drift_outward_mm=0.3, drift_clockwise_mm=0.2), b, c, d),
    )


def too_thin() -> Whistle:
    """The same bores in a body that is too small for them."""
    return replace(harbour(), body=Body(diameter_mm=36.0), stock=replace(MEASURED, bit_reach_mm=None))
