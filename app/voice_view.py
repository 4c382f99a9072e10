"""The Voice stage as the maker sees it, and the short line in other stages when a chamber speaks badly."""
from __future__ import annotations

from dataclasses import replace

from app import voice_words
from app.bench import State
from app.events import Condition, Task
from app.records import BlowTaken
from app.view import Breath, ChamberRow, Stage, View
from app.wording import blow_line, done_words
from app.wording import sentence as work_sentence

CHANGE_ONE = "Change one thing, press R, blow again."
BEFORE = "Playing breath. Three good blows and it goes on by itself; what is amiss is named with what to look at first."
NOT_ALONE = "While a neighbour is open nothing is said of hiss or leaks: it may be the neighbour's."
SHOWN_BLOWS = 7


def with_voice(state: State, shown: View) -> View:
    """The view with what is to be said of how this chamber speaks; the same where nothing is."""
    if shown.stage is Stage.VOICE:
        return _voice_stage(state, shown)
    if shown.stage not in (Stage.FIRST_BLOW, Stage.TRIM):
        return shown
    speaking = state.place.speaking[state.place.letter]
    line = voice_words.aside(state.place.letter, speaking)
    figures = (*shown.figures, *voice_words.breath_figures(speaking.voice))
    if not line:
        return replace(shown, figures=figures)
    if shown.stage is Stage.FIRST_BLOW:
        return replace(shown, why=line, figures=figures, speaks=line)
    return replace(shown, asides=(line, *shown.asides), figures=figures, speaks=line)


def _voice_stage(state: State, shown: View) -> View:
    letter, speaking = state.place.letter, state.place.speaking[state.place.letter]
    sets_stop = state.request.task is Task.SET_STOP
    blows = _blows(state)
    done = done_words(state.request) if sets_stop else "it is voiced"
    return replace(
        shown,
        sentence=_sentence(state),
        held_back=voice_words.next_text(speaking),
        why=shown.why if sets_stop else _why(state, shown),
        rows=tuple(_row(state, row) for row in shown.rows),
        blows=Breath(f"How {letter} speaks", blows, "speaks well" if speaking.voice.speaks_well else "", ""),
        asides=(*shown.asides, CHANGE_ONE) if speaking.main else shown.asides,
        keys=f"space: {done} · backspace: forget that blow · R: I changed the voice · N: leave it, go on",
        figures=(*voice_words.figures(speaking.voice), *(each for each in shown.figures if each.startswith("last"))),
    )


def _sentence(state: State) -> tuple[str, str]:
    if state.request.task is Task.SET_STOP:
        return work_sentence(state.request, state.sitting.units, sliding=False)
    return voice_words.sentence(state.place.letter, state.place.speaking[state.place.letter])


def _why(state: State, shown: View) -> str:
    """The evidence; before there is any, what to do, or why the last blow was none."""
    speaking = state.place.speaking[state.place.letter]
    if speaking.main is not None:
        return voice_words.why_text(speaking)
    if state.last_blow is not None and not state.last_blow.usable:
        return shown.why
    if Condition.NEIGHBOURS_SHUT not in state.place.conditions:
        return NOT_ALONE
    return BEFORE if speaking.voice.n_blows == 0 else ""


def _row(state: State, row: ChamberRow) -> ChamberRow:
    speaking = state.place.speaking[row.letter]
    return replace(row, figure=voice_words.card_text(speaking, row.letter in state.place.voiced) or row.figure)


def _blows(state: State) -> tuple[str, ...]:
    chamber = state.place.chamber
    mine = [
        replace(b, warm_up=False) for b in state.standing
        if isinstance(b, BlowTaken) and b.letter == chamber.letter and b.voicing_epoch == chamber.epoch
    ]
    return tuple(blow_line(n, blow, mine) for n, blow in enumerate(mine, 1))[-SHOWN_BLOWS:]
