"""How one plug is to be moved for the chord: which way, how far, and on what scale."""
from __future__ import annotations

import math
from dataclasses import dataclass

from acoustics.tuning import Policy
from app.chamber import Chamber
from app.events import Task

ROUNDED_UP_FROM = 0.3  # 0.7 of a step makes one: half a step would miss by as much on the other side
DISC_FROM = 2.0  # tolerances: for less than this nobody glues a disc on


@dataclass(frozen=True)
class Move:
    """One task for one plug, in lengths as the calipers show them."""

    letter: str
    task: Task  # trim, slide, or a disc added
    depth_mm: float  # of the face afterwards
    amount_mm: float  # trimmed off or added; of a slide, inwards
    shift_cents: float  # of the note, up or down


def move_of(
    chamber: Chamber, sharp_cents: float, slope: float | None, policy: Policy, step_mm: float
) -> Move | None:
    """Take `sharp_cents` out of a chamber; None when nothing was measured, or it is less than a step of the scale.

    slope : cents that a millimetre of plug is worth
    """
    plug = chamber.plug
    if plug is None or not slope:
        return None
    too_long_mm = sharp_cents / slope
    if policy.sliding:
        steps = math.floor(abs(too_long_mm) / step_mm + ROUNDED_UP_FROM)
        depth_mm = round(plug.depth_mm - math.copysign(steps * step_mm, too_long_mm), 4)
        task, least_mm = Task.SLIDE, 0.9 * step_mm
    else:
        if sharp_cents < 0.0 and -sharp_cents < DISC_FROM * policy.tolerance_cents:
            return None
        depth_mm = round(math.ceil((plug.depth_mm - too_long_mm) / step_mm - 1e-9) * step_mm, 4)  # rather long
        task, least_mm = Task.TRIM if sharp_cents > 0.0 else Task.REPAIR, 0.5 * step_mm
    inwards_mm = round(depth_mm - plug.depth_mm, 4)
    if abs(inwards_mm) < least_mm or (inwards_mm > 0.0) == (sharp_cents > 0.0):
        return None
    amount_mm = inwards_mm if task is Task.SLIDE else abs(inwards_mm)
    return Move(chamber.letter, task, depth_mm, amount_mm, inwards_mm * slope)
