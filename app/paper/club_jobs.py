"""From the journal to all that the papers of a club evening are drawn from."""
from __future__ import annotations

from collections.abc import Sequence

from app.club import Standing
from app.journal import Journal
from app.paper.club import Member
from app.paper.job import job_of
from app.paper.model import PageSize


def members_of(
    journal: Journal, standings: Sequence[Standing], units: str, size: PageSize
) -> tuple[Member, ...]:
    """A read, in the order of the numbers."""
    return tuple(
        Member(each, job_of(each.whistle, journal.standing(each.whistle.id), units=units, size=size))
        for each in sorted(standings, key=lambda each: each.number)
    )
