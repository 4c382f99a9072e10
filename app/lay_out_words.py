"""What the lay-out sheet tells beside its fields: chord, reach, windows, breath, body and fit, in plain sentences."""
from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from acoustics.notes import Chord, nearest_note, note_hz
from acoustics.units import cents_between, mm_to_inch, shift_hz
from app.choices_of_chord import SURE_SD, ChordChoice, Compass, sureness
from app.chord_kin import also_called, intervals_of
from app.cut_list import Fit
from app.hole_plan import Grip
from app.learned import Learned
from app.learned_words import source_text
from app.nearest_wish import Nearest
from app.reach import Verdict
from app.remark import Lengths, Remark, Weight
from app.whole_plan import WorkPlan

OF_SOUND = ("one_window", "windows_reversed", "breath_short")  # remarks that belong beside the chord
OF_REACH = tuple(verdict.value for verdict in Verdict)  # told chamber by chamber
_BEFORE = {Weight.REFUSE: "Change this: ", Weight.CARE: "Mind: ", Weight.NOTE: ""}
_FIT_WORDS = {Fit.GOOD: "slides and seals", Fit.TIGHT: "is tight", Fit.LOOSE: "is loose"}


def suggested_name(chord: Chord | None, notes: Sequence[str]) -> str:
    """What a whistle is called as long as its maker names it no other way."""
    if not notes:
        return ""
    return f"{chord.name[:1].upper()}{chord.name[1:]} on {notes[0]}" if chord else " ".join(notes)


def chord_line(chord: Chord | None, targets_hz: Sequence[float], a4_hz: float) -> str:
    """Its notes, its intervals, and the other name where one set of notes has two."""
    if chord is None:
        return "  ".join(_note_text(target_hz, a4_hz) for target_hz in targets_hz)
    notes = " ".join(str(nearest_note(target_hz, a4_hz)) for target_hz in targets_hz)
    also = " or ".join(also_called(chord, targets_hz[0], a4_hz))
    return f"{notes}: {intervals_of(chord)} above the lowest.{f' The same notes by name: {also}.' if also else ''}"


def roots_line(choice: ChordChoice | None, room: Compass, nearest: Nearest | None) -> str:
    """Which lowest notes this wood can take for the chord, and how closely that is known.

    First of all what could be had instead, when the wish is out of reach; empty when nothing is known to be.
    """
    instead = nearest.sentence if nearest is not None else ""
    if choice is None or (nearest is not None and nearest.chord != choice.chord):
        return instead
    likely = f"likely from {choice.lowest_likely} to {choice.highest_likely}"
    sure = f"surely from {choice.lowest_sure} to {choice.highest_sure}, " if choice.lowest_sure else "surely none, "
    return f"{instead} The lowest note of this chord may be: {sure}{likely}. {_known(room)}".lstrip()


def roots_in_reach(choice: ChordChoice | None, room: Compass, a4_hz: float) -> list[tuple[str, str]]:
    """Every likely lowest note of the equal scale, with how surely it is in reach."""
    if choice is None:
        return []
    low_hz = note_hz(choice.lowest_likely, a4_hz)
    n_steps = round(cents_between(note_hz(choice.highest_likely, a4_hz), low_hz) / 100.0)
    roots_hz = [shift_hz(low_hz, 100.0 * step) for step in range(n_steps + 1)]
    return [(str(nearest_note(hz, a4_hz)), sureness(choice.chord, hz, room).value) for hz in roots_hz]


def _known(room: Compass) -> str:
    cents = SURE_SD * room.sd_cents
    return f"The bore's own note is known to ± {cents:.0f} cents before the first blow, nineteen times in twenty."


def memory_line(learned: Learned) -> str:
    """Whether that is a first whistle's uncertainty or a narrower one."""
    if learned.of_pattern:
        return f"Narrowed by what was learned {source_text(learned.teachers)}."
    return "As for a first whistle: none of this pattern has taught yet."


def reach_lines(plan: WorkPlan) -> Iterator[str]:
    for plug in plan.plugs:
        yield plug.sentence


def window_line(plan: WorkPlan, units: str) -> str:
    """Windows by the ratio rule, as ratios to the lowest chamber's."""
    say = Lengths(units)
    graded = ", ".join(f"{window.letter} {say.size(window.graded_height_mm)}" for window in plan.windows)
    return (
        f"Windows that speak as readily as {plan.windows[0].letter}'s: {graded}. A ratio, not a cutting dimension: cut "
        "short, and lengthen by voicing."
    )


