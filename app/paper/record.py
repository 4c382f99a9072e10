"""The record sheet: what the journal knows is filled in, everything else is a box for the pencil."""
from __future__ import annotations

from collections.abc import Sequence

from app.aimed import aimed_note
from app.paper.chord_name import name_of, note_of, notes_of
from app.paper.figures import Figure, Figures
from app.paper.flow import Cell, Column, Flow
from app.paper.job import Job
from app.paper.model import Align, Sheet, Weight
from app.paper.past import ChamberPast, Read, Together
from app.whistle import Chamber

HOME = "A"  # the lowest chamber: every interval is to it
ROW_MM, ENTRY_MM = 11.2, 8.2
STOPS = {"finger": "finger", "flat": "scrap", "slug": "slug", "plug": "plug", "cap": "cap"}
_TOLD_CENTS = 0.5  # less is not told apart from nothing


def record(job: Job) -> Sheet:
    flow = Flow(job, "record", "Record sheet")
    _whistle(flow)
    _drilled(flow)
    _chambers(flow)
    _intervals(flow)
    _conditions(flow)
    _notes(flow)
    return flow.sheet()


def _whistle(flow: Flow) -> None:
    whistle, figures, plan = flow.job.whistle, flow.job.figures, flow.job.plan
    flow.paragraph(f"{name_of(whistle).capitalize()}: {notes_of(whistle)}. What the journal knows is written in.")
    flow.space(1.5)
    letters_of: dict[tuple[Figure, ...], str] = {}
    for chamber, window in zip(whistle.chambers, plan.windows, strict=True):
        sizes = tuple(figures.size(length_mm) for length_mm in (
            chamber.bore_mm, chamber.bore_length_mm, chamber.window_width_mm, chamber.window_height_mm, window.flat_mm
        ))
        letters_of[sizes] = letters_of.get(sizes, "") + chamber.letter
    heads = ("chambers", "bore", "bore length", "window wide", "window high", "fipple’s flat")
    columns = [Column(head, 1.0, Align.MIDDLE) for head in heads]
    flow.table(columns, [[Figure(" ".join(letters)), *sizes] for sizes, letters in letters_of.items()], ruled=True)


def _drilled(flow: Flow) -> None:
    """Where the bit came out at the plug end."""
    whistle, figures = flow.job.whistle, flow.job.figures
    flow.section("The drill came out: outward, and clockwise", 24.0)
    rows: list[list[Cell]] = []
    for label, measured_mm in (
        ("outward", [chamber.drift_outward_mm for chamber in whistle.chambers]),
        ("clockwise", [chamber.drift_clockwise_mm for chamber in whistle.chambers]),
    ):
        rows.append([label, *("" if mm is None else _signed(figures, mm) for mm in measured_mm)])
    flow.table(_by_letter(flow), rows, least_row_mm=8.0, ruled=True)


def _signed(figures: Figures, length_mm: float) -> Figure:
    """The other way is said in words."""
    figure = figures.set_out(abs(length_mm))
    return figure if length_mm >= 0.0 else Figure(figure.main, "the other way")


def _by_letter(flow: Flow) -> list[Column]:
    return [Column("", 1.3), *(Column(letter, 1.0, Align.MIDDLE) for letter in flow.job.whistle.letters)]


def _chambers(flow: Flow) -> None:
    flow.section("Chamber by chamber; after the glue all in one breath, off the interval to A", 40.0)
    names = ("", "wanted", "first blow", "plug length", "face depth", "before glue", "after glue", "next day")
    shares = (0.45, 1.2, 1.2, 1.05, 1.05, 1.2, 1.15, 1.15)
    columns = [Column(name, share, Align.MIDDLE) for name, share in zip(names, shares, strict=True)]
    rows = [_chamber(flow, chamber) for chamber in flow.job.whistle.chambers]
    flow.table(columns, rows, least_row_mm=ROW_MM, ruled=True)


def _chamber(flow: Flow, chamber: Chamber) -> list[Cell]:
    figures, past = flow.job.figures, flow.job.past.chamber(chamber.letter)
    note = aimed_note(note_of(chamber, flow.job.whistle.a4_hz), flow.job.past.lowered_cents)
    length = "" if past.length_mm is None else figures.set_out(past.length_mm)
    depth = "" if past.depth_mm is None else figures.set_out(past.depth_mm)
    return [Figure(chamber.letter), Figure(note, f"{chamber.target_hz:.1f} Hz"), _first(past), length, depth,
            _before(past), _glued(past, past.glued), _glued(past, past.next_day)]


