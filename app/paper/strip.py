"""The windows on a strip that is wrapped round the body: unrolled at true size, in pieces where it is too long.

The mouthpiece end is at the top and the printed side outward, so that letters run from left to right as they run
clockwise at the plug end.
"""
from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from app.paper.drawing import Drawing, paragraph_height_mm
from app.paper.figures import Figure
from app.paper.flow import Cell, Column, Flow
from app.paper.job import Job
from app.paper.lettering import width_mm
from app.paper.model import Align, Box, Stroke, Weight
from app.window_plan import WindowPlan

BELOW_MM = 12.0  # of strip after the longest slope, with room for the letter
BEFORE_MM = 8.0  # of a piece before its own window
_AROUND_MM = 16.0  # words over a piece and under it
_FIGURE_PT, _LETTER_PT, _OVER_MM = 6.5, 14.0, 1.2
LEGEND = (
    "The heavy line nearer the mouthpiece is the square saw cut, at the fipple's inner face; then the open window, "
    "then the lip. Hatched is the slope that is sawn down to the lip: the lip's wood is on the plug side. If the "
    "strip's ends do not meet on the pencil mark, the body is not as thick as drawn: share the difference out."
)
HEADING = "Windows: wrap round the turned body, printed side out, upper edge at the mouthpiece end"


@dataclass(frozen=True)
class Piece:
    """A part of the strip: from one angle to another, from one distance from the mouthpiece end to another."""

    from_deg: float
    to_deg: float
    from_mm: float
    to_mm: float
    windows: tuple[WindowPlan, ...]


def draw_strips(flow: Flow, new_page: Callable[[Flow], tuple[float, float]]) -> None:
    """Every piece, and the table of lines; `new_page` prepares a page and says how far right there is room, and
    from where down there is all of it."""
    right_mm, bars_end_mm = new_page(flow)
    room_mm = right_mm - flow.left_mm
    for piece in pieces(flow.job, room_mm, flow.rest_mm - _AROUND_MM):
        height_mm = piece.to_mm - piece.from_mm + _AROUND_MM
        if height_mm > flow.rest_mm:
            flow.new_page()
            _, bars_end_mm = new_page(flow)
        flow.drawing.paragraph(flow.left_mm, flow.y_mm, HEADING, 9.5, room_mm)
        _draw(flow, piece, flow.y_mm + 10.0, room_mm)
        flow.space(height_mm + 2.0)
    if paragraph_height_mm(LEGEND, 9.5, room_mm) > flow.rest_mm:
        flow.new_page()
        _, bars_end_mm = new_page(flow)
    below_mm = flow.drawing.paragraph(flow.left_mm, flow.y_mm, LEGEND, 9.5, room_mm)
    flow.y_mm = max(below_mm, bars_end_mm) + 4.0
    _lines(flow)


