"""The cut list: what to saw from which stock, with spares and saw cuts counted, the bits, and what to watch."""
from __future__ import annotations

from app.cautions import CUTTING
from app.cut_list import DowelFit, Fit, Piece
from app.hole_plan import Drilling, deepest_mm
from app.paper.figures import Figure
from app.paper.flow import CAUTION_GAP_MM, Cell, Column, Flow, Tick
from app.paper.heading import refused
from app.paper.job import Job
from app.paper.model import Align, Sheet
from app.paper.rod import draw_rod
from app.remark import Weight
from app.woods import wood_caution

AS_DRAWN, AS_BLOWN = "as you draw it", "after first blow"
_FITS = {
    Fit.TOO_THICK: "too thick: sand it down", Fit.TIGHT: "tight: ease it", Fit.GOOD: "slides and seals",
    Fit.LOOSE: "loose: tape or paper", Fit.TOO_LOOSE: "too loose to seal",
}


def cuts(job: Job) -> Sheet:
    flow = Flow(job, "cuts", "Cut list")
    flow.room = refused(job, flow.drawing, flow.room)
    flow.y_mm = flow.room.top_mm
    _blanks(flow)
    for rod in job.plan.cuts.rods:
        length = job.figures.needed(rod.length_mm)
        across = job.figures.size(rod.diameter_mm)
        flow.section(f"Rod {across} across, {length} long: for {', '.join(rod.letters)}", 30.0)
        draw_rod(flow, rod, job.plan.cuts.kerf_mm)
    _rod_words(flow)
    _bits(flow)
    _measured(flow)
    _remarks(flow)
    return flow.sheet()


def _blanks(flow: Flow) -> None:
    flow.section("Blanks and pieces")
    columns = [Column("", 2.3), Column("how many", 0.7, Align.MIDDLE), Column("long", 1.4, Align.RIGHT),
               Column("across", 1.8, Align.RIGHT), Column("done", 0.6, Align.MIDDLE)]
    flow.table(columns, [_piece(flow, piece) for piece in flow.job.plan.cuts.pieces])
    flow.caution(wood_caution(flow.job.whistle.wood))


def _piece(flow: Flow, piece: Piece) -> list[Cell]:
    figures = flow.job.figures
    unsaid = AS_BLOWN if piece.name.startswith("plug ") else AS_DRAWN
    long = unsaid if piece.length_mm is None else figures.needed(piece.length_mm)
    across: Cell = AS_DRAWN
    if piece.width_mm is not None and piece.height_mm is not None:
        if piece.is_round:
            size = figures.size(piece.width_mm)
            across = Figure(f"{size.main} round", size.also)
        else:
            size = figures.needed(piece.width_mm)
            across = Figure(f"{size.main} square", size.also)
    return [piece.name, str(piece.n_pieces), long, across, Tick()]


def _rod_words(flow: Flow) -> None:
    cuts = flow.job.plan.cuts
    flow.paragraph(
        f"Every saw cut is counted as {flow.job.figures.size(cuts.kerf_mm)}, and {flow.job.figures.size(cuts.held_mm)} "
        "stay in the hand or the clamp. Plugs are sawn long on purpose: they are trimmed later, and nothing makes one "
        "longer. Write the letter on each piece as it comes off the saw.", 9.0, with_caution=CUTTING,
    )
    flow.space(CAUTION_GAP_MM)
    flow.caution(CUTTING)


def _bits(flow: Flow) -> None:
    figures, body = flow.job.figures, flow.job.plan.body
    flow.section("Bits")
    rows: list[list[Cell]] = []
    for bit in flow.job.plan.cuts.bits:
        deep: Cell = AS_DRAWN if bit.depth_mm is None else figures.needed(bit.depth_mm)
        rows.append([bit.purpose, figures.size(bit.diameter_mm), deep])
    flow.table([Column("for", 2.0), Column("bit", 1.4, Align.RIGHT), Column("deep", 1.4, Align.RIGHT)], rows)
    reach_mm = flow.job.whistle.stock.bit_reach_mm
    if reach_mm is None:
        flow.paragraph(f"Does the longest bit reach {figures.needed(body.drill_depth_mm)}? If not, drill from both "
                       "ends, or take shorter bores and higher notes.")
    elif body.drilling is Drilling.BOTH_ENDS:
        flow.paragraph(f"The longest bit reaches {figures.left(reach_mm)}, from both ends "
                       f"{figures.left(deepest_mm(reach_mm))}: drill from both ends.")
    flow.space(3.0)


def _measured(flow: Flow) -> None:
    """What was measured of the stock, with lines for what was not."""
    stock, figures = flow.job.whistle.stock, flow.job.figures
    flow.section("Measured with calipers, not read off the label", 30.0)
    told = [
        ("dowel, one way", stock.dowel_diameter_mm), ("dowel, the other way", stock.dowel_across_mm),
        ("bit", stock.bit_diameter_mm), ("bit reaches", stock.bit_reach_mm),
        ("saw cut", stock.kerf_mm), ("blank", stock.blank_width_mm),
    ]
    half_mm = flow.room.width_mm / 2.0
    for number, (label, length_mm) in enumerate(told):
        left_mm = flow.left_mm + (number % 2) * half_mm
        flow.drawing.entry(left_mm, flow.y_mm + 5.0, label, left_mm + half_mm - 6.0,
                           told="" if length_mm is None else str(figures.set_out(length_mm)))
        flow.space(8.0 if number % 2 else 0.0)
    for fit in flow.job.plan.cuts.fits:
        if fit.verdict is not Fit.UNKNOWN:
            flow.paragraph(_fit_words(flow, fit))
    flow.space(3.0)


def _fit_words(flow: Flow, fit: DowelFit) -> str:
    return f"This dowel in a hole of {flow.job.figures.size(fit.hole_mm)}: {_FITS[fit.verdict]}."


def _remarks(flow: Flow) -> None:
    remarks = flow.job.plan.remarks
    if not remarks:
        return
    flow.section("To mind")
    for remark in remarks:
        flow.bullet(f"{'Not so: ' if remark.weight is Weight.REFUSE else ''}{remark.sentence}")
    flow.space(3.0)
