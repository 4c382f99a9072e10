"""The papers of a club evening: one table of all whistles, then a record sheet and a gift card for each, in one go.

Numbers only: what did not come out is never put beside a name.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.club import Standing
from app.club_words import on_note_text, waits_text
from app.paper.card import cards
from app.paper.chord_name import name_of
from app.paper.drawing import Drawing, leading_mm
from app.paper.figures import Figure
from app.paper.flow import Cell, Column, Flow
from app.paper.heading import FOOT_MM, HEAD_MM, NAME_PT, TITLE_PT
from app.paper.job import Job
from app.paper.model import Align, Box, Page, Sheet, Weight
from app.paper.past import ChamberPast, day_text
from app.paper.record import record

TITLE = "Club evening"


@dataclass(frozen=True)
class Member:
    """One whistle of the evening, with all that its sheets are drawn from."""

    standing: Standing
    job: Job


def club_papers(members: Sequence[Member], evening: str) -> Sheet:
    """Table, record sheets, cards."""
    jobs = [member.job for member in members]
    pages: list[Page] = [*table(members, evening).pages]
    for job in jobs:
        pages += record(job).pages
    pages += cards(jobs).pages
    return Sheet("club", f"{TITLE} {day_text(evening)}", tuple(pages))


def table(members: Sequence[Member], evening: str) -> Sheet:
    """Where every whistle stands."""
    flow = _ClubFlow(members, evening)
    names = ("no.", "whistle", "stage", "on their note", "furthest off its interval", "waits for")
    shares = (0.6, 3.1, 1.2, 0.9, 1.5, 3.1)
    columns = [Column(name, share, Align.MIDDLE if name == "no." else Align.LEFT)
               for name, share in zip(names, shares, strict=True)]
    flow.table(columns, [_row(member) for member in members], least_row_mm=9.0)
    flow.paragraph("Intervals to chamber A: in one breath where the whole whistle was blown, otherwise in single"
                   " blows. The record sheet of each whistle and its gift card follow.")
    return flow.sheet()


def _row(member: Member) -> list[Cell]:
    standing, whistle = member.standing, member.job.whistle
    return [
        Figure(str(standing.number)), Figure(whistle.name, name_of(whistle)), standing.stage.value,
        on_note_text(standing).removesuffix(" on their note"), _furthest(member.job), waits_text(standing),
    ]


def _furthest(job: Job) -> str:
    """The chamber that is furthest off, and by how much; empty while no two can be compared."""
    off = [(cents, chamber.letter) for chamber in job.past.chambers[1:] if (cents := _off_cents(chamber)) is not None]
    if not off:
        return ""
    cents, letter = max(off, key=lambda each: abs(each[0]))
    if abs(cents) < 0.5:
        return f"{letter} even"
    return f"{letter} {abs(cents):.0f} c {'sharp' if cents > 0.0 else 'flat'}"


def _off_cents(chamber: ChamberPast) -> float | None:
    return chamber.interval_cents if chamber.in_chord_cents is None else chamber.in_chord_cents


class _ClubFlow(Flow):
    """Headed by the evening, not by one whistle."""

    def __init__(self, members: Sequence[Member], evening: str) -> None:
        self._n_whistles, self._evening = len(members), evening
        super().__init__(members[0].job, "club-table", TITLE)

    def sheet(self) -> Sheet:
        sheet = super().sheet()
        return Sheet(sheet.name, f"{TITLE} {day_text(self._evening)}", sheet.pages)

    def _begun(self) -> tuple[Drawing, Box, float]:
        drawing = Drawing(self.job.size)
        inner = drawing.inner
        drawing.write(inner.left_mm, inner.top_mm + 6.0, TITLE, TITLE_PT, bold=True)
        day = day_text(self._evening)
        drawing.write(inner.right_mm, inner.top_mm + 6.0, day, NAME_PT, bold=True, align=Align.RIGHT)
        under_mm = inner.top_mm + 6.0 + leading_mm(NAME_PT) + 0.6
        counted = f"{self._n_whistles} whistle{'' if self._n_whistles == 1 else 's'}"
        drawing.write(inner.right_mm, under_mm, counted, 9.5, align=Align.RIGHT)
        drawing.line(inner.left_mm, inner.top_mm + HEAD_MM - 3.0, inner.right_mm, inner.top_mm + HEAD_MM - 3.0,
                     Weight.STRONG)
        self._pages.append(drawing)
        room = Box(inner.left_mm, inner.top_mm + HEAD_MM, inner.right_mm, inner.bottom_mm - FOOT_MM)
        return drawing, room, room.top_mm
