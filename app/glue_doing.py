"""What blows, toots and keys mean for the records while the glue asks."""
from __future__ import annotations

from collections.abc import Sequence

from app.bench import Asked, State
from app.events import ChamberChosen, Event, GlueChosen, Heard, Key, Pressed, Task, Tooted, Typed
from app.glue_stage import Word
from app.records import Record, StepTaken, VoiceChanged
from app.view import Stage

Answer = tuple[str, Sequence[Record]]  # as in `app.doing`
LEFT_ALONE = (Word.OPEN_BLOW, Word.ALONE, Word.PUT_BACK)  # of one chamber


def glue_answer(state: State, event: Event, asked: Asked | None) -> Answer | None:
    """Records and trouble; None where the event means what it means everywhere. `asked` is what a blow answers."""
    if isinstance(event, GlueChosen):
        return "", (_step(state, "glue", None, event.kind.value),)
    if not state.place.glue_asks:
        return None
    match event:
        case Tooted():
            return _tooted(state, asked)
        case Heard():
            return _heard(state, asked)
        case Pressed(Key.DONE):
            return _done(state)
        case Pressed(Key.NEXT):
            return "", _left(state)
        case Pressed(Key.VOICE) if (mended := state.place.glue.mendable) is not None:
            return "", (VoiceChanged("", "", state.whistle.id, mended, ""),)
        case Pressed(Key.VOICE) | Typed() if state.request.letter is None:
            return "which_chamber", ()
        case Typed() if state.place.chamber.glued:
            return "glued_already", ()
        case ChamberChosen(letter) if letter in state.place.chambers and state.place.glue.kind is not None:
            return "", (_step(state, "focus", letter, Stage.GLUE.value),)
    return None


def _tooted(state: State, asked: Asked | None) -> Answer:
    """Lips say "done" only where they may: toots near uncured glue are a warning, and settle nothing."""
    if state.place.glue.lips_off:
        return "lips_off", ()
    same = asked is not None and (asked.request.task, asked.request.letter) == (Task.GLUE, state.request.letter)
    return _done(state) if same and state.request.task is Task.GLUE else ("", ())


def _heard(state: State, asked: Asked | None) -> Answer | None:
    """A blow counts where one was asked for."""
    if state.place.glue.lips_off:
        return "lips_off", ()
    if asked is None or asked.request.task in (Task.BLOW, Task.RESEAT, Task.CHORD):
        return None
    return "is_it_glued" if asked.request.task is Task.GLUE else "", ()


def _done(state: State) -> Answer:
    glue = state.place.glue
    match glue.word:
        case Word.WHICH:
            return "which_glue", ()
        case Word.SET | Word.PUT_BACK if glue.letter is not None and glue.kind is not None:
            return "", (_step(state, "glued", glue.letter, glue.kind.value, state.request.depth_mm),)
        case Word.CURING:
            return "not_cured", ()
        case Word.CURED:
            return "", (_step(state, "cured", None, "key"),)
        case Word.CHORD if any(each.name == glue.round for each in glue.columns):
            return "", (_step(state, "glue_enough", None, glue.round),)
        case Word.CHORD | Word.OPEN_BLOW | Word.ALONE:
            return "blow_first", ()
    return "", ()


def _left(state: State) -> Sequence[Record]:
    """Go on without the blow that is asked for."""
    glue, chord = state.place.glue, state.place.chord
    if glue.word in LEFT_ALONE:
        return (_step(state, "glue_enough", glue.letter, glue.word.value),)
    if glue.word is not Word.CHORD:
        return ()
    closed = () if chord.closed else (_step(state, "chord_done", None, chord.faces),)
    return (*closed, _step(state, "glue_enough", None, glue.round))


def _step(state: State, step: str, letter: str | None, text: str, value: float | None = None) -> StepTaken:
    return StepTaken("", "", state.whistle.id, step, letter, text, value)
