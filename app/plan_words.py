"""What a plan says of itself: one plain sentence for each thing to change, to mind or to know."""
from __future__ import annotations

from collections.abc import Iterator

from acoustics.layout import body_diameter_mm, pitch_radius_mm
from acoustics.units import cents_between
from app.body import Body
from app.hole_plan import COMFORTABLE_GRIP_MM, LARGEST_GRIP_MM, BodyPlan, Drilling, Grip, deepest_mm
from app.plan_words_stock import on_stock
from app.reach import SPAN_CENTS, Verdict
from app.remark import COUNTS, Lengths, Remark, Weight, listed
from app.whistle import Whistle
from app.whole_plan import WorkPlan

_SAME_MM = 1e-6


def remarks_on(whistle: Whistle, plan: WorkPlan, units: str) -> Iterator[Remark]:
    """Every remark, in the order of the work."""
    say = Lengths(units)
    yield from _on_walls(whistle, plan, say)
    yield from _on_drift(plan, say)
    yield from _on_lengths(whistle, plan, say)
    yield from _on_plugs(plan)
    yield from _on_windows(whistle, plan, say)
    yield from _on_grip(plan, say)
    yield from on_stock(whistle, plan, say)


def _on_walls(whistle: Whistle, plan: WorkPlan, say: Lengths) -> Iterator[Remark]:
    body, enough = plan.body, _enough(whistle, plan, say)
    out = [hole.letter for hole in plan.holes if hole.outside_mm < -_SAME_MM]
    if out:
        bores = f"Bore {out[0]} breaks" if len(out) == 1 else f"Bores {listed(out)} break"
        yield Remark("breaks_out", Weight.REFUSE,
                     f"{bores} through the outside of a body of {say.size(body.diameter_mm)}: {enough}.")
    elif body.thinnest_mm < -_SAME_MM:
        yield Remark("bores_meet", Weight.REFUSE,
                     f"The bores break into each other on a circle of radius {say.size(body.circle_radius_mm)}: "
                     f"{enough}.")
    elif body.thinnest_mm < body.least_wall_mm - _SAME_MM:
        yield Remark("thin_wall", Weight.REFUSE,
                     f"The thinnest wall is {say.left(body.thinnest_mm)} where {say.size(body.least_wall_mm)} is the "
                     f"least: {enough}.")
    elif body.thinnest_mm < body.wanted_wall_mm - _SAME_MM:
        yield Remark("under_wanted_wall", Weight.CARE,
                     f"The thinnest wall is {say.left(body.thinnest_mm)}, under the {say.size(body.wanted_wall_mm)} "
                     f"that is wanted: {enough}.")
    yield from _on_tenon(whistle, plan, say)


def _enough(whistle: Whistle, plan: WorkPlan, say: Lengths) -> str:
    """What would give the wanted walls, by what holds the bores where they are: the circle, the tenon or the body."""
    drawn, body = whistle.body, plan.body
    bores = f"{COUNTS[len(plan.holes)]} bores with walls of {say.size(body.wanted_wall_mm)}"
    needed, tenon_mm = say.needed(body.smallest_mm), drawn.tenon_diameter_mm
    if drawn.circle_radius_mm is not None:
        bores_mm, wall_mm = [hole.bore_mm for hole in plan.holes], body.wanted_wall_mm
        radius_mm = say.needed_mm(pitch_radius_mm(bores_mm, wall_mm))
        round_it = say.needed(body_diameter_mm(bores_mm, wall_mm, radius_mm))
        return f"{bores} need a circle of radius {say.needed(radius_mm)}, and round it a body of {round_it}"
    if tenon_mm is not None and tenon_mm < body.smallest_mm - _SAME_MM:
        held = f"the tenon of {say.size(tenon_mm)} holds the bores in, and " if tenon_mm < body.diameter_mm else ""
        if body.diameter_mm < body.smallest_mm - _SAME_MM:
            return f"{held}{bores} need a tenon and body of {needed}"
        return f"{held}{bores} need a tenon of {needed}, or none"
    return f"{bores} need a body of {needed}"


def _on_tenon(whistle: Whistle, plan: WorkPlan, say: Lengths) -> Iterator[Remark]:
    drawn, body = whistle.body, plan.body
    if drawn.tenon_diameter_mm is not None and body.tenon_wall_mm is not None:
        if drawn.tenon_diameter_mm > body.diameter_mm + _SAME_MM:
            yield Remark("tenon_over_body", Weight.REFUSE,
                         f"The tenon of {say.size(drawn.tenon_diameter_mm)} is thicker than the body of "
                         f"{say.size(body.diameter_mm)}: were the two swapped?")
        elif body.tenon_wall_mm < body.least_wall_mm - _SAME_MM and not _tenon_is_named(drawn, plan.body):
            left = "breaks open" if body.tenon_wall_mm < 0.0 else f"leaves a wall of {say.left(body.tenon_wall_mm)}"
            yield Remark("tenon_wall", Weight.REFUSE,
                         f"Turned down to a tenon of {say.size(drawn.tenon_diameter_mm)} the body {left} where "
                         f"{say.size(body.least_wall_mm)} is the least: "
                         f"{_thick_tenon(drawn.tenon_diameter_mm, plan, say)}.")
    yield from _on_mortise(drawn, say)


