"""The walk as a pure function: ``step(state, event) -> (state, effects)``.

No window, database, device or clock: time comes in events, and a step counts only once its record is confirmed. What
is shown is always re-derived from the confirmed records (`app.place`), so no order of events can lose one.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from acoustics.air import Air
from acoustics.bore import resonance_hz
from acoustics.errors import OutOfRangeError
from acoustics.tuning import Closure, Policy, Priors, Stop
from acoustics.units import shift_hz
from app.asking import ask, closure_of, step_mm
from app.bench import Asked, Sitting, State
from app.doing import answer, follow_up
from app.events import (
    Confirmed,
    Effect,
    Event,
    Expecting,
    Heard,
    Keep,
    LevelHeard,
    Listen,
    NotConfirmed,
    Noticed,
    Passed,
    Request,
    Signal,
    Speak,
    Task,
    Troubled,
)
from app.evidence import standing
from app.glue_clock import is_past
from app.learned import Learned
from app.place import Place, place
from app.records import BlowTaken, ChordTaken, PlugSet, Record, StepTaken
from app.voices import voices_of
from app.whistle import Whistle, to_plan

__all__ = ["Sitting", "State", "begin", "expected_range_hz", "step"]

EXPECTED_WITHIN_CENTS = 350.0  # half-width of the range in which a chamber's note is looked for first
REMEMBERED_REQUESTS = 12  # a blow that began before a key was pressed still finds its own chamber


def begin(
    whistle: Whistle, records: Sequence[Record], sitting: Sitting,
    policy: Policy | None = None, priors: Priors | None = None, learned: Learned | None = None,
) -> tuple[State, tuple[Effect, ...]]:
    """Put a whistle on the bench with all that is known of it: the walk goes on where it was."""
    policy, learned = policy or Policy(), learned or Learned()
    priors = priors or learned.priors
    where = place(
        to_plan(whistle), standing(records), policy, priors, step_mm=step_mm(sitting.units), now_utc=sitting.began_utc
    )
    state = State(
        whistle, sitting, policy, priors, tuple(records), where, Request(0, Task.NOTHING), learned=learned,
        now_utc=sitting.began_utc,
    )
    return _ask_again(state)


def step(state: State, event: Event) -> tuple[State, tuple[Effect, ...]]:
    """One event; the effects are to be carried out in order."""
    match event:
        case Confirmed(record):
            return _confirmed(state, record)
        case NotConfirmed(_, why):
            return replace(state, trouble=why), ()
        case Noticed(notice):
            return replace(state, notice=notice), ()
        case Troubled(text):
            return replace(state, trouble=text), ()
        case LevelHeard(word):
            return replace(state, level=word), ()
        case Passed(at_s, at_utc):
            return _passed(replace(state, now_s=at_s, now_utc=at_utc or state.now_utc))
        case Heard():
            state = replace(state, last_blow=event.blow, last_chord=event.chord, now_s=event.at_s)
    trouble, records = answer(state, event)
    return replace(state, trouble=trouble), tuple(Keep(record) for record in records)


def _confirmed(state: State, record: Record) -> tuple[State, tuple[Effect, ...]]:
    before = state.request
    state, effects = _ask_again(_replaced(replace(state, records=(*state.records, record))))
    follow = tuple(Keep(each) for each in follow_up(state, record))
    return state, (*effects, *_sounds(before, state.request, record, bool(follow)), *follow)


def _replaced(state: State) -> State:
    """The place read afresh from the records and the hour."""
    where = place(
        to_plan(state.whistle), standing(state.records), state.policy, state.priors,
        step_mm=step_mm(state.sitting.units), now_utc=state.now_utc,
    )
    return replace(state, place=where)


def _passed(state: State) -> tuple[State, tuple[Effect, ...]]:
    """Glue asks by itself when its time has come, and the lowest chamber when the bores have cooled."""
    cools_utc = state.place.warmth.due_utc
    cooled = bool(cools_utc and state.now_utc) and is_past(cools_utc, state.now_utc)
    if not (cooled or state.place.glue.comes_due(state.now_utc)):
        return state, ()
    before = state.request
    state, effects = _ask_again(_replaced(state))
    asks_other = _said(state.request) != _said(before)
    return state, (*effects, *((Signal("ask"), Speak("")) if asks_other else ()))


def _ask_again(state: State) -> tuple[State, tuple[Effect, ...]]:
    """Ask what the place calls for; tell the listener when it is a new request."""
    wanted = replace(ask(state.place, state.sitting.units), id=state.request.id)
    if wanted == state.request and state.asked:
        return state, ()
    wanted = replace(wanted, id=state.request.id + 1)
    closure = closure_of(wanted, state.place)
    letter = wanted.letter or state.place.letter
    stop = closure.stop if closure is not None else (wanted.stop or Stop.FINGER)
    voices = voices_of(state.place) if wanted.task is Task.CHORD else ()
    range_hz = expected_range_hz(state.place, letter, closure)
    expecting = Expecting(wanted.id, state.whistle.id, letter, stop, range_hz, voices)
    asked = (*state.asked, Asked(expecting, wanted, closure))[-REMEMBERED_REQUESTS:]
    return replace(state, request=wanted, asked=asked), (Listen(expecting),)


def _sounds(before: Request, now: Request, record: Record, follows: bool) -> tuple[Effect, ...]:
    """One tone for what was understood, and the sentence when something else is asked for; the last record speaks."""
    if follows:
        return ()
    asks_other = _said(now) != _said(before)
    sounds: list[Effect] = []
    if _told_done(record):
        sounds.append(Signal("done"))
    elif asks_other:
        sounds.append(Signal("ask"))
    elif isinstance(record, BlowTaken | ChordTaken) and record.usable:
        sounds.append(Signal("taken"))
    if asks_other:
        sounds.append(Speak(""))  # the session puts the sentence of the view in
    return tuple(sounds)


def _said(request: Request) -> tuple[Task, str | None, str, bool]:
    """What the sentence depends on: in voicing, also what is to be looked at."""
    return request.task, request.letter, request.text if request.task is Task.BLOW else "", request.covered


def _told_done(record: Record) -> bool:
    return isinstance(record, PlugSet) or (isinstance(record, StepTaken) and record.step == "marked")


def expected_range_hz(where: Place, letter: str, closure: Closure | None) -> tuple[float, float] | None:
    """Where this chamber's note is looked for first: evidence for the reader, never a muzzle."""
    if closure is None:
        return None
    planned = next(c for c in where.plan.chambers if c.letter == letter)
    believed = next(c for c in where.belief.chambers if c.letter == letter)
    air = Air(where.plan.temperature_c, where.plan.relative_humidity, where.plan.pressure_pa)
    try:
        expected_hz = resonance_hz(
            planned.bore_length_mm - closure.depth_mm, believed.window_mm, planned.bore_mm, air
        )
    except OutOfRangeError:
        return None
    return shift_hz(expected_hz, -EXPECTED_WITHIN_CENTS), shift_hz(expected_hz, EXPECTED_WITHIN_CENTS)
