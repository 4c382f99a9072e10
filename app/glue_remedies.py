"""What a chamber that moved in the glue most likely did, and what can still be done: mostly nothing, and that is said.

That a longer window raises a note and a deeper plug does is acoustics (docs/acoustics.md); the remedies are common
practice, no source.
"""
from __future__ import annotations

from collections.abc import Mapping

from app import wording
from app.asking import step_mm
from app.chamber import Chamber
from app.glue_compare import Moved, Why
from app.glue_stage import Glue
from app.remark import COUNTS

TELLING_MM = 0.05
TELLING_CENTS = 3.0  # of the whole whistle
UNEXPLAINED_CENTS = 6.0  # beside what the air explains: a breath differs by as much from day to day
TELLING_C = 0.5


def size_text(moved_mm: float | None, units: str) -> str:
    """How far a plug moved, to the nearest step of the maker's scale; "a little" where that is none."""
    scale_mm = step_mm(units)
    n_steps = round(abs(moved_mm or 0.0) / scale_mm)
    return wording.amount_text(n_steps * scale_mm + 1e-6, units) if n_steps else "a little"


def moved_sentence(moved: Moved, units: str, short: bool = False) -> str:
    """ "Plug B was pushed in 0.3 mm"; on a card "0.3 mm in"."""
    size = size_text(moved.shift_mm, units)
    cards = {
        Why.PUSHED_IN: f"{size} in", Why.LEAKS: "leaks", Why.SHARP: f"{size} in?",
        Why.DRAWN_OUT: f"{size} out", Why.SILENT: "not heard", Why.APART: "stands apart",
    }
    if short:
        return cards[moved.why]
    return {
        Why.PUSHED_IN: f"Plug {moved.letter} went in {size}",
        Why.LEAKS: f"Plug {moved.letter} leaks",
        Why.SHARP: f"{moved.letter} went sharp in the glue",
        Why.DRAWN_OUT: f"Plug {moved.letter} came out {size}",
        Why.SILENT: f"{moved.letter} does not speak",
        Why.APART: "The chambers moved apart",
    }[moved.why]


REASONS = {
    Why.PUSHED_IN: "{0} is sharp against the rest and hisses no more than before: its plug went in, pushed by a cap or "
    "by the hand that glued it.",
    Why.LEAKS: "{0} is sharp against the rest and hisses more than before: air gets past its plug.",
    Why.SHARP: "{0} is sharp against the rest: its plug went in, or it leaks.",
    Why.DRAWN_OUT: "{0} is low against the rest: trapped air pushed its plug out, or it leaked before and the glue has "
    "sealed it.",
    Why.SILENT: "{0} was not heard: glue or a chip in its windway, or its plug has come out.",
    Why.APART: "Two groups stand apart, and neither is larger: which of them moved cannot be told from here.",
}
LEAVE_IT = "It is within what you allow: leave it."
A_LITTLE_OFF = "A little off is still a good whistle: leave it."
REMEDIES = {
    Why.PUSHED_IN: (
        A_LITTLE_OFF,
        "Set hard, it stays: no disc reaches it. Far off: drill it out, make it new.",
        "Cap not glued? Blow once without it. If that mends it, hollow the cap.",
    ),
    Why.LEAKS: (
        "Cap off: a thin film of glue or finish round the plug's rim, let it cure, blow again.",
        "If a finger over the plug does not lower the note, look for a split or a wall drilled through.",
    ),
    Why.SHARP: (
        "Cap off, a finger over the plug: if the note falls, it leaks, and a film round the rim can seal it.",
        "If it does not, the plug went in: mostly that stays.",
    ),
    Why.DRAWN_OUT: (
        A_LITTLE_OFF,
        "Far off: a hair off the lip makes the window longer and the note higher. It cannot be undone: blow after each "
        "stroke. A disc cannot reach a glued face.",
    ),
    Why.SILENT: ("Look through the window at windway and lip; a crumb of glue can be lifted out.",
                 "Then blow it alone."),
    Why.APART: (
        A_LITTLE_OFF,
        "Measure how deep each plug stands at its line.",
        "Far off: a hair off the lip of those that are low. It cannot be undone.",
    ),
}
LEFT_ALONE = (Why.PUSHED_IN, Why.DRAWN_OUT, Why.APART, Why.SHARP)  # where it is within what the maker allows


def remedy(moved: Moved) -> tuple[str, ...]:
    """What can still be done about it; nothing is, where it is as close as the maker asked for."""
    return (LEAVE_IT,) if moved.small and moved.why in LEFT_ALONE else REMEDIES[moved.why]


def settled_why(glue: Glue, chambers: Mapping[str, Chamber]) -> str:
    """The likely reason of the first that moved; where none did, how surely."""
    if glue.moved:
        first = glue.moved[0]
        told = REASONS[first.why].format(first.letter)
        if first.letter == next(iter(chambers)) and first.shift_cents:
            others = "low" if first.shift_cents > 0.0 else "sharp"
            told += f" To {first.letter} all others now seem {others}."
        return told
    if len(glue.columns) > 1 and glue.columns[0].n_blows:
        n_blows = glue.columns[-1].n_blows
        if glue.doubted:
            told = COUNTS[n_blows].capitalize()
            return f"{told} blow{'s' if n_blows != 1 else ''} cannot tell it from breath, and it is within what you " \
                   "allow: leave it."
        return f"Every chamber stands to the others as in the dry chord, as far as {n_blows} blows can tell."
    return ""


def whole_text(glue: Glue) -> str:
    """How the whole whistle went, apart from what moved in it: the shop's air, or breath."""
    whole = glue.whole
    if whole is None or abs(whole.shift_cents) < TELLING_CENTS:
        return ""
    way = "higher" if whole.shift_cents > 0.0 else "lower"
    if whole.warmer_c is None or whole.air_cents is None:
        return f"The whole whistle is {way}; without a thermometer nobody knows how much of that is the shop."
    left_cents = whole.shift_cents - whole.air_cents
    if abs(whole.warmer_c) < TELLING_C:
        return f"The whole whistle is {way}; the shop is no other, so it is the breath, or how warm it was blown."
    air = f"the shop is {abs(whole.warmer_c):.1f} °C {'warmer' if whole.warmer_c > 0.0 else 'colder'}"
    much = "which explains it" if abs(left_cents) < UNEXPLAINED_CENTS else "which explains a part; the rest is breath"
    return f"The whole whistle is {way}: {air}, {much}."
