"""Gift cards, four to a page: cut on the whole lines, folded like a book, a ring for the ribbon through both halves."""
from __future__ import annotations

from app.paper.chord_name import name_of, notes_of, other_name_of
from app.paper.drawing import Drawing, leading_mm
from app.paper.job import Job
from app.paper.lettering import MM_PER_PT, RISE_EM, fitted, wrapped
from app.paper.model import Align, Box, Sheet, Stroke, Weight

HALF_MM, TALL_MM, APART_MM, N_CARDS = 85.0, 55.0, 5.0, 4
RING_MM, RING_IN_MM = 2.5, 7.0
CARE = (
    ("Care.", "Keep it dry and out of the sun. Warm it in the hand, blow short, let it dry after."),
    ("Mouths.", "One whistle, one mouth: or wipe it with alcohol and let it dry (school-music hygiene advice)."),
    ("Ears.", "It is loud, and its loudness was never measured: not near an ear (NIOSH: 85 dBA for 8 hours at most)."),
    ("Small children.", "Plugs and fipples are small parts: not under three years (US 16 CFR 1501). Local rules come "
     "first. Do not rely on it to call for help."),
)
_HOW = "Cut on the whole lines, fold on the broken one with the print outside, punch the ring through both halves."


def card(job: Job) -> Sheet:
    drawing = Drawing(job.size)
    left_mm = (job.size.width_mm - 2.0 * HALF_MM) / 2.0
    top_mm = drawing.paragraph(left_mm, drawing.inner.top_mm, _HOW, 8.0, 2.0 * HALF_MM) + 3.0
    for number in range(N_CARDS):
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
    return Sheet("card", f"{job.whistle.name}: gift card", (drawing.page(),))


def _front(job: Job, drawing: Drawing, box: Box) -> None:
    """Its name, its chord in notes and in words, and who, what and when below."""
    whistle = job.whistle
    middle_mm = (box.left_mm + box.right_mm) / 2.0
    long = len(wrapped(whistle.name, 58.0, 13.0, bold=True)) > 2
    y_mm = _centred(drawing, middle_mm, box.top_mm + 4.0, whistle.name, 9.0 if long else 13.0, 58.0, bold=True,
                    most_lines=3 if long else 2)
    if whistle.number is not None:
        of = f" of {whistle.of}" if whistle.of else ""
        y_mm = _centred(drawing, middle_mm, y_mm, f"no. {whistle.number}{of}", 8.0, 58.0)
    notes_pt = 15.0 if len(whistle.chambers) <= 4 else 12.0
    y_mm = _centred(drawing, middle_mm, y_mm + 1.4, notes_of(whistle), notes_pt, 77.0, bold=True, most_lines=2)
    y_mm = _centred(drawing, middle_mm, y_mm, name_of(whistle), 10.0, 77.0, most_lines=2)
    other = other_name_of(whistle)
    if other:
        _centred(drawing, middle_mm, y_mm, f"the same notes: {other}", 7.5, 77.0)
    left_mm, right_mm = box.left_mm + 5.0, box.right_mm - 5.0
    half_mm = (left_mm + right_mm) / 2.0
    drawing.entry(left_mm, box.bottom_mm - 12.0, "for", right_mm, 8.5, job.given_to)
    drawing.entry(left_mm, box.bottom_mm - 5.0, "turned by", half_mm + 2.0, 8.5, job.maker)
    drawing.entry(half_mm + 5.0, box.bottom_mm - 5.0, "on", right_mm, 8.5, job.day)
    if whistle.wood:
        drawing.write(middle_mm, box.bottom_mm - 18.0, fitted(f"in {whistle.wood}", 77.0, 8.5), 8.5, align=Align.MIDDLE)


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