def _tenon_is_named(drawn: Body, body: BodyPlan) -> bool:
    """The remark on walls has told already how thick the tenon must be."""
    return drawn.circle_radius_mm is None and body.thinnest_mm < body.least_wall_mm - _SAME_MM


def _thick_tenon(tenon_mm: float, plan: WorkPlan, say: Lengths) -> str:
    """What keeps the least wall at the tenon: a thicker one, or a smaller circle where the bores have room for it."""
    body = plan.body
    short_mm = body.least_wall_mm - (body.tenon_wall_mm or 0.0)
    radius_mm = body.circle_radius_mm - short_mm
    thicker = f"a tenon of {say.needed(tenon_mm + 2.0 * short_mm)}"
    if radius_mm < pitch_radius_mm([hole.bore_mm for hole in plan.holes], body.least_wall_mm):
        return thicker
    return f"{thicker}, or a circle of radius {say.left(radius_mm)}"


def _on_mortise(drawn: Body, say: Lengths) -> Iterator[Remark]:
    tenon_mm, mortise_mm = drawn.tenon_length_mm, drawn.mortise_depth_mm
    if tenon_mm is not None and mortise_mm is not None and mortise_mm < tenon_mm:
        yield Remark("mortise_short", Weight.CARE,
                     f"A mortise {say.size(mortise_mm)} deep keeps a tenon of {say.size(tenon_mm)} off its shoulder, "
                     "and the cap would push on the plugs: bore it deeper.")
    if drawn.cap_length_mm is not None and mortise_mm is not None and mortise_mm >= drawn.cap_length_mm:
        yield Remark("mortise_through", Weight.REFUSE,
                     f"A mortise {say.size(mortise_mm)} deep goes right through a cap of "
                     f"{say.size(drawn.cap_length_mm)}: a longer cap, or a shallower mortise.")


def _on_drift(plan: WorkPlan, say: Lengths) -> Iterator[Remark]:
    body = plan.body
    if body.exit_thinnest_mm is None:
        return
    out = [hole.letter for hole in plan.holes if hole.exit_outside_mm < -_SAME_MM]
    if out:
        yield Remark("drifted_out", Weight.REFUSE,
                     f"Bore{'s' * (len(out) > 1)} {listed(out)} came out through the side of the body at the plug end: "
                     "it needs a new blank, or a thicker body if there is wood left.")
    elif body.exit_thinnest_mm < -_SAME_MM:
        yield Remark("drifted_together", Weight.REFUSE,
                     "Two bores have met at the plug end: they would speak as one, so it needs a new blank.")
    elif body.exit_thinnest_mm < body.least_wall_mm - _SAME_MM:
        yield Remark("drifted_thin", Weight.CARE,
                     f"Where the drill came out the thinnest wall is {say.left(body.exit_thinnest_mm)}, under the "
                     f"{say.size(body.least_wall_mm)} that is the least: turn no more off there.")


def _on_lengths(whistle: Whistle, plan: WorkPlan, say: Lengths) -> Iterator[Remark]:
    body, drawn = plan.body, whistle.body
    first = min(plan.windows, key=lambda window: window.fipple_line_mm)
    if first.fipple_line_mm < -_SAME_MM:
        bore_mm = whistle.chamber(first.letter).bore_length_mm
        yield Remark("bore_over_body", Weight.REFUSE,
                     f"{first.letter}'s bore of {say.size(bore_mm)} is longer than the body of "
                     f"{say.size(body.length_mm)}: the body needs the fipple's length as well.")
    elif drawn.window_from_end_mm is not None and abs(first.fipple_line_mm - drawn.window_from_end_mm) > 0.5:
        yield Remark("window_place", Weight.CARE,
                     f"A body of {say.size(body.length_mm)} less {first.letter}'s bore puts its window "
                     f"{say.size(first.fipple_line_mm)} from the end and not {say.size(drawn.window_from_end_mm)}: "
                     "which of the three was measured?")
    elif first.fipple_line_mm < first.fipple_length_mm - 0.05:
        proud_mm = first.fipple_length_mm - first.fipple_line_mm
        yield Remark("fipple_proud", Weight.NOTE,
                     f"{first.letter}'s fipple stands {say.size(proud_mm)} out of the body: saw it flush once it is "
                     "glued, or give the mouthpiece room for it.")
    reach_mm = whistle.stock.bit_reach_mm
    if reach_mm is not None and body.drilling is Drilling.TOO_DEEP:
        yield Remark("bit_short", Weight.REFUSE,
                     f"The longest bit reaches {say.size(reach_mm)}, from both ends {say.left(deepest_mm(reach_mm))}, "
                     f"and the body is {say.size(body.length_mm)}: a longer bit, or shorter bores and higher notes.")
    elif reach_mm is not None and body.drilling is Drilling.BOTH_ENDS:
        yield Remark("both_ends", Weight.NOTE,
                     f"The longest bit reaches {say.size(reach_mm)} of {say.size(body.length_mm)}: drill from both "
                     "ends, and true the step where the holes meet.")


