"""The whole plan of a whistle, in its parts. Pure numbers in mm, and what they say of themselves."""
from __future__ import annotations

from dataclasses import dataclass

from app.cut_list import CutList
from app.hole_plan import BodyPlan, HolePlan
from app.plug_plan import PlugPlan
from app.remark import Remark, Weight
from app.window_plan import BreathPlan, WindowPlan


@dataclass(frozen=True)
class WorkPlan:
    body: BodyPlan
    holes: tuple[HolePlan, ...]
    windows: tuple[WindowPlan, ...]
    plugs: tuple[PlugPlan, ...]
    breath: BreathPlan
    cuts: CutList
    remarks: tuple[Remark, ...] = ()  # the gravest first

    @property
    def refusals(self) -> tuple[Remark, ...]:
        """What must change before any wood is cut."""
        return tuple(remark for remark in self.remarks if remark.weight is Weight.REFUSE)
