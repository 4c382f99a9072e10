"""What a plan says of the wood, bits and dowels that lie on the bench."""
from __future__ import annotations

from collections.abc import Iterator

from app.choices_of_chord import most_chambers
from app.cut_list import OVAL_MM, DowelFit, Fit
from app.hole_plan import TRUING_LITTLE_MM
from app.remark import COUNTS, Lengths, Remark, Weight
from app.whistle import Whistle
from app.whole_plan import WorkPlan

BIT_OFF_MM = 0.1  # a bit this far from the planned bore changes how the dowel fits


def on_stock(whistle: Whistle, plan: WorkPlan, say: Lengths) -> Iterator[Remark]:
    """Every remark on stock, in the order of the work."""
    yield from _on_blank(whistle, plan, say)
    yield from _on_bit(plan, say)
    for fit in plan.cuts.fits:
        yield from _on_dowel(fit, say)
    moved = plan.cuts.movement
    if moved is not None:
        grows = f"{say.fine(moved.radial_mm)} to {say.fine(moved.tangential_mm)}"
        yield Remark("wood_moves", Weight.NOTE,
                     f"A dowel of {moved.wood} grows {grows} across from {moved.dry_percent:.0f} to "
                     f"{moved.damp_percent:.0f} % moisture (Wood Handbook, 2010): fit it in the air it will live in.")


def _on_blank(whistle: Whistle, plan: WorkPlan, say: Lengths) -> Iterator[Remark]:
    body, stock = plan.body, whistle.stock
    if body.blank_side_mm is not None and body.from_blank_most_mm is not None and body.from_blank_surely_mm is not None:
        gives = f"A blank of {say.size(body.blank_side_mm)} gives a body of at most {say.left(body.from_blank_most_mm)}"
        if body.diameter_mm > body.from_blank_most_mm + 1e-6:
            yield Remark("blank_thin", Weight.REFUSE,
                         f"{gives}, and this one needs {say.needed(body.diameter_mm)}: {_instead(whistle, plan, say)}.")
        elif body.diameter_mm > body.from_blank_surely_mm + 1e-6:
            yield Remark("blank_tight", Weight.CARE,
                         f"{gives}, and this one takes {say.needed(body.diameter_mm)}: centre it well, there is little "
                         "left for truing.")
    length_mm = stock.blank_length_mm
    if length_mm is not None and length_mm < body.length_mm - 1e-6:
        yield Remark("blank_short", Weight.REFUSE,
                     f"The blank is {say.size(length_mm)} long and the body {say.needed(body.length_mm)}: shorter "
                     "bores, or a longer blank.")
    elif length_mm is not None and length_mm < body.blank_length_needed_mm - 1e-6:
        yield Remark("no_chucking", Weight.REFUSE,
                     f"The blank is {say.size(length_mm)} long and {say.needed(body.blank_length_needed_mm)} are "
                     f"needed with {say.size(stock.chucking_mm)} in the chuck: turn it between centres, or shorten the "
                     "bores.")


def _instead(whistle: Whistle, plan: WorkPlan, say: Lengths) -> str:
    """How thick a blank it takes, and how many bores go into this one."""
    thicker = f"a blank of {say.needed(say.needed_mm(plan.body.diameter_mm) + TRUING_LITTLE_MM)}"
    drawn_mm = max(whistle.body.diameter_mm or 0.0, whistle.body.tenon_diameter_mm or 0.0)
    if drawn_mm > (plan.body.from_blank_most_mm or 0.0):
        return f"{thicker}, or a thinner body"
    n_bores, wall = most_chambers(whistle), say.size(plan.body.wanted_wall_mm)
    holds = f"no more than {COUNTS[n_bores]} such bores" if n_bores else "narrower bores"
    return f"{thicker}, thinner walls, or {holds} with walls of {wall}"


def _on_bit(plan: WorkPlan, say: Lengths) -> Iterator[Remark]:
    for fit in plan.cuts.fits:
        if abs(fit.hole_mm - fit.bore_mm) >= BIT_OFF_MM:
            yield Remark("bit_off", Weight.NOTE,
                         f"The bit measures {say.size(fit.hole_mm)} and the bore is planned at {say.size(fit.bore_mm)}"
                         ": measure the hole once it is drilled, and put that into the plan.")


def _on_dowel(fit: DowelFit, say: Lengths) -> Iterator[Remark]:
    if fit.verdict is Fit.UNKNOWN or fit.clearance_mm is None or fit.oval_mm is None:
        return
    if fit.oval_mm > OVAL_MM:
        yield Remark("dowel_oval", Weight.CARE,
                     f"The dowel is {say.fine(fit.oval_mm)} thicker one way than the other and would leak: turn it "
                     "round, or choose another length of it.")
    room = f"The dowel has {say.fine(abs(fit.clearance_mm))} of room in a hole of {say.size(fit.hole_mm)}"
    sentences = {
        Fit.TOO_THICK: f"The dowel is {say.fine(abs(fit.clearance_mm))} too thick for a hole of "
        f"{say.size(fit.hole_mm)}: sand or turn it down.",
        Fit.TIGHT: f"{room}: ease it before it sticks.",
        Fit.LOOSE: f"{room}: wrap it with tape or paper for trials, and seal it when it is glued.",
        Fit.TOO_LOOSE: f"{room}, too much to seal: a thicker dowel, or a narrower bit.",
    }
    if fit.verdict in sentences:
        weight = Weight.CARE if fit.verdict in (Fit.TOO_THICK, Fit.TOO_LOOSE) else Weight.NOTE
        yield Remark(f"dowel_{fit.verdict}", weight, sentences[fit.verdict])
