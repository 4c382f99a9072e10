"""What a plan says of itself: one plain sentence for each thing to change, to mind or to know."""
from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from app.whistle import Whistle

if TYPE_CHECKING:
    from app.work_plan import Remark, WorkPlan


def remarks_on(whistle: Whistle, plan: WorkPlan, units: str) -> Iterator[Remark]:
    """Every remark, in the order of the work."""
    yield from ()
