"""Gift cards, four to a page: cut on the whole lines, folded like a book, a ring for the ribbon through both halves."""
from __future__ import annotations

from collections.abc import Sequence

from app.aimed import whole_chord_text
from app.cautions import NOISE_LIMIT
from app.paper.chord_name import name_of, notes_of, other_names_of
from app.paper.drawing import Drawing, leading_mm
from app.paper.heading import name_with_number
from app.paper.job import Job
from app.paper.lettering import MM_PER_PT, RISE_EM, fitted, wrapped
from app.paper.model import Align, Box, Page, Sheet, Stroke, Weight

HALF_MM, TALL_MM, APART_MM, N_CARDS = 85.0, 55.0, 5.0, 4
RING_MM, RING_IN_MM = 2.5, 7.0
_BESIDE_RING_MM = 58.0
CARE = (
    ("Care.", "Keep it dry and out of the sun. Warm it in the hand, blow short, let it dry after."),
    ("Mouths.", "One whistle, one mouth: or wipe it with alcohol and let it dry (school-music hygiene advice)."),
    ("Ears.", f"It is loud, and its loudness was never measured: not near an ear. {NOISE_LIMIT}"),
    ("Small children.", "Plugs and fipples are small parts: not under three years (US 16 CFR 1501). Local rules come "
     "first. Do not rely on it to call for help."),
)
_HOW = "Cut on the whole lines, fold on the broken one with the print outside, punch the ring through both halves."


def card(job: Job) -> Sheet:
    return Sheet("card", f"{job.whistle.name}: gift card", (_page([job] * N_CARDS),))


def cards(jobs: Sequence[Job]) -> Sheet:
    """One card for each whistle, four to a page."""
    pages = tuple(_page(jobs[first:first + N_CARDS]) for first in range(0, len(jobs), N_CARDS))
    return Sheet("cards", "Gift cards", pages)


def _page(jobs: Sequence[Job]) -> Page:
    size = jobs[0].size
    drawing = Drawing(size)
    left_mm = (size.width_mm - 2.0 * HALF_MM) / 2.0
    top_mm = drawing.paragraph(left_mm, drawing.inner.top_mm, _HOW, 8.0, 2.0 * HALF_MM) + 3.0
    for number, job in enumerate(jobs):
        y_mm = top_mm + number * (TALL_MM + APART_MM)
        back, front = Box(left_mm, y_mm, left_mm + HALF_MM, y_mm + TALL_MM), Box(
            left_mm + HALF_MM, y_mm, left_mm + 2.0 * HALF_MM, y_mm + TALL_MM
        )
        drawing.frame(Box(back.left_mm, y_mm, front.right_mm, y_mm + TALL_MM), Weight.THIN)
        drawing.line(front.left_mm, y_mm, front.left_mm, y_mm + TALL_MM, Weight.THIN, Stroke.DASHED)
        for side in (-1.0, 1.0):
            drawing.circle(front.left_mm + side * RING_IN_MM, y_mm + RING_IN_MM, RING_MM, Weight.THIN)
        _back(drawing, back)
        _front(job, drawing, front)
    return drawing.page()


def _front(job: Job, drawing: Drawing, box: Box) -> None:
    """Its name, its chord in notes and in words, its wood; and below for whom, by whom, and when."""
    whistle, middle_mm = job.whistle, (box.left_mm + box.right_mm) / 2.0
    name = name_with_number(whistle)
    long = len(wrapped(name, _BESIDE_RING_MM, 13.0, bold=True)) > 2
    y_mm = _centred(drawing, middle_mm, box.top_mm + 4.0, name, 9.0 if long else 13.0, _BESIDE_RING_MM, bold=True,
                    most_lines=3 if long else 2)
    lines = [(notes_of(whistle), 15.0 if len(whistle.chambers) <= 4 else 12.0, True), (name_of(whistle), 10.0, False)]
    down, other = whole_chord_text(job.past.lowered_cents), other_names_of(whistle)
    if down:  # it sounds none of the notes that another name would name
        lines.insert(1, (down, 8.5, False))
    elif other and not long:
        lines.append((f"the same notes: {other}", 7.5, False))
    if whistle.wood:
        lines.append((f"in {whistle.wood}", 8.5, False))
    y_mm += 1.0
    for words, size_pt, bold in lines:
        drawing.write(middle_mm, y_mm + RISE_EM * size_pt * MM_PER_PT, words, size_pt, bold=bold, align=Align.MIDDLE,
                      most_mm=box.width_mm - 10.0, whole=True)
        y_mm += leading_mm(size_pt)
    for up_mm, label, told in ((17.0, "for", job.given_to), (10.5, "turned by", job.maker), (4.0, "on", job.day)):
        drawing.entry(box.left_mm + 5.0, box.bottom_mm - up_mm, label, box.right_mm - 5.0, 8.5, told)


def _centred(
    drawing: Drawing, middle_mm: float, top_mm: float, words: str, size_pt: float, room_mm: float, *,
    bold: bool = False, most_lines: int = 1,
) -> float:
    """Lines about a middle; returns where the next may begin."""
    lines = wrapped(words, room_mm, size_pt, bold)
    if len(lines) > most_lines:
        lines = [*lines[:most_lines - 1], fitted(" ".join(lines[most_lines - 1:]), room_mm, size_pt, bold)]
    for line in lines:
        drawing.write(middle_mm, top_mm + RISE_EM * size_pt * MM_PER_PT, line, size_pt, bold=bold, align=Align.MIDDLE)
        top_mm += leading_mm(size_pt)
    return top_mm


def _back(drawing: Drawing, box: Box) -> None:
    y_mm = box.top_mm + 4.0
    for title, words in CARE:
        room_mm = (box.width_mm - 16.0) if y_mm < box.top_mm + 2.0 * RING_IN_MM else box.width_mm - 10.0
        y_mm = drawing.paragraph(box.left_mm + 5.0, y_mm, title, 8.0, room_mm, bold=True)
        y_mm = drawing.paragraph(box.left_mm + 5.0, y_mm - 0.4, words, 7.5, room_mm) + 0.8
