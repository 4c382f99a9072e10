"""What each thing the maker does means for the records: key, toots, typed length, choice, blow."""
from __future__ import annotations

from collections.abc import Sequence

from acoustics.blow import Verdict
from acoustics.tuning import Stop
from acoustics.units import cents_between
from app.asking import first_reading_wants_more, settled
from app.bench import Asked, State
from app.chamber import Chamber, Status
from app.chord_doing import chord_done, chord_record, leave_chord, n_usable, settled_by_chord
from app.events import (
    AirTold,
    ChamberChosen,
    ChordLowered,
    Condition,
    ConditionTold,
    Event,
    Heard,
    Key,
    MemoryTold,
    Pressed,
    Request,
    RouteChosen,
    StageChosen,
    StopChosen,
    Task,
    Tooted,
    Typed,
)
from app.glue_doing import glue_answer
from app.place import UNCHECKED, WARM_UP_BLOWS, notes_text
from app.recording_blows import blow_record
from app.records import BlowTaken, ChordTaken, PlugSet, Record, StepTaken, VoiceChanged, Voided
from app.view import Stage
from app.warmth import COLD, LEFT_COLD
from app.whistle import to_plan

MEASURED_SD_MM = 0.05  # calipers on the plug
ASSUMED_SD_MM = 0.15  # "done" without a measured length
MARK_SD_MM = 0.10  # a mark on a tail, read at the bore's mouth
UNSQUARE_MM = 0.3  # longest and shortest further apart than this: 2 degrees on half an inch is 0.44 mm
LEAST_AIR_MM = 15.0  # a shorter chamber is outside what the bore formula is known for
UNHEARD = (Verdict.HUM, Verdict.NOT_A_WHISTLE, Verdict.TOO_SHORT)  # told on the screen, not kept

Answer = tuple[str, Sequence[Record]]  # (trouble code, records to keep)


def answer(state: State, event: Event) -> Answer:
    """Records that this event asks to be kept, and what is wrong when it asks for none."""
    asked = find_asked(state, event.expecting_id) if isinstance(event, Heard | Tooted) else None
    if not (isinstance(event, Heard) and event.blow.verdict in UNHEARD):
        by_glue = glue_answer(state, event, asked)
        if by_glue is not None:
            return by_glue
    match event:
        case Pressed(Key.DONE | Key.VOICE) | Typed() if state.request.text == COLD:
            return "lowest_first", ()  # the screen is about the lowest chamber: nothing is said of the one in hand
        case Heard():
            return _heard(state, event)
        case Tooted():
            same = asked is not None and _is_same_work(asked.request, state.request)
            return _done(state, "toots") if same and state.request.task in DONE_BY_TOOTS else ("", ())
        case Pressed(key, _):
            return _pressed(state, key)
        case Typed():
            return _typed(state, event)
        case StageChosen(stage):
            return "", _to_stage(state, stage)
        case ChamberChosen(letter):
            return _chamber_chosen(state, letter)
        case RouteChosen(route):
            return "", (_step(state, "route", None, route.value),)
        case StopChosen(stop):
            return "", (_step(state, "stop", None, stop.value),)
        case ConditionTold(condition, holds):
            return "", (_step(state, condition.value, None, "yes" if holds else "no"),)
        case AirTold(temperature_c, _):
            return "", (_step(state, "air", None, "told" if temperature_c is not None else "none", temperature_c),)
        case MemoryTold(used):
            return "", (_step(state, "memory", None, "used" if used else "aside"),)
        case ChordLowered(cents):
            return "", (_step(state, "chord_lowered", None, notes_text(to_plan(state.whistle)), round(cents, 3)),)
    return "", ()


DONE_BY_TOOTS = (Task.CUT, Task.TRIM, Task.SLIDE, Task.SET_STOP, Task.MARK, Task.REPAIR)


