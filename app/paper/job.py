"""All that the sheets of one whistle are drawn from."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from acoustics.tuning import Priors
from app.aimed import aimed
from app.paper.figures import Figures
from app.paper.model import A4, PageSize
from app.paper.past import Past, past_of
from app.place import memory_aside
from app.records import Record
from app.whistle import Whistle
from app.whole_plan import WorkPlan
from app.work_plan import work_plan


@dataclass(frozen=True)
class Job:
    """A whistle's plan, what the journal knows of it, and how its maker wants the sheets."""

    whistle: Whistle  # with the notes aimed at
    plan: WorkPlan
    past: Past
    units: str = "both"
    size: PageSize = A4
    given_to: str = ""  # on the card
    maker: str = ""
    day: str = ""  # on the card; empty leaves a line to write upon

    @property
    def figures(self) -> Figures:
        return Figures(self.units)


def job_of(
    whistle: Whistle, records: Sequence[Record] = (), priors: Priors | None = None, *, units: str = "both",
    size: PageSize = A4, given_to: str = "", maker: str = "", day: str = "",
) -> Job:
    """From the whistle's standing records; `priors` are what earlier whistles taught, unless that was set aside."""
    past = past_of(whistle, records)
    whistle, _ = aimed(whistle, records)
    plan = work_plan(whistle, None if memory_aside(records) else priors, "inch" if units == "inch" else "mm")
    return Job(whistle, plan, past, units, size, given_to, maker, day)
