"""From the whistle document to the work: where the bores go, what is sawn, how long each is. Pure numbers in mm."""
from __future__ import annotations

from dataclasses import replace

from acoustics.tuning import Priors
from app.cut_list import cut_list
from app.hole_plan import body_and_holes
from app.plan_words import remarks_on
from app.plug_plan import plugs_of
from app.remark import Weight
from app.whistle import Whistle
from app.whole_plan import WorkPlan
from app.window_plan import windows_and_breath


def work_plan(whistle: Whistle, priors: Priors | None = None, units: str = "mm") -> WorkPlan:
    """The whole plan; `priors` are those of earlier whistles of this pattern, `units` those of the remarks."""
    body, holes = body_and_holes(whistle)
    windows, breath = windows_and_breath(whistle, holes)
    plugs = plugs_of(whistle, priors, units)
    plan = WorkPlan(body, holes, windows, plugs, breath, cut_list(whistle, body, windows, plugs))
    order = list(Weight)
    return replace(plan, remarks=tuple(sorted(
        remarks_on(whistle, plan, units), key=lambda remark: order.index(remark.weight)
    )))