def follow_up(state: State, record: Record) -> Sequence[Record]:
    """What the walk confirms by itself once a record is in: a chamber that is on its note is accepted."""
    chamber = state.place.chamber
    if state.place.stage is Stage.VOICE and isinstance(record, BlowTaken):
        speaks_well = state.place.speaking[chamber.letter].voice.speaks_well and record.letter == chamber.letter
        return (_step(state, "voiced", chamber.letter, "heard"),) if speaks_well else ()
    if state.place.stage is not Stage.TRIM or chamber.status is not Status.TO_TRIM:
        return ()
    told = (isinstance(record, BlowTaken) and record.letter == chamber.letter) or (
        isinstance(record, StepTaken) and record.step in ("marked", "chord_lowered"))
    advice = state.place.advice[chamber.letter]
    if not told or state.request.task is Task.MARK or not settled(advice, state.sitting.units):
        return ()
    if Condition.MOUTHPIECE_ON not in state.place.conditions:
        return ()  # lips on the windway guide a cut, they never finish a plug
    return (_step(state, "accepted", chamber.letter, "", advice.deviation_cents),)


def find_asked(state: State, expecting_id: int) -> Asked | None:
    return next((a for a in reversed(state.asked) if a.expecting.id == expecting_id), None)


def _is_same_work(asked: Request, now: Request) -> bool:
    return (asked.task, asked.letter) == (now.task, now.letter)


def _step(state: State, step: str, letter: str | None, text: str = "", value: float | None = None) -> StepTaken:
    return StepTaken("", "", state.whistle.id, step, letter, text, value)


# ---- a blow --------------------------------------------------------------------------------------------------------
def _heard(state: State, event: Heard) -> Answer:
    asked = find_asked(state, event.expecting_id)
    if asked is None or event.blow.verdict in UNHEARD:
        return "", ()
    if asked.request.task is Task.CHORD:
        return "", (chord_record(state, event),)
    warm_up = n_usable(state) < WARM_UP_BLOWS or state.place.stage is Stage.VOICE
    trouble = "" if not event.blow.usable else _doubt(state, asked, event)
    return trouble, (blow_record(state, asked, event, warm_up, in_doubt=bool(trouble)),)


def _doubt(state: State, asked: Asked, event: Heard) -> str:
    """A blow after an instruction that sounds as if the work were done, and nobody said so."""
    if asked.closure is None:
        return "is_it_in"
    advice = state.place.advice.get(asked.expecting.letter)
    waits = asked.request.task in (Task.TRIM, Task.SLIDE) and advice is not None
    if not waits or event.blow.frequency_hz is None or advice is None or advice.heard_hz is None:
        return ""
    shift_cents = cents_between(event.blow.frequency_hz, advice.heard_hz)
    inwards = asked.request.task is Task.SLIDE and (asked.request.amount_mm or 0.0) > 0
    sd_cents = max(state.place.belief.blow_sd_cents, advice.deviation_sd_cents or 0.0)
    return "did_you_do_it" if (shift_cents if inwards else -shift_cents) > 3 * sd_cents else ""


# ---- keys ----------------------------------------------------------------------------------------------------------
def _pressed(state: State, key: Key) -> Answer:
    where = state.place
    match key:
        case Key.DONE:
            return _done(state, "key")
        case Key.FORGET:
            return _forget(state)
        case Key.BACK:
            stages = list(Stage)
            before = stages[max(0, stages.index(where.stage) - 1)]
            return "", _to_stage(state, before)
        case Key.VOICE if _of_all(state):
            return "which_chamber", ()
        case Key.VOICE:
            return "", (VoiceChanged("", "", state.whistle.id, where.letter, ""),)
        case Key.NEW_SET:
            return "", (_step(state, "set", None),)
        case Key.NEXT:
            return _next(state)
    return "", ()


def _of_all(state: State) -> bool:
    """The request is about the whole whistle: no one chamber is meant."""
    return state.request.task is Task.CHORD and state.request.letter is None


