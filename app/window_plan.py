"""Where each window is sawn, what feeds it, and how long one breath lasts."""
from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from acoustics.windway import (
    breath_lasts_s,
    graded_height_mm,
    intonation_number,
    windway_area_mm2,
    windway_width_mm,
)
from app.hole_plan import HolePlan, body_length_mm
from app.whistle import Chamber, Whistle

FLAT_MM: Final = 1.6  # 1/16 in off the dowel unless the maker says another: common practice, no source
BREATH_PA, LUNGS_LITRE = 500.0, 3.0  # a playing breath: common practice, no source


@dataclass(frozen=True)
class WindowPlan:
    """One window and its windway. Lines are measured along the body from its mouthpiece end."""

    letter: str
    angle_deg: float
    fipple_line_mm: float  # the fipple's inner face
    lip_line_mm: float
    ramp_line_mm: float  # where the slope down to the lip begins on the outside
    width_mm: float
    height_mm: float
    graded_height_mm: float  # would speak as readily as the lowest chamber under one breath
    saw_depth_mm: float  # from the outside, until the opening is as wide as the window
    fipple_length_mm: float
    flat_mm: float
    windway_width_mm: float
    windway_area_mm2: float
    intonation_ratio: float  # intonation number over the lowest chamber's; the largest jumps up first


@dataclass(frozen=True)
class BreathPlan:
    """All chambers blown at once, in ideal flow; a real breath lasts a little longer."""

    area_mm2: float
    lasts_s: float
    breath_pa: float
    lungs_litre: float
    first_to_jump: str  # letter of the chamber that overblows first


def windows_and_breath(
    whistle: Whistle, holes: tuple[HolePlan, ...]
) -> tuple[tuple[WindowPlan, ...], BreathPlan]:
    """Every window, and the breath that all of them take."""
    windows = tuple(_window(whistle, chamber, hole) for chamber, hole in zip(whistle.chambers, holes, strict=True))
    area_mm2 = sum(window.windway_area_mm2 for window in windows)
    first = max(windows, key=lambda window: window.intonation_ratio)
    lasts_s = breath_lasts_s(area_mm2, BREATH_PA, LUNGS_LITRE)
    return windows, BreathPlan(area_mm2, lasts_s, BREATH_PA, LUNGS_LITRE, first.letter)


def flat_mm(whistle: Whistle, chamber: Chamber) -> float:
    """What is taken off one side of this chamber's fipple."""
    return chamber.windway_flat_mm or whistle.body.windway_flat_mm or min(FLAT_MM, 0.25 * chamber.bore_mm)


def _window(whistle: Whistle, chamber: Chamber, hole: HolePlan) -> WindowPlan:
    lowest, off_mm = whistle.chambers[0], flat_mm(whistle, chamber)
    fipple_line_mm = body_length_mm(whistle) - chamber.bore_length_mm
    lip_line_mm = fipple_line_mm + chamber.window_height_mm
    longest_mm = max(one.bore_length_mm for one in whistle.chambers)
    return WindowPlan(
        letter=chamber.letter, angle_deg=hole.angle_deg, fipple_line_mm=fipple_line_mm, lip_line_mm=lip_line_mm,
        ramp_line_mm=lip_line_mm + max(0.0, hole.outside_mm) / math.tan(math.radians(whistle.lip_slope_deg)),
        width_mm=chamber.window_width_mm, height_mm=chamber.window_height_mm,
        graded_height_mm=graded_height_mm(chamber.target_hz, lowest.target_hz, lowest.window_height_mm),
        saw_depth_mm=max(0.0, hole.outside_mm) + _into_bore_mm(chamber),
        # The fipples' outer ends lie in one plane, so that one hollow feeds all of them.
        fipple_length_mm=whistle.fipple_length_mm + longest_mm - chamber.bore_length_mm,
        flat_mm=off_mm, windway_width_mm=windway_width_mm(chamber.bore_mm, off_mm),
        windway_area_mm2=windway_area_mm2(chamber.bore_mm, off_mm),
        intonation_ratio=_intonation(chamber, off_mm) / _intonation(lowest, flat_mm(whistle, lowest)),
    )


def _into_bore_mm(chamber: Chamber) -> float:
    """How far a cut goes into a round bore before it is as wide as the window."""
    return 0.5 * (chamber.bore_mm - math.sqrt(chamber.bore_mm**2 - chamber.window_width_mm**2))


def _intonation(chamber: Chamber, off_mm: float) -> float:
    return intonation_number(chamber.target_hz, chamber.window_height_mm, off_mm, BREATH_PA)
