"""What every sheet has at its head and foot."""
from __future__ import annotations

from app.aimed import whole_chord_text
from app.paper.chord_name import notes_of
from app.paper.drawing import Drawing, leading_mm
from app.paper.job import Job
from app.paper.lettering import HARD
from app.paper.model import Align, Box, Weight
from app.whistle import Whistle

TITLE_PT, NAME_PT, SMALL_PT = 18.0, 11.0, 7.5
HEAD_MM = 17.0
FOOT_MM = 6.0
NO_SOURCE = "What stands here without a source is common practice."


def headed(job: Job, title: str) -> tuple[Drawing, Box]:
    """A new page with its head, and the room between that and the foot."""
    drawing = Drawing(job.size)
    inner = drawing.inner
    baseline_mm = inner.top_mm + 6.0
    wrote = drawing.write(inner.left_mm, baseline_mm, title, TITLE_PT, bold=True)
    room_mm = inner.right_mm - wrote.box.right_mm - 6.0
    name = name_with_number(job.whistle)
    drawing.write(inner.right_mm, baseline_mm, name, NAME_PT, bold=True, align=Align.RIGHT, most_mm=room_mm)
    under_mm = baseline_mm + leading_mm(NAME_PT) + 0.6
    notes = ", ".join(filter(None, (notes_of(job.whistle), whole_chord_text(job.past.lowered_cents))))
    wood = drawing.write(inner.left_mm, under_mm, _wood(job), 9.5, most_mm=inner.width_mm / 2.0 - 6.0)
    room_mm = inner.right_mm - wood.box.right_mm - 6.0
    drawing.write(inner.right_mm, under_mm, notes, 9.5, align=Align.RIGHT, most_mm=room_mm)
    rule_mm = inner.top_mm + HEAD_MM - 3.0
    drawing.line(inner.left_mm, rule_mm, inner.right_mm, rule_mm, Weight.STRONG)
    return drawing, Box(inner.left_mm, inner.top_mm + HEAD_MM, inner.right_mm, inner.bottom_mm - FOOT_MM)


def refused(job: Job, drawing: Drawing, room: Box) -> Box:
    """What forbids the work, in a heavy frame at the top of the room; the room that is left."""
    refusals = job.plan.refusals
    if not refusals:
        return room
    top_mm = room.top_mm + 2.5
    top_mm = drawing.paragraph(room.left_mm + 4.0, top_mm, "Do not cut wood by this sheet yet.", 12.0,
                               room.width_mm - 8.0, bold=True)
    for remark in refusals[:3]:
        top_mm = drawing.paragraph(room.left_mm + 4.0, top_mm + 0.8, remark.sentence, 9.5, room.width_mm - 8.0)
    if len(refusals) > 3:
        top_mm = drawing.paragraph(room.left_mm + 4.0, top_mm + 0.8, f"And {len(refusals) - 3} more: see the cut list.",
                                   9.5, room.width_mm - 8.0)
    drawing.frame(Box(room.left_mm, room.top_mm, room.right_mm, top_mm + 2.0), Weight.HEAVY)
    return Box(room.left_mm, top_mm + 7.0, room.right_mm, room.bottom_mm)


def name_with_number(whistle: Whistle) -> str:
    """As it is called, and what is pencilled on it."""
    if whistle.number is None:
        return whistle.name
    numbered = f"no. {whistle.number}" + (f" of {whistle.of}" if whistle.of else "")
    return f"{whistle.name}, {numbered.replace(' ', HARD)}"


def _wood(job: Job) -> str:
    return ", ".join(part for part in (job.whistle.wood, job.whistle.caps and f"caps {job.whistle.caps}") if part)


def footed(drawing: Drawing, page: int, of_pages: int) -> None:
    """The line at the foot, once the number of pages is known."""
    inner = drawing.inner
    baseline_mm = inner.bottom_mm - 0.8
    drawing.write(inner.left_mm, baseline_mm, NO_SOURCE, SMALL_PT)
    drawing.write(inner.right_mm, baseline_mm, f"page {page} of {of_pages}", SMALL_PT, align=Align.RIGHT)