def pieces(job: Job, room_mm: float, tallest_mm: float) -> list[Piece]:
    """The whole strip where it fits, else parts of it, cut midway between bores; else each window by itself."""
    windows, girth_mm = job.plan.windows, math.pi * job.plan.body.diameter_mm
    each_deg = 360.0 / len(windows)
    end_mm = max(window.ramp_line_mm for window in windows) + BELOW_MM
    if end_mm > tallest_mm:
        return [_alone(window, each_deg, room_mm / girth_mm * 180.0, tallest_mm) for window in windows]
    n_together = max(1, min(len(windows), math.floor(room_mm / (girth_mm / len(windows)) + 1e-9)))
    n_pieces = -(-len(windows) // n_together)
    found, start = [], 0
    for number in range(n_pieces):
        stop = start + -(-(len(windows) - start) // (n_pieces - number))
        middle_deg, half_deg = (start + stop) / 2.0 * each_deg, (stop - start) / 2.0 * each_deg
        half_deg = min(half_deg, room_mm / girth_mm * 180.0)
        found.append(Piece(middle_deg - half_deg, middle_deg + half_deg, 0.0, end_mm, windows[start:stop]))
        start = stop
    return found


def _alone(window: WindowPlan, each_deg: float, most_deg: float, tallest_mm: float) -> Piece:
    half_deg = min(each_deg / 2.0, most_deg)
    from_mm = max(0.0, math.floor(window.fipple_line_mm - BEFORE_MM))
    return Piece(window.angle_deg - half_deg, window.angle_deg + half_deg, from_mm,
                 min(window.ramp_line_mm + BELOW_MM, from_mm + tallest_mm), (window,))


def _draw(flow: Flow, piece: Piece, top_mm: float, room_mm: float) -> None:
    drawing, per_deg_mm = flow.drawing, math.pi * flow.job.plan.body.diameter_mm / 360.0
    width = (piece.to_deg - piece.from_deg) * per_deg_mm
    box = Box(flow.left_mm, top_mm, flow.left_mm + width, top_mm + piece.to_mm - piece.from_mm)
    drawing.frame(box)
    drawing.line(box.left_mm, box.top_mm, box.right_mm, box.top_mm, Weight.STRONG)
    unit = "inches" if flow.job.units == "inch" else "mm"
    edge = f"mouthpiece end; figures are {unit} from there"
    if piece.from_mm > 0.0:
        edge = f"this edge lies {flow.job.figures.set_out(piece.from_mm)} from the mouthpiece end"
    drawing.write(box.left_mm, box.top_mm - 1.2, edge, 8.5, bold=True, most_mm=room_mm)
    for deg, x_mm, align in ((piece.from_deg, box.left_mm, Align.LEFT), (piece.to_deg, box.right_mm, Align.RIGHT)):
        if round(deg, 6) % 360.0 == 0.0:
            drawing.write(x_mm, box.bottom_mm + 3.4, "pencil mark", 8.0, align=align)
    for window in piece.windows:
        x_mm = box.left_mm + (window.angle_deg - piece.from_deg) * per_deg_mm
        shown_mm = min(window.ramp_line_mm, piece.to_mm - BELOW_MM)  # a very long slope is not drawn to its end
        _window(flow.drawing, window, x_mm, top_mm - piece.from_mm, shown_mm)
        if shown_mm == window.ramp_line_mm:
            right_mm = x_mm + window.width_mm / 2.0 + _OVER_MM + 0.5
            half_pitch_mm = width / len(piece.windows) / 2.0
            _numbers(flow, window, right_mm, top_mm - piece.from_mm, x_mm + half_pitch_mm - 0.3 - right_mm)


def _window(drawing: Drawing, window: WindowPlan, x_mm: float, zero_mm: float, shown_mm: float) -> None:
    """One window about its axis; `zero_mm` is where the mouthpiece end lies on the page."""
    half_mm = window.width_mm / 2.0
    fipple_mm, lip_mm, ramp_mm = (zero_mm + line for line in (window.fipple_line_mm, window.lip_line_mm, shown_mm))
    left_mm, right_mm = x_mm - half_mm, x_mm + half_mm
    drawing.line(x_mm, fipple_mm - min(4.0, window.fipple_line_mm), x_mm, ramp_mm + 1.5, Weight.THIN, Stroke.CENTRE)
    drawing.frame(Box(left_mm, fipple_mm, right_mm, ramp_mm))
    drawing.line(left_mm - _OVER_MM, fipple_mm, right_mm + _OVER_MM, fipple_mm, Weight.STRONG)
    drawing.line(left_mm, lip_mm, right_mm, lip_mm, Weight.STRONG)
    drawing.hatch(Box(left_mm, lip_mm, right_mm, ramp_mm))
    drawing.write(x_mm, ramp_mm + 7.6, window.letter, _LETTER_PT, bold=True, align=Align.MIDDLE)


def _numbers(flow: Flow, window: WindowPlan, x_mm: float, zero_mm: float, room_mm: float) -> None:
    """How far each line is from the mouthpiece end, where there is room to write it beside the line."""
    lines = (window.fipple_line_mm, window.lip_line_mm, window.ramp_line_mm)
    words = [flow.job.figures.set_out(line).main.split()[0].removeprefix("0") for line in lines]
    if room_mm < max(width_mm(word, _FIGURE_PT) for word in words) or not _apart(lines):
        return
    for line, word in zip(lines, words, strict=True):
        flow.drawing.write(x_mm, zero_mm + line + 0.8, word, _FIGURE_PT)


def _apart(lines: Sequence[float]) -> bool:
    return all(after - before >= 3.0 for before, after in zip(lines, lines[1:], strict=False))


def _lines(flow: Flow) -> None:
    girth_mm = math.pi * flow.job.plan.body.diameter_mm
    flow.section("Lines, from the mouthpiece end of the body")
    heads = ("", "fipple’s face", "lip", "slope begins", "window wide", "saw in, square", "round from the mark")
    columns = [Column(head, 0.5 if not head else 1.0, Align.MIDDLE) for head in heads]
    flow.table(columns, list(_rows(flow, girth_mm)))


def _rows(flow: Flow, girth_mm: float) -> Iterator[list[Cell]]:
    figures = flow.job.figures
    for window in flow.job.plan.windows:
        yield [
            Figure(window.letter),
            *(figures.set_out(mm) for mm in (window.fipple_line_mm, window.lip_line_mm, window.ramp_line_mm)),
            figures.size(window.width_mm), figures.set_out(window.saw_depth_mm),
            figures.set_out(girth_mm * window.angle_deg / 360.0),
        ]