def breath_line(plan: WorkPlan, units: str) -> str:
    """What the windways take, all together."""
    say, window, breath = Lengths(units), plan.windows[0], plan.breath
    return (
        f"A flat of {say.size(window.flat_mm)} makes {window.letter}'s windway {say.size(window.windway_width_mm)} "
        f"wide. All take {breath.area_mm2:.0f} mm²: one breath of {breath.lungs_litre:g} litres lasts about "
        f"{breath.lasts_s:.1f} s, and blown too hard {breath.first_to_jump} jumps up first."
    )


def body_line(plan: WorkPlan, units: str) -> str:
    say, body = Lengths(units), plan.body
    return (
        f"Body {say.needed(body.diameter_mm)} across and {say.needed(body.length_mm)} long, bores on a circle of "
        f"radius {say.size(body.circle_radius_mm)}. With walls of {say.size(body.wanted_wall_mm)} the smallest is "
        f"{say.needed(body.smallest_mm)}."
        f"{' A comfortable grip.' if body.grip is Grip.COMFORTABLE else ''}"
    )


def drift_line(plan: WorkPlan, units: str) -> str:
    say = Lengths(units)
    least_mm = min(hole.drift_allowed_mm for hole in plan.holes)
    return (
        f"A drill may wander {say.left(least_mm)} any way (dotted) before a wall is under "
        f"{say.size(plan.body.least_wall_mm)}."
    )


def fit_lines(plan: WorkPlan, units: str) -> Iterator[str]:
    """Dowels that do fit; what does not is among the remarks."""
    say = Lengths(units)
    for fit in plan.cuts.fits:
        if fit.verdict in _FIT_WORDS and fit.clearance_mm is not None:
            yield (f"The dowel {_FIT_WORDS[fit.verdict]} in a hole of {say.tool(fit.hole_mm)}: "
                   f"{say.fine(fit.clearance_mm)} of room.")


def sound_remarks(remarks: Sequence[Remark]) -> Iterator[str]:
    """What belongs beside the chord, the gravest first; what cannot be made says so in its first words."""
    return (f"{_BEFORE[one.weight]}{one.sentence}" for one in remarks if one.code in OF_SOUND)


def wood_remarks(remarks: Sequence[Remark], *, grave: bool) -> Iterator[str]:
    """What belongs beside the body: what forbids it or may go wrong, or else what is good to know."""
    for one in remarks:
        if one.code not in OF_SOUND + OF_REACH and (one.weight is not Weight.NOTE) == grave:
            yield f"{_BEFORE[one.weight]}{one.sentence}"


def choice_text(choice: ChordChoice) -> str:
    """One line of the list of everything this wood can play."""
    roots = f"surely {choice.lowest_sure} to {choice.highest_sure}" if choice.lowest_sure else (
        f"likely {choice.lowest_likely} to {choice.highest_likely}")
    steps = " ".join(map(str, choice.chord.equal_steps))
    return f"{choice.chord.name}: {steps}\nlowest note {roots}"


def graded_heights_mm(plan: WorkPlan) -> tuple[float, ...]:
    """Heights by the ratio rule, to the tenth of a millimetre that a file can keep."""
    return tuple(round(window.graded_height_mm, 1) for window in plan.windows)


def worked_out(length_mm: float, units: str, *, least: bool = False) -> str:
    """What the plan takes where nothing was said: to the tenth, or the thousandth of an inch.

    Where it is the least that will do, never written as less, as `body_line` writes it.
    """
    length, steps, places = (mm_to_inch(length_mm), 1000, 3) if units == "inch" else (length_mm, 10, 1)
    if least:
        length = math.ceil(length * steps - 1e-6) / steps
    text = f"{length:.{places}f}"
    return text if units == "inch" else text.removesuffix(".0")


def _note_text(target_hz: float, a4_hz: float) -> str:
    note = nearest_note(target_hz, a4_hz)
    off = "" if abs(note.deviation_cents) < 0.5 else f" {note.deviation_cents:+.0f} c"
    return f"{note}{off} ({target_hz:.1f} Hz)"
