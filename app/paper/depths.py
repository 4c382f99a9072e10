"""The same again: one card of everything that made this whistle what it is, to be kept with the pattern."""
from __future__ import annotations

from collections.abc import Iterator

from app.aimed import aimed_note, whole_chord_text
from app.cautions import NOISE_LIMIT
from app.paper.chord_name import name_of, note_of
from app.paper.drawing import Drawing
from app.paper.figures import Figure, Figures
from app.paper.heading import name_with_number
from app.paper.job import Job
from app.paper.model import Align, Box, Sheet, Weight

WIDE_MM, TALL_MM, APART_MM, N_CARDS = 180.0, 124.0, 6.0, 2
_LABEL_MM, _ROW_MM, _PAD_MM = 36.0, 10.0, 4.0
DEEP = "depth of face"


def depths(job: Job) -> Sheet:
    drawing = Drawing(job.size)
    left_mm = (job.size.width_mm - WIDE_MM) / 2.0
    for number in range(N_CARDS):
        top_mm = drawing.inner.top_mm + number * (TALL_MM + APART_MM)
        _card(job, drawing, Box(left_mm, top_mm, left_mm + WIDE_MM, top_mm + TALL_MM))
    return Sheet("depths", f"{job.whistle.name}: the same again", (drawing.page(),))


def _card(job: Job, drawing: Drawing, box: Box) -> None:
    whistle, past = job.whistle, job.past
    drawing.frame(box, Weight.THIN)
    left_mm, right_mm = box.left_mm + _PAD_MM, box.right_mm - _PAD_MM
    wrote = drawing.write(left_mm, box.top_mm + 8.0, "The same again", 15.0, bold=True)
    drawing.write(right_mm, box.top_mm + 8.0, name_with_number(whistle), 11.0, bold=True, align=Align.RIGHT,
                  most_mm=right_mm - wrote.box.right_mm - 6.0)
    called = ", ".join(filter(None, (name_of(whistle), whole_chord_text(past.lowered_cents))))
    drawing.write(left_mm, box.top_mm + 13.5, called, 9.5, most_mm=right_mm - left_mm)
    y_mm = _grid(job, drawing, Box(left_mm, box.top_mm + 17.0, right_mm, box.bottom_mm))
    half_mm = (left_mm + right_mm) / 2.0
    air = past.last_temperature_c
    entries = (
        ("wood", whistle.wood), ("day", past.last_day), ("air, °C", "" if air is None else f"{air:.1f}"),
        ("fipples’ flat", _flats(job)),
    )
    for number, (label, told) in enumerate(entries):
        x_mm = left_mm + (number % 2) * (half_mm - left_mm)
        drawing.entry(x_mm, y_mm + 5.5 + (number // 2) * 7.0, label, x_mm + half_mm - left_mm - 6.0 * (1 - number % 2),
                      8.5, told)
    state = "as accepted" if past.finished else "a line is for what the journal does not know yet"
    under = (f"Depth: from the plug end to the plug's inner face; {state}.", f"Loud: not near an ear. {NOISE_LIMIT}",
             "Small parts: not under three years (US 16 CFR 1501). Local rules come first.")
    for number, words in enumerate(under):
        drawing.write(left_mm, box.bottom_mm - 9.4 + 3.4 * number, words, 7.5, most_mm=right_mm - left_mm)


def _flats(job: Job) -> str:
    flats = {str(job.figures.size(window.flat_mm)) for window in job.plan.windows}
    return flats.pop() if len(flats) == 1 else "see the step sheet"


def _grid(job: Job, drawing: Drawing, box: Box) -> float:
    """A column for each chamber; returns where it ends."""
    letters = job.whistle.letters
    wide_mm = (box.width_mm - _LABEL_MM) / len(letters)
    y_mm = box.top_mm
    for label, cells in _rows(job):
        deep = label == DEEP
        drawing.write(box.left_mm, y_mm + 5.0, label, 9.0, bold=deep, most_mm=_LABEL_MM - 1.0)
        for number, cell in enumerate(cells):
            left_mm = box.left_mm + _LABEL_MM + number * wide_mm
            _cell(drawing, Box(left_mm, y_mm, left_mm + wide_mm, y_mm + _ROW_MM), cell, 13.0 if deep else 10.0)
        y_mm += _ROW_MM
        drawing.line(box.left_mm, y_mm, box.right_mm, y_mm, Weight.STRONG if not label else Weight.THIN)
    return y_mm


def _cell(drawing: Drawing, box: Box, cell: Figure | None, size_pt: float) -> None:
    middle_mm = (box.left_mm + box.right_mm) / 2.0
    if cell is None:
        drawing.line(box.left_mm + 3.0, box.bottom_mm - 2.4, box.right_mm - 3.0, box.bottom_mm - 2.4, Weight.THIN)
        return
    most_mm = box.width_mm - 1.0
    drawing.write(middle_mm, box.top_mm + 5.0, cell.main, size_pt, bold=True, align=Align.MIDDLE, most_mm=most_mm,
                  whole=True)
    drawing.write(middle_mm, box.top_mm + 8.8, cell.also, 7.5, align=Align.MIDDLE, most_mm=most_mm, whole=True)


def _rows(job: Job) -> Iterator[tuple[str, list[Figure | None]]]:
    whistle, say = job.whistle, job.figures
    pasts = [job.past.chamber(letter) for letter in whistle.letters]
    yield "", [
        Figure(chamber.letter, aimed_note(note_of(chamber, whistle.a4_hz), job.past.lowered_cents))
        for chamber in whistle.chambers
    ]
    yield "bore", [say.size(chamber.bore_mm) for chamber in whistle.chambers]
    yield "bore length", [say.size(chamber.bore_length_mm) for chamber in whistle.chambers]
    yield "window wide", [say.size(chamber.window_width_mm) for chamber in whistle.chambers]
    yield "window high", [say.size(chamber.window_height_mm) for chamber in whistle.chambers]
    yield DEEP, [_known(say, past.depth_mm if past.settled else None) for past in pasts]
    yield "plug length", [_known(say, past.length_mm if past.settled else None) for past in pasts]
    yield "it spoke", [None if past.plug is None else Figure(f"{past.plug.frequency_hz:.1f} Hz") for past in pasts]


def _known(say: Figures, length_mm: float | None) -> Figure | None:
    return None if length_mm is None else say.set_out(length_mm)
