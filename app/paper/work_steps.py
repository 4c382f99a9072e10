"""The work in order, in the figures of one whistle: a step for each thing that hands do, with its caution."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from app.cautions import BLOWING, CUTTING, DRILLING, GLUING, VOICING
from app.cut_list import FIPPLE_LONGER_MM, OVAL_MM
from app.hole_plan import Drilling
from app.paper.chord_name import name_of, note_of
from app.paper.figures import Figure, Figures, lettered
from app.paper.job import Job
from app.paper.step_cautions import FINISHING, FIPPLES, GIVING, MOUTHPIECE, SAWING, SHARING, TRIALS, TURNING
from app.view import Caution
from app.woods import wood_caution


@dataclass(frozen=True)
class Step:
    title: str
    words: tuple[str, ...]  # a paragraph each
    caution: Caution | None = None


def steps_of(job: Job) -> Iterator[Step]:
    """Every step, first to last."""
    yield from _wood(job, job.figures)
    yield from _shape(job, job.figures)
    yield from _sound(job)
    yield from _end(job)


def _wood(job: Job, say: Figures) -> Iterator[Step]:
    body, wood = job.plan.body, job.whistle.wood or "wood"
    side = say.needed(next(piece.width_mm or 0.0 for piece in job.plan.cuts.pieces))
    yield Step("Choose and measure", (
        f"A blank of {wood}, {side} square and {say.needed(body.blank_length_needed_mm)} long, with what the chuck "
        "holds. Even grain. Sort the rest by the cut list.",
        f"Measure the dowel across both ways: more than {say.set_out(OVAL_MM)} apart leaks. Measure the bit's own hole "
        "in scrap.",
    ), wood_caution(job.whistle.wood))
    yield Step("Mark out", (
        "Ends square, diagonals and mark pencilled. Template on the plug end after its bars were measured; check it "
        "with dividers; prick and punch every hole. Letters on the wood.",
    ))
    sizes = " and ".join(str(say.size(rod.diameter_mm)) for rod in job.plan.cuts.rods)
    ends = {
        Drilling.BOTH_ENDS: "From both ends, and true the step where the holes meet. ",
        Drilling.UNKNOWN: "If the bit does not reach, from both ends. ",
    }.get(body.drilling, "")
    wander = say.left(min(hole.drift_allowed_mm for hole in job.plan.holes))
    yield Step(f"Drill {len(job.plan.holes)} bores", (
        f"{sizes}, right through: {say.needed(body.drill_depth_mm)}. {ends}Tape on the bit at that depth. A short bit "
        "first, then the long one; slowly, in short bites.",
        f"Where did it come out? A bore may wander {wander}; more, and a wall is thin. Write it on the record sheet, "
        "and put it into the plan.",
    ), DRILLING)


def _shape(job: Job, say: Figures) -> Iterator[Step]:
    body, drawn, windows = job.plan.body, job.whistle.body, job.plan.windows
    graded = "Each chamber has its own height. " if len({w.height_mm for w in windows}) > 1 else ""
    yield Step("Saw the windows", (
        "While the blank is square, or in a cradle. Square cut first, then the slope of "
        f"{job.whistle.lip_slope_deg:g}° down to it from the plug side: the lip points to the mouthpiece. {graded}"
        "Depths and lines are on the template.",
    ), SAWING)
    tenon = "" if drawn.tenon_diameter_mm is None else f" Tenons {say.size(drawn.tenon_diameter_mm)}."
    yield Step("Turn the body", (
        f"To {say.needed(body.diameter_mm)}, {say.size(body.length_mm)} long.{tenon} Finish the plug end now: what "
        "comes off it later comes off every bore.",
    ), TURNING)
    hollow_mm = drawn.mouthpiece_chamber_diameter_mm
    hollow = "" if hollow_mm is None else f"Hollow {say.size(hollow_mm)} wide, centred, so that no windway starves. "
    yield Step("Mouthpiece and cap", (
        f"{hollow}Mortises a little deeper than the tenons are long, so that the cap never pushes on a plug. Fit dry.",
    ), MOUTHPIECE)
    flats = _alike({w.letter: say.size(w.flat_mm) for w in windows})
    lengths = _alike({w.letter: say.needed(w.fipple_length_mm + FIPPLE_LONGER_MM) for w in windows})
    yield Step("Fipples", (
        f"Rough {lengths}. Flat to take off one side: {flats}. Slide each to where it speaks best, its face at the "
        "square cut; then glue, and saw it flush when cured.",
    ), FIPPLES)


def _sound(job: Job) -> Iterator[Step]:
    yield Step("Voice every chamber", (
        "Before any is tuned. Cheapest and reversible first: clean, slide, look along the windway; wood off the lip "
        "comes last. Every change is told to the program.",
    ), VOICING)
    yield Step("First blows", (
        "Chamber by chamber from A, the far end stopped by scrap or finger for three blows, lifted and set again "
        "between them, or by the slug for four, each at a mark of its own; the other windows taped and their ends "
        "stopped.",
    ), SHARING)
    rough = ", ".join(
        lettered(plug.letter, job.figures.needed(plug.rough_mm)) for plug in job.plan.plugs if plug.rough_mm is not None
    )
    yield Step("Cut the plugs, long on purpose", (
        f"First lengths: {rough}. The blows will say better. A first, to its note; then the others. A tail or a screw "
        "eye in each, so that it comes out again.",
    ), CUTTING)
    yield Step("Trim to the note", (
        "Trimming always makes the note lower. Blow, trim no more than is said, blow again. Too short: push it in, or "
        "a disc on its face. Write length and depth on the record sheet.",
    ), TRIALS)
    notes = " ".join(note_of(chamber, job.whistle.a4_hz) for chamber in job.whistle.chambers)
    yield Step("The whole chord, dry", (
        f"Cap on, all in one breath: {name_of(job.whistle)}, {notes}. Intervals to A count, not each note by itself. "
        "Then a line at the bore's mouth on every plug.",
    ), BLOWING)


def _end(job: Job) -> Iterator[Step]:
    depths = [job.past.chamber(letter) for letter in job.whistle.letters]
    known = ", ".join(
        lettered(each.letter, job.figures.set_out(each.depth_mm)) for each in depths if each.depth_mm is not None
    )
    yield Step("Glue", (
        f"Wax and grease off. Glue near the outer end only, seat to the line{f' (depths: {known})' if known else ''}, "
        "wipe. Water-based: one blow each, two plugs at a time. Instant or epoxy: no blow until cured.",
    ), GLUING)
    yield Step("Finish and cure", ("Oil, wax or none in the windway. Write the day on the record sheet.",), FINISHING)
    yield Step("Next day", (
        "Blow again in the same air: intervals to A first. In a colder shop the whole whistle is lower and its chord "
        "still right.",
    ), BLOWING)
    yield Step("Hand it over", ("Fill in the card; keep the depths card for the next one.",), GIVING)


def _alike(lengths: dict[str, Figure]) -> str:
    """One length where all have it, else each with its letter."""
    if len(set(lengths.values())) == 1:
        return str(next(iter(lengths.values())))
    return ", ".join(lettered(letter, length) for letter, length in lengths.items())
