"""A plan, and what a wood can play, as lines of text and as JSON."""
from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import msgspec

from app.cautions import CUTTING, DRILLING
from app.choices_of_chord import ChordChoice, Compass
from app.commands.whistles import title
from app.hole_plan import Drilling, Grip
from app.plug_plan import PlugPlan
from app.remark import Lengths, Weight
from app.view import Caution
from app.whistle import PLAN_KEY, Whistle, dump_whistle
from app.whole_plan import WorkPlan
from app.woods import wood_caution

GRIPS = {Grip.COMFORTABLE: "comfortable to hold", Grip.WIDE: "wide to hold", Grip.TOO_WIDE: "too wide to hold"}
DRILLINGS = {
    Drilling.UNKNOWN: "the bit's reach was not given", Drilling.ONE_END: "the bit reaches from one end",
    Drilling.BOTH_ENDS: "from both ends", Drilling.TOO_DEEP: "the bit does not reach",
}  # fmt: skip
WEIGHTS = {Weight.REFUSE: "Cannot be made so: ", Weight.CARE: "Mind: ", Weight.NOTE: ""}


def plan_json(whistle: Whistle, plan: WorkPlan, more: dict[str, Any] | None = None) -> dict[str, Any]:
    """The document's own keys, and beside them the plan, with `more` in it that is worth telling."""
    return {**json.loads(dump_whistle(whistle)), PLAN_KEY: {**msgspec.to_builtins(plan), **(more or {})}}


def plan_lines(whistle: Whistle, plan: WorkPlan, units: str) -> Iterator[str]:
    """The plan for someone who reads it at the bench."""
    say = Lengths(units)
    yield f"{title(whistle)}  {whistle.wood}".rstrip()
    for c in whistle.chambers:
        yield (
            f"{c.letter}  {c.note:4} {c.target_hz:7.1f} Hz  bore {say.size(c.bore_mm)}, {say.size(c.bore_length_mm)}"
            f" long  window {say.size(c.window_width_mm)} × {say.size(c.window_height_mm)}"
        )
    yield from _body_lines(whistle, plan, say)
    yield from _hole_lines(plan, say)
    yield _caution("Drilling", DRILLING)
    yield from _window_lines(plan, say)
    yield from _plug_lines(plan, say)
    yield from _cut_lines(plan, say)
    yield _caution("Sawing", CUTTING)
    yield _caution("Wood", wood_caution(whistle.wood))
    yield from (f"{WEIGHTS[remark.weight]}{remark.sentence}" for remark in plan.remarks)


def can_play_json(choices: tuple[ChordChoice, ...], room: Compass, n_most: int) -> dict[str, Any]:
    return {
        "can_play": {
            "most_chambers": n_most,
            **{key: value for key, value in vars(room).items() if key != "sd_cents"},
            "chords": [
                {
                    "chord": one.chord.name, "n_chambers": len(one.chord.equal_steps), "intervals": one.intervals,
                    "notes": one.notes, "same_notes": one.same_notes,
                    "lowest_sure": one.lowest_sure, "highest_sure": one.highest_sure,
                    "lowest_likely": one.lowest_likely, "highest_likely": one.highest_likely,
                }
                for one in choices
            ],
        }
    }  # fmt: skip


def can_play_lines(choices: tuple[ChordChoice, ...], n_most: int) -> Iterator[str]:
    yield f"Up to {n_most} chambers. Lowest chamber's note, surely (likely):"
    for one in choices:
        sure = f"{one.lowest_sure} to {one.highest_sure}" if one.lowest_sure else "none"
        yield f"{one.chord.name}: {sure} ({one.lowest_likely} to {one.highest_likely})"
        same = f"; the same notes: {', '.join(one.same_notes)}" if one.same_notes else ""
        yield f"    {one.intervals}: {' '.join(one.notes)}{same}"