def _on_plugs(plan: WorkPlan) -> Iterator[Remark]:
    weights = {
        Verdict.TOO_SHORT: Weight.REFUSE, Verdict.TOO_HIGH: Weight.REFUSE,
        Verdict.SHORT: Weight.CARE, Verdict.LITTLE_PLUG: Weight.CARE,
    }
    for plug in plan.plugs:
        if plug.verdict in weights:
            yield Remark(plug.verdict.value, weights[plug.verdict], plug.sentence)


def _on_windows(whistle: Whistle, plan: WorkPlan, say: Lengths) -> Iterator[Remark]:
    low, high = plan.windows[0], plan.windows[-1]
    span_cents = cents_between(whistle.chambers[-1].target_hz, whistle.chambers[0].target_hz)
    if len({window.height_mm for window in plan.windows}) == 1:
        weight = Weight.CARE if span_cents > SPAN_CENTS + 0.5 else Weight.NOTE
        yield Remark("one_window", weight,
                     f"One window of {say.size(low.height_mm)} serves notes {span_cents / 100.0:.0f} semitones apart, "
                     f"so {plan.breath.first_to_jump} jumps up first under a hard breath; graded, {high.letter}'s "
                     f"would be about {say.size(high.graded_height_mm)} high.")
    for lower, higher in zip(plan.windows, plan.windows[1:], strict=False):
        if higher.height_mm > lower.height_mm:
            yield Remark("windows_reversed", Weight.CARE,
                         f"{higher.letter}'s window of {say.size(higher.height_mm)} is longer than {lower.letter}'s of "
                         f"{say.size(lower.height_mm)}, and the low notes want the longer ones: were they swapped?")
            break
    if plan.breath.lasts_s < 1.5:
        yield Remark("breath_short", Weight.CARE,
                     f"One breath feeds all windways for about {plan.breath.lasts_s:.1f} s: take less off the fipples "
                     f"than {say.size(low.flat_mm)}.")
    yield from _on_hollow(whistle, plan, say)


def _on_hollow(whistle: Whistle, plan: WorkPlan, say: Lengths) -> Iterator[Remark]:
    """Does the mouthpiece's hollow reach the windways, which lie on the outer side of the bores?"""
    hollow_mm = whistle.body.mouthpiece_chamber_diameter_mm
    if hollow_mm is None:
        return
    outer_mm = 2.0 * max(plan.body.circle_radius_mm + 0.5 * hole.bore_mm for hole in plan.holes)
    inner_mm = 2.0 * min(plan.body.circle_radius_mm - 0.5 * hole.bore_mm for hole in plan.holes)
    sunk_mm = min(window.fipple_line_mm - window.fipple_length_mm for window in plan.windows)
    if hollow_mm < outer_mm - 0.1 and not (sunk_mm >= 1.0 and hollow_mm > inner_mm):
        yield Remark("hollow_narrow", Weight.CARE,
                     f"A hollow of {say.size(hollow_mm)} ends short of the windways, which lie on a circle of "
                     f"{say.needed(outer_mm)}: widen it, or sink the fipples so that the air can spread.")


def _on_grip(plan: WorkPlan, say: Lengths) -> Iterator[Remark]:
    held = say.size(plan.body.grip_mm)
    if plan.body.grip is Grip.TOO_WIDE:
        yield Remark("grip_too_wide", Weight.CARE,
                     f"A grip of {held} is more than the {say.size(LARGEST_GRIP_MM)} that an adult hand grasps: "
                     "narrower bores, fewer of them, or a waist to hold it by.")
    elif plan.body.grip is Grip.WIDE:
        yield Remark("grip_wide", Weight.NOTE,
                     f"A grip of {held} can be held; {say.size(COMFORTABLE_GRIP_MM)} is comfortable.")
