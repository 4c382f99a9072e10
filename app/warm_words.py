"""The words of a cold bore: how many blows warm it up, and why the lowest chamber is asked for once more.

`with_cold` dresses a view while the lowest chamber is asked for; at every other time the view stays as it is.
"""
from __future__ import annotations

from dataclasses import replace

from app import wording
from app.bench import State
from app.chord_doing import n_usable
from app.place import WARM_UP_BLOWS
from app.records import BlowTaken
from app.view import Breath, View
from app.warmth import COLD

SHOWN_BLOWS = 6


def warm_up_text(state: State) -> str:
    """How many blows are heard and not counted yet; empty when the bores are warm."""
    left = WARM_UP_BLOWS - n_usable(state)
    return f"{'Two' if left == WARM_UP_BLOWS else 'One more'} to warm up, heard but not counted." if left > 0 else ""


def with_cold(state: State, view: View) -> View:
    """The same view, about the lowest chamber."""
    if state.request.text != COLD:
        return view
    letter, meant_now = state.request.letter or "A", state.place.letter
    mine = [r for r in state.standing if isinstance(r, BlowTaken) and r.letter == letter
            and r.sitting_id == state.sitting.id]
    lines = tuple(wording.blow_line(number, blow, mine) for number, blow in enumerate(mine, 1))
    blow = state.last_blow
    unread = f"Last blow: {wording.blow_reason(blow)}." if blow is not None and not blow.usable else ""
    why = f"{warm_up_text(state)} Then one tells whether the air or your breath has moved since.".strip()
    return replace(
        view,
        ends=tuple(replace(end, meant=end.letter == letter) for end in view.ends),
        rows=tuple(replace(row, meant=row.letter == letter) for row in view.rows),
        section=None, closer=None, sentence=(f"Blow chamber {letter} again", "its air has cooled"), held_back="",
        why=unread or why, blows=Breath(f"Blows of chamber {letter}", lines[-SHOWN_BLOWS:], "", ""), figures=(),
        asides=(f"Then {meant_now} again, where you were.",),
        keys="backspace: forget that blow · N: go on without it", may_type=False,
    )
