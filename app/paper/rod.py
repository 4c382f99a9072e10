"""A rod drawn small: what is sawn from it in turn, with the saw cuts between and what stays in the hand."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.cut_list import HELD_MM, Rod
from app.paper.flow import Flow
from app.paper.lettering import width_mm
from app.paper.model import Align, Box, Weight
from app.plug_plan import PlugPlan

_TALL_MM, _FIGURE_PT, _NAME_PT, _GAP_MM = 9.0, 8.0, 9.0, 4.0
_HELD = "in the hand"


@dataclass(frozen=True)
class Part:
    """One piece of a rod: its name, and its length."""

    name: str
    length_mm: float


def parts_of(rod: Rod, plugs: Sequence[PlugPlan]) -> Iterator[Part]:
    """In the order of sawing; a plug whose length only its first blow will tell is not among them."""
    for plug in plugs:
        if plug.letter in rod.letters and plug.rough_mm is not None:
            yield Part(f"plug {plug.letter}", plug.rough_mm)
    for length_mm in rod.plugs_mm[-1:]:
        yield Part("spare", length_mm)
    for length_mm in rod.fipples_mm:
        yield Part("fipple", length_mm)
    yield Part(_HELD, HELD_MM)


def draw_rod(flow: Flow, rod: Rod, kerf_mm: float) -> None:
    """To a scale that fills the width, in as many lines as keep the words legible."""
    parts = list(parts_of(rod, flow.job.plan.plugs))
    scale = _scale(flow, parts, kerf_mm)
    x_mm = flow.left_mm
    flow.need(2.0 * (_TALL_MM + _GAP_MM))
    for part in parts:
        long_mm = part.length_mm * scale
        if x_mm + long_mm > flow.right_mm + 1e-6:
            flow.space(_TALL_MM + _GAP_MM)
            flow.need(_TALL_MM + _GAP_MM)
            x_mm = flow.left_mm
        _draw_part(flow, part, Box(x_mm, flow.y_mm, x_mm + long_mm, flow.y_mm + _TALL_MM))
        x_mm += long_mm + kerf_mm * scale
    flow.space(_TALL_MM + _GAP_MM)


def _scale(flow: Flow, parts: list[Part], kerf_mm: float) -> float:
    """At least as large as every part's words need."""
    whole_mm = sum(part.length_mm + kerf_mm for part in parts) - kerf_mm
    legible = max((_words_mm(flow, part) + 2.0) / part.length_mm for part in parts)
    return min(max(flow.room.width_mm / whole_mm, legible), flow.room.width_mm / max(part.length_mm for part in parts))


def _words_mm(flow: Flow, part: Part) -> float:
    return max(width_mm(part.name, _NAME_PT, True), width_mm(_figure(flow, part), _FIGURE_PT))


def _figure(flow: Flow, part: Part) -> str:
    return flow.job.figures.needed(part.length_mm).main


def _draw_part(flow: Flow, part: Part, box: Box) -> None:
    middle_mm, most_mm = (box.left_mm + box.right_mm) / 2.0, box.width_mm - 0.8
    held = part.name == _HELD
    flow.drawing.frame(box, Weight.THIN if held else Weight.PLAIN)
    flow.drawing.write(middle_mm, box.top_mm + 3.9, part.name, _NAME_PT, bold=not held, align=Align.MIDDLE,
                       most_mm=most_mm)
    flow.drawing.write(middle_mm, box.top_mm + 7.7, _figure(flow, part), _FIGURE_PT, align=Align.MIDDLE,
                       most_mm=most_mm)