def _to_stage(state: State, stage: Stage) -> Sequence[Record]:
    """There; a chamber that was taken as voiced is listened to again."""
    letter = state.place.letter
    again = stage is Stage.VOICE and letter in state.place.voiced
    return (*((_step(state, "unvoiced", letter),) if again else ()), _step(state, "focus", letter, stage.value))


def _next(state: State) -> Answer:
    """Leave this as it is and go on: there is always a way out."""
    where = state.place
    if where.chord_asks:
        return "", leave_chord(state)
    if state.request.text == COLD:
        return "", (_step(state, LEFT_COLD, state.request.letter),)
    if where.stage is Stage.VOICE:
        return "", (_step(state, "voiced", where.letter, "left"),)
    if where.stage is Stage.FIRST_BLOW:
        return "", (_step(state, "first_enough", where.letter),)
    if state.request.covered and where.chamber.face is not None:
        return "", (_step(state, UNCHECKED, where.letter, where.chamber.face.id),)
    if where.stage in (Stage.CUT, Stage.TRIM):
        return "", (_step(state, "left", where.letter),)
    return "", (_step(state, "focus", None),)


FORGOTTEN_STEPS = (UNCHECKED, "accepted", "first_enough", "left", "marked",
                   "memory", "voiced", "chord_enough", "chord_done",
                   "chord_lowered", "glue", "glued", "cured", "glue_enough", LEFT_COLD)


def _forget(state: State) -> Answer:
    """Withdraw the last blow or the last "done"; what the walk concluded from it goes with it."""
    withdrawn: list[Record] = []
    for record in reversed(state.standing):
        if isinstance(record, BlowTaken | ChordTaken | PlugSet | VoiceChanged):
            withdrawn.append(record)
            break
        if isinstance(record, StepTaken) and record.step in FORGOTTEN_STEPS:
            withdrawn.append(record)
            if record.step != "accepted" and record.text != "heard":
                break
    if not withdrawn:
        return "nothing_to_forget", ()
    return "", tuple(Voided("", "", state.whistle.id, record.id, "forgotten by the maker") for record in withdrawn)


def _chamber_chosen(state: State, letter: str) -> Answer:
    if letter not in state.place.chambers:
        return "no_such_chamber", ()
    if state.place.stage is Stage.VOICE:
        again = (_step(state, "unvoiced", letter),) if letter in state.place.voiced else ()
        return "", (*again, _step(state, "focus", letter, Stage.VOICE.value))
    chamber = state.place.chambers[letter]
    reopened = () if chamber.status is not Status.ON_NOTE else (_step(state, "reopened", letter),)
    stage = Stage.TRIM if chamber.plug else Stage.CUT if chamber.status is Status.TO_CUT else Stage.FIRST_BLOW
    return "", (*reopened, _step(state, "focus", letter, stage.value))


# ---- done ----------------------------------------------------------------------------------------------------------
def _done(state: State, said_by: str) -> Answer:
    request, where = state.request, state.place
    if request.task is Task.MARK:
        return "", (_step(state, "marked", where.letter, said_by, where.chamber.face and where.chamber.face.depth_mm),)
    if request.covered:
        return "finger_first", ()  # pressed out of habit, it would give away the check, and with it the plug
    if request.task in (Task.CUT, Task.TRIM, Task.SLIDE, Task.SET_STOP, Task.REPAIR):
        plug = _plug_as_asked(state, request, said_by)
        return "", settled_by_chord(state, plug) if where.chord_asks else (plug,)
    if where.chord_asks:
        said = chord_done(state)
        return ("" if said else "blow_first"), said
    if where.stage is Stage.VOICE:
        return "", (_step(state, "voiced", where.letter, "taken"),)
    if where.stage is Stage.LAY_OUT and any(c.status is Status.TO_BLOW for c in where.chambers.values()):
        return "", _to_stage(state, Stage.VOICE)
    if request.task is Task.NOTHING:
        return "", (_step(state, "focus", None),)
    if where.stage is Stage.FIRST_BLOW and where.chamber.first and not first_reading_wants_more(where):
        return "", (_step(state, "first_enough", where.letter),)
    return "blow_first", ()


