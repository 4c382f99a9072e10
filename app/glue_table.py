"""The tables of the glue, as finished words: where each plug in hand belongs; before, after, next day."""
from __future__ import annotations

from app import wording
from app.bench import State
from app.chamber import Chamber
from app.chord_words import size_text
from app.glue_compare import Column
from app.glue_stage import GLUED, NEXT_DAY, Word
from app.view import TableRow

UNKNOWN = "–"
FLUSH_MM = 0.05


def table(state: State) -> tuple[TableRow, ...]:
    """The headings first; nothing while there is nothing to compare."""
    glue = state.place.glue
    if glue.word in (Word.SET, Word.PUT_BACK, Word.OPEN_BLOW):
        return _depths(state, glue.pair)
    if glue.word in (Word.WHICH, Word.CURING, Word.CURED):
        return _depths(state, tuple(state.place.chambers))
    return _compared(state)


def _depths(state: State, letters: tuple[str, ...]) -> tuple[TableRow, ...]:
    rows = [TableRow(_depth_cells(state, state.place.chambers[letter]), letter == state.place.glue.letter)
            for letter in letters]
    unit = "" if state.sitting.units == "inch" else ", mm"
    return (TableRow(("", f"face deep{unit}", f"plug long{unit}", "at the end")), *rows)


def _depth_cells(state: State, chamber: Chamber) -> tuple[str, ...]:
    plug, units = chamber.plug, state.sitting.units
    if plug is None:
        return (chamber.letter, UNKNOWN, UNKNOWN, UNKNOWN)
    long = UNKNOWN if plug.length_mm is None else _bare(wording.length_text(plug.length_mm, units))
    return (chamber.letter, _bare(wording.length_text(plug.depth_mm, units)), long, _at_end(chamber, units))


def _bare(length: str) -> str:
    """Millimetres stand in the heading: the figures can be larger."""
    return length.removesuffix(" mm")


def _at_end(chamber: Chamber, units: str) -> str:
    """Its knife line where it has one; else how it stands at the plug end."""
    plug = chamber.plug
    if plug is None or chamber.marked:
        return "line"
    out_mm = plug.proud_mm - plug.recess_mm
    if abs(out_mm) < FLUSH_MM:
        return "flush"
    return f"{_bare(wording.amount_text(abs(out_mm), units))} {'proud' if out_mm > 0.0 else 'sunk'}"


def _compared(state: State) -> tuple[TableRow, ...]:
    """How much too long or short each plug is for its interval to the lowest chamber, at each time."""
    glue = state.place.glue
    told = {each.name: each for each in glue.columns}
    moved = {each.letter for each in glue.moved}
    names = ("before", GLUED, NEXT_DAY)
    head = TableRow(("", *names))
    return (head, *(
        TableRow((letter, *(_cell(state, told.get(name), letter) for name in names)), letter in moved)
        for letter in state.place.chambers
    ))


def _cell(state: State, column: Column | None, letter: str) -> str:
    home = state.place.chord.home
    if column is None or not column.n_blows:
        return UNKNOWN
    cents = column.interval_cents(letter, home)
    if cents is None:
        return "silent"
    if letter == home:
        return "home"
    slope = state.place.glue.slopes.get(letter)
    return f"{cents:+.0f} c" if not slope else size_text(cents / slope, state.sitting.units)
