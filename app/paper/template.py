"""The drilling template: the plug end twice at true size, settings for the dividers, walls; then the windows."""
from __future__ import annotations

from app.cautions import DRILLING
from app.hole_plan import Drilling
from app.paper.check_bars import HOW, TELL, bars_across, bars_down
from app.paper.figures import Figure
from app.paper.flow import Column, Flow
from app.paper.heading import refused
from app.paper.job import Job
from app.paper.model import Align, Sheet
from app.paper.plug_end import draw_plug_end, square_mm
from app.paper.strip import draw_strips

BARS_ACROSS_MM, BARS_DOWN_MM, BARS_ASIDE_MM = 21.0, 102.0, 21.0
_APART_MM, _LABEL_MM = 6.0, 6.0
VIEW = "Plug end, seen from outside, pencil mark up"
USE = (
    "1  Saw the blank's ends square; pencil both diagonals on them, and the mark along its length.",
    "2  Glue one copy on the plug end: corner lines on the diagonals, heavy tick on the mark.",
    "3  Check one hole to the next with the dividers. Prick every dot through the paper, then punch.",
)
_CHORDS = ("hole to next hole", "to the next but one")


def template(job: Job) -> Sheet:
    flow = Flow(job, "template", "Drilling template")
    checked_page(flow)
    _copies(flow)
    _dividers(flow)
    _walls(flow)
    flow.caution(DRILLING)
    if job.plan.body.drilling is Drilling.BOTH_ENDS:
        _other_end(flow)
    flow.new_page()
    draw_strips(flow, checked_page)
    return flow.sheet()


def checked_page(flow: Flow) -> tuple[float, float]:
    """Bars at the head and the right of a page of true size; `flow.y_mm` is then where drawing may begin.

    Returns how far it may reach to the right, and from where down it may take the whole width.
    """
    flow.room = refused(flow.job, flow.drawing, flow.room)
    flow.y_mm = flow.room.top_mm
    bars_across(flow.drawing, flow.left_mm + 1.0, flow.y_mm)
    aside_mm = flow.left_mm + 110.0
    room_mm = flow.right_mm - aside_mm
    below_mm = flow.drawing.paragraph(aside_mm, flow.y_mm, TELL, 12.0, room_mm, bold=True)
    flow.drawing.paragraph(aside_mm, below_mm + 0.6, HOW, 8.0, room_mm)
    flow.space(BARS_ACROSS_MM + 4.0)
    bars_down(flow.drawing, flow.right_mm - BARS_ASIDE_MM + 3.0, flow.y_mm)
    return flow.right_mm - BARS_ASIDE_MM, flow.y_mm + BARS_DOWN_MM


def _copies(flow: Flow) -> None:
    """Side by side where they fit, else on a page each."""
    side_mm, begins_mm = square_mm(flow.job), flow.y_mm
    width_mm = flow.room.width_mm - BARS_ASIDE_MM
    together = 2.0 * side_mm + _APART_MM <= width_mm
    middle_mm = begins_mm + _LABEL_MM + side_mm / 2.0
    across = (0.25, 0.75) if together else (0.5,)
    for share in across:
        _copy(flow, flow.left_mm + share * width_mm, middle_mm, VIEW if not together else "")
    if together:
        flow.drawing.write(flow.left_mm, begins_mm + 2.6, f"{VIEW}; A is the first bore clockwise. Two copies.", 9.5)
    else:
        flow.new_page()
        checked_page(flow)
        begins_mm = flow.y_mm
        _copy(flow, flow.left_mm + 0.5 * width_mm, flow.y_mm + _LABEL_MM + side_mm / 2.0, f"{VIEW}: second copy")
    flow.space(_LABEL_MM + side_mm + 4.0)
    for words in USE:
        flow.y_mm = flow.drawing.paragraph(flow.left_mm, flow.y_mm, words, 9.5, width_mm) + 0.6
    flow.y_mm = max(flow.y_mm, begins_mm + BARS_DOWN_MM) + 4.0


def _copy(flow: Flow, x_mm: float, y_mm: float, label: str) -> None:
    square = draw_plug_end(flow.job, flow.drawing, x_mm, y_mm)
    flow.drawing.write(x_mm, square.top_mm - 1.6, label, 9.5, align=Align.MIDDLE)


def _dividers(flow: Flow) -> None:
    figures, body = flow.job.figures, flow.job.plan.body
    n_bores = len(flow.job.plan.holes)
    settings = [("circle's radius", body.circle_radius_mm)]
    for k, chord_mm in enumerate(body.divider_chords_mm, 1):
        settings.append(("straight across" if 2 * k == n_bores else _CHORDS[k - 1], chord_mm))
    flow.section("Dividers, where the paper is not trusted")
    columns = [Column(words, 1.0, Align.MIDDLE) for words, _ in settings] + [Column("body", 1.0, Align.MIDDLE)]
    flow.table(columns, [[*(figures.set_out(mm) for _, mm in settings), figures.needed(body.diameter_mm)]])


def _walls(flow: Flow) -> None:
    figures, holes = flow.job.figures, flow.job.plan.holes
    flow.section("Wood about each bore, written rounded down")
    ways = ("bore", "outside", "to the next bore", "may wander")
    columns = [Column("", 0.6)] + [Column(f"{hole.letter}", 1.0, Align.MIDDLE) for hole in holes]
    figured = (
        [figures.size(hole.bore_mm) for hole in holes], [figures.left(hole.outside_mm) for hole in holes],
        [figures.left(hole.to_next_mm) for hole in holes], [figures.left(hole.drift_allowed_mm) for hole in holes],
    )
    rows: list[list[Figure | str]] = [[way, *cells] for way, cells in zip(ways, figured, strict=True)]
    columns[0] = Column("", 1.1 + 0.15 * len(holes))
    flow.table(columns, rows)


def _other_end(flow: Flow) -> None:
    """For drilling from both ends: the same holes from the other side, so mirrored."""
    flow.new_page()
    checked_page(flow)
    x_mm = flow.left_mm + 0.5 * (flow.room.width_mm - BARS_ASIDE_MM)
    y_mm = flow.y_mm + _LABEL_MM + square_mm(flow.job) / 2.0
    square = draw_plug_end(flow.job, flow.drawing, x_mm, y_mm, mirrored=True)
    flow.drawing.write(x_mm, square.top_mm - 1.6, "MOUTHPIECE END, seen from outside, pencil mark up", 10.0, bold=True,
                       align=Align.MIDDLE)
    flow.y_mm = max(square.bottom_mm, flow.y_mm + BARS_DOWN_MM) + 6.0
    flow.paragraph("Only for drilling from both ends. From here A is the first bore anticlockwise. Carry the pencil "
                   "mark along the blank with a square before this is glued on: both marks must be on one line.")