def _plug_as_asked(state: State, request: Request, said_by: str) -> PlugSet:
    """The plug is where the screen said it should be; nobody measured it."""
    depth_mm = request.depth_mm or 0.0
    face = state.place.chambers[request.letter or "A"].face
    proud_mm, recess_mm = (face.proud_mm, face.recess_mm) if face is not None else (0.0, 0.0)
    how = {
        Task.CUT: "cut", Task.TRIM: "trim", Task.SET_STOP: "set",
        Task.SLIDE: "push_in" if (request.amount_mm or 0.0) > 0 else "draw_out",
        Task.REPAIR: "add_disc" if request.text == "disc" else "reseat",
    }[request.task]
    if request.task in (Task.CUT, Task.SET_STOP):
        proud_mm = recess_mm = 0.0
    if request.task is Task.SLIDE:
        recess_mm += request.amount_mm or 0.0
    length_mm = depth_mm + proud_mm - recess_mm
    if request.text == "seal" and face is not None:  # the same plug, put back: as long as it was measured
        return _plug(state, request, how, length_mm, proud_mm, recess_mm, depth_mm, face.depth_sd_mm,
                     face.depth_measured, said_by)
    marked = request.task in (Task.SLIDE, Task.SET_STOP) or request.text == "slide"
    return _plug(state, request, how, length_mm, proud_mm, recess_mm, depth_mm,
                 MARK_SD_MM if marked else ASSUMED_SD_MM, False, said_by)


def _plug(
    state: State, request: Request, how: str, length_mm: float, proud_mm: float, recess_mm: float, depth_mm: float,
    depth_sd_mm: float, measured: bool, said_by: str,
) -> PlugSet:
    stop = Stop.SLUG if request.task is Task.SET_STOP or request.stop is Stop.SLUG else Stop.PLUG
    return PlugSet(
        "", "", state.whistle.id, state.place.letter, stop.value, how, round(length_mm, 3), proud_mm, recess_mm,
        round(depth_mm, 3), measured, depth_sd_mm, request.amount_mm, said_by,
    )


def _typed(state: State, event: Typed) -> Answer:
    """A length off the calipers: the depth of the inner face is length - proud + recess."""
    if _of_all(state):
        return "which_chamber", ()
    if event.shortest_mm is not None and abs(event.length_mm - event.shortest_mm) > UNSQUARE_MM:
        return "square_it_first", ()
    length_mm = event.length_mm if event.shortest_mm is None else (event.length_mm + event.shortest_mm) / 2
    depth_mm = length_mm if event.is_depth else length_mm - event.proud_mm + event.recess_mm
    bore_mm = next(c for c in state.place.plan.chambers if c.letter == state.place.letter).bore_length_mm
    if not 0.0 < depth_mm <= bore_mm - LEAST_AIR_MM:
        return "no_such_depth", ()
    request, chamber = state.request, state.place.chamber
    how = _how_typed(request, chamber)
    record = _plug(state, request, how, length_mm, event.proud_mm, event.recess_mm, depth_mm, MEASURED_SD_MM, True,
                   "typed")
    for_chord = state.place.chord_asks and request.task in (Task.TRIM, Task.SLIDE, Task.REPAIR)
    return "", settled_by_chord(state, record) if for_chord else (record,)


def _how_typed(request: Request, chamber: Chamber) -> str:
    if request.task is Task.SET_STOP:
        return "set"
    if request.task is Task.TRIM:
        return "trim"
    return "cut" if chamber.plug is None or request.task is Task.CUT else "reseat"