def _first(past: ChamberPast) -> Cell:
    return "" if past.first is None else Figure(_hz(past.first), f"{STOPS.get(past.first.stop, past.first.stop)}, "
                                                                 f"{_blows(past.first.n_blows)}")


def _before(past: ChamberPast) -> Cell:
    if past.plug is None:
        return ""
    off = past.plug.deviation_cents if past.interval_cents is None else past.interval_cents
    return Figure(_hz(past.plug), _cents(off) if past.interval_cents is not None else f"{_cents(off)} of its note")


def _glued(past: ChamberPast, together: Together | None) -> Cell:
    """Blank only where nothing was blown."""
    if together is None:
        return ""
    if not together.heard:
        return Figure("silent")
    if past.letter == HOME:
        return Figure("home")
    if together.interval_cents is None:
        return Figure("heard", f"{HOME} silent")
    return Figure(_cents(together.interval_cents))


def _hz(read: Read) -> str:
    return f"{read.frequency_hz:.1f} Hz"


def _blows(n_blows: int) -> str:
    return f"{n_blows} blow{'' if n_blows == 1 else 's'}"


def _cents(cents: float) -> str:
    """In words: a sign is easily lost on paper."""
    if abs(cents) < _TOLD_CENTS:
        return "even"
    return f"{abs(cents):.0f} c {'sharp' if cents > 0.0 else 'flat'}"


def _intervals(flow: Flow) -> None:
    """The chord in one breath, as intervals to A; how far all of it went since stands apart."""
    job, whole = flow.job, flow.job.past
    flow.section("In one breath: off the interval to A, in cents (sharp or flat)", 40.0)
    pasts = [job.past.chamber(letter) for letter in job.whistle.letters]
    rows = [
        [*_dry(pasts), ""],
        ["after glue", *(_glued(past, past.glued) for past in pasts), _whole(whole.glued_shift_cents)],
        ["next day", *(_glued(past, past.next_day) for past in pasts), _whole(whole.next_day_shift_cents)],
    ]
    columns = [*_by_letter(flow), Column("all since dry", 1.3, Align.MIDDLE)]
    flow.table(columns, rows, least_row_mm=8.5, ruled=True)


def _dry(pasts: Sequence[ChamberPast]) -> list[Cell]:
    """The lowest chamber's own is home."""
    cells: list[Cell] = ["dry, cap on"]
    for past in pasts:
        cents = past.in_chord_cents
        cells.append("" if cents is None else Figure("home" if past.letter == HOME else _cents(cents)))
    return cells


def _whole(shift_cents: float | None) -> Cell:
    return "" if shift_cents is None else Figure(_cents(shift_cents))


def _conditions(flow: Flow) -> None:
    past, whistle = flow.job.past, flow.job.whistle
    flow.need(5.0 * ENTRY_MM)
    caps, mouthpiece = whistle.caps, whistle.mouthpiece
    entries = (
        ("first blows, day", past.first_day), ("air then, °C", _degrees(past.first_temperature_c)),
        ("last blows, day", past.last_day), ("air then, °C", _degrees(past.last_temperature_c)),
        ("glued, day", past.glued_day), ("glue", past.glue), ("finish", ""), ("cured, day", ""),
        ("next day’s air, °C", _degrees(past.next_day_temperature_c)),
        ("mouthpiece, caps", ", ".join(part for part in (mouthpiece, caps) if part)),
    )
    half_mm = flow.room.width_mm / 2.0
    for number, (label, told) in enumerate(entries):
        left_mm = flow.left_mm + (number % 2) * half_mm
        flow.drawing.entry(left_mm, flow.y_mm + 5.0, label, left_mm + half_mm - 6.0 * (1 - number % 2), told=told)
        flow.space(ENTRY_MM if number % 2 else 0.0)


def _degrees(temperature_c: float | None) -> str:
    return "" if temperature_c is None else f"{temperature_c:.1f}"


def _notes(flow: Flow) -> None:
    """Lines for the next one, as many as this page has left."""
    flow.space(1.5)
    flow.section("For the next one", ENTRY_MM)
    while flow.rest_mm > ENTRY_MM:
        flow.space(ENTRY_MM)
        flow.drawing.line(flow.left_mm, flow.y_mm, flow.right_mm, flow.y_mm, Weight.THIN)