def _body_lines(whistle: Whistle, plan: WorkPlan, say: Lengths) -> Iterator[str]:
    body = plan.body
    # Turned to a tenth less than the smallest, a body that nobody sized would be under its walls.
    across = say.size(body.diameter_mm) if whistle.body.diameter_mm else say.needed(body.diameter_mm)
    yield (
        f"Body: {across} round, {say.size(body.length_mm)} long, {GRIPS[body.grip]}; the smallest "
        f"with walls of {say.size(body.wanted_wall_mm)} is {say.needed(body.smallest_mm)}."
    )
    if body.from_blank_most_mm is not None and body.from_blank_surely_mm is not None:
        yield (
            f"Blank: gives {say.left(body.from_blank_surely_mm)}, at most {say.left(body.from_blank_most_mm)}, after "
            f"truing; {say.needed(body.blank_length_needed_mm)} of its length are needed."
        )
    chords = ", ".join(say.size(chord_mm) for chord_mm in body.divider_chords_mm)
    yield f"Circle: radius {say.size(body.circle_radius_mm)}; dividers from hole to hole {chords}."
    yield f"Drill: {say.size(body.drill_depth_mm)} deep, right through; {DRILLINGS[body.drilling]}."


def _hole_lines(plan: WorkPlan, say: Lengths) -> Iterator[str]:
    letters = [hole.letter for hole in plan.holes]
    for hole, following in zip(plan.holes, letters[1:] + letters[:1], strict=True):
        yield (
            f"Bore {hole.letter}: {hole.angle_deg:.0f} degrees from the mark; walls {say.left(hole.outside_mm)} outside"
            f", {say.left(hole.to_next_mm)} to {following}; may drift {say.left(hole.drift_allowed_mm)}."
        )
        if hole.drift_outward_mm is not None or hole.drift_clockwise_mm is not None:
            yield (
                f"    it came out with {say.left(hole.exit_outside_mm)} outside and "
                f"{say.left(hole.exit_to_next_mm)} to {following}."
            )


def _window_lines(plan: WorkPlan, say: Lengths) -> Iterator[str]:
    for window in plan.windows:
        graded = f"; graded from A it would be {say.size(window.graded_height_mm)} high" * (window.letter != "A")
        yield (
            f"Window {window.letter}: fipple at {say.size(window.fipple_line_mm)} from the mouthpiece end, lip at "
            f"{say.size(window.lip_line_mm)}, slope from {say.size(window.ramp_line_mm)}; cut "
            f"{say.size(window.saw_depth_mm)} deep{graded}."
        )
    low = plan.windows[0]
    yield (
        f"Windway: {say.size(low.flat_mm)} off A's fipple is a slot {say.size(low.windway_width_mm)} wide, "
        f"{low.windway_area_mm2:.1f} mm²; one breath feeds all chambers for about {plan.breath.lasts_s:.1f} s, and "
        f"{plan.breath.first_to_jump} jumps up first."
    )


def _plug_lines(plan: WorkPlan, say: Lengths) -> Iterator[str]:
    for plug in plan.plugs:
        yield f"Plug {plug.letter}: {_plug(plug, say)}"


def _plug(plug: PlugPlan, say: Lengths) -> str:
    if plug.depth_mm is None or plug.rough_mm is None:
        return f"none gives {plug.note}; the whole bore speaks about {plug.lowest_note}."
    return (
        f"first piece {say.needed(plug.rough_mm)} long; its face belongs about {say.size(plug.depth_mm)} deep for "
        f"{plug.note}, two times in three within {say.needed(plug.depth_sd_mm)}; the blows decide."
    )


def _cut_lines(plan: WorkPlan, say: Lengths) -> Iterator[str]:
    for piece in plan.cuts.pieces:
        length = "as drawn" if piece.length_mm is None else f"{say.needed(piece.length_mm)} long"
        shape = "round" if piece.is_round else "square"
        across = "" if piece.width_mm is None else f", {say.needed(piece.width_mm)} {shape}"
        yield f"Cut: {piece.n_pieces} {piece.name}, {length}{across}."
    for rod in plan.cuts.rods:
        yield (
            f"Rod: {say.tool(rod.diameter_mm)} round, {say.needed(rod.length_mm)} long with every saw cut of "
            f"{say.size(plan.cuts.kerf_mm)} and {say.size(plan.cuts.held_mm)} that stays in the hand."
        )
    for bit in plan.cuts.bits:
        depth = "" if bit.depth_mm is None else f", {say.size(bit.depth_mm)} deep"
        yield f"Bit: {say.tool(bit.diameter_mm)} for the {bit.purpose}{depth}."


def _caution(where: str, caution: Caution) -> str:
    return f"Caution, {where.lower()}: {caution.text} ({caution.authority.rstrip('.')}.)"
