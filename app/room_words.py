"""The sentence of the bench in its short form, for the room view: read across the shop, so few letters to a line.

A line here is what belongs together; where it is too wide the room view breaks it, but never leaves one word alone.
The chamber's letter stands beside the words, so they do not repeat it. At a club evening the whistle's number stands
there instead: `turn_sentence` names the chamber, and tells nothing of what went wrong.
"""
from __future__ import annotations

from dataclasses import replace

from acoustics.remedies import Remedy, Symptom
from acoustics.speech import GOOD_BLOWS
from acoustics.tuning import Stop
from app.bench import State
from app.chord_stage import Word as Chord
from app.events import Request, Route, Task
from app.glue_compare import Moved, Why
from app.glue_remedies import size_text
from app.glue_stage import NEXT_DAY
from app.glue_stage import Word as Glue
from app.moments import clock_and_day
from app.remark import listed
from app.view import RoomLines, Stage, View
from app.voice_stage import Speaking
from app.warmth import COLD
from app.wording import amount_text, length_text, mark_text

WITH_STOP = {
    Stop.FINGER: "with a finger on its far end", Stop.FLAT: "with a scrap on its far end",
    Stop.SLUG: "with its slug in", Stop.PLUG: "with its plug in", Stop.CAP: "with the cap on",
}
STOP_ON = {Stop.FINGER: "finger on", Stop.FLAT: "scrap on", Stop.SLUG: "its slug in", Stop.PLUG: "its plug in",
           Stop.CAP: "the cap on"}
SAYS = {
    Symptom.SILENT: "has no note", Symptom.LEAKS: "may leak", Symptom.OVERBLOWS: "jumps up", Symptom.HISSY: "is hissy",
    Symptom.WAVERS: "it wavers", Symptom.CHIRPS: "chirps first", Symptom.SLOW: "is slow", Symptom.WEAKER: "is weaker",
    Symptom.BREATHIER: "is breathier",
}
LOOK_AT = {
    Remedy.BLOW_SOFTER: "blow softer", Remedy.BLOW_EVENLY: "blow evenly", Remedy.CLOSE_END: "close its far end",
    Remedy.RESEAT: "take its stop out and in", Remedy.PRESS_OVER_STOP: "press a finger over its stop",
    Remedy.SHORTER_BORE: "try it with the slug", Remedy.DRY_WINDWAY: "dry out its windway",
    Remedy.CLEAR_WINDWAY: "look into its windway", Remedy.LOOSE_FIPPLE: "is its fipple loose?",
    Remedy.SLIDE_FIPPLE: "is its fipple flush?", Remedy.SIGHT_LIP: "sight down at its lip",
    Remedy.SEAL_SIDES: "wax round its fipple", Remedy.SEAL_STOP: "seal round its stop",
    Remedy.MEASURE_FIT: "is its plug quite round?", Remedy.LOOK_FOR_SPLIT: "look for a split",
    Remedy.COMPARE_WAY_IN: "compare its way in", Remedy.COMPARE_FLATS: "compare its fipple's flat",
    Remedy.SHIM_WINDWAY: "try paper on its fipple", Remedy.NEW_FIPPLE: "try it with a new fipple",
    Remedy.EASE_FLAT: "ease its flat by a hair", Remedy.CHAMFER_EXIT: "break its exit edge",
    Remedy.PARE_LIP: "pare its lip by a hair", Remedy.LENGTHEN_WINDOW: "open up its window",
}
COUNT = {1: "once more", 2: "twice more"}
MOVED = {
    Why.LEAKS: "leaks now", Why.SHARP: "went sharp", Why.SILENT: "is silent", Why.APART: "They stand apart now",
}
# What is asked of anybody in the course of the work. Whatever is asked besides comes of something that went wrong.
SHOWN_TO_THE_ROOM = (
    Task.BLOW, Task.RESEAT, Task.CHORD, Task.SET_STOP, Task.CUT, Task.TRIM, Task.SLIDE, Task.MARK, Task.GLUE, Task.REST,
)


def with_room(state: State, view: View) -> View:
    """The same view with its sentence for the room."""
    return replace(view, room=room_lines(state))


def room_lines(state: State) -> RoomLines:
    """Letter and words. An empty letter: the whole whistle is meant."""
    place, request = state.place, state.request
    if place.glue_asks:
        return _glue(state)
    if place.chord_asks:
        return _chord(state)
    if place.stage is Stage.VOICE and request.task is not Task.SET_STOP:
        return RoomLines(place.letter, _voice(place.speaking[place.letter]))
    if place.stage in (Stage.VOICE, Stage.FIRST_BLOW, Stage.CUT, Stage.TRIM):
        return RoomLines(request.letter or place.letter, work(request, state.sitting.units, _slides(state)))
    return RoomLines("", _stage(place.stage, place.finished))


def _slides(state: State) -> bool:
    return state.place.route is Route.SLIDE


# ---- the work on one chamber ---------------------------------------------------------------------------------------
def work(request: Request, units: str, sliding: bool) -> tuple[str, ...]:
    """Beside the chamber's letter."""
    depth = length_text(request.depth_mm or 0.0, units)
    amount = amount_text(abs(request.amount_mm or 0.0), units)
    match request.task:
        case Task.BLOW if request.covered:
            return "Press a finger over its plug", "then blow it"
        case Task.BLOW if request.text == COLD:
            return "Blow it first", "it has cooled"
        case Task.BLOW:
            return "Blow it", WITH_STOP[request.stop or Stop.FINGER]
        case Task.RESEAT if request.stop in (Stop.FINGER, Stop.FLAT, None):
            return f"Lift {'scrap' if request.stop is Stop.FLAT else 'finger'}", "put it back", "then blow"
        case Task.RESEAT:
            return f"Take {'slug' if request.stop is Stop.SLUG else 'plug'}", "out and in", "then blow"
        case Task.SET_STOP:
            return "Push slug in", f"to {mark_text(request.depth_mm or 0.0, units)}"
        case Task.CUT if sliding:
            return "Push plug in", f"face at {depth}"
        case Task.CUT:
            return "Cut plug to", f"{depth}, in flush"
        case Task.TRIM:
            return f"Trim off {amount}", f"stop at {depth}"
        case Task.SLIDE:
            way = "Push in" if (request.amount_mm or 0.0) > 0.0 else "Draw out"
            return f"{way} {amount}", f"face at {depth}"
        case Task.MARK:
            return "It is right", "knife a line"
        case Task.REPAIR if request.text == "disc":
            return "Plug is short", f"add a disc of {amount}"
        case Task.REPAIR:
            return "Seal its plug", "then blow it"
        case Task.REST:
            return "Rest for", "a minute"
    return "Bore is too short", "for its note"


def _voice(speaking: Speaking) -> tuple[str, ...]:
    if speaking.main is not None and speaking.look_at is not None:
        return SAYS[speaking.main.symptom], LOOK_AT[speaking.look_at]
    return "Blow it", COUNT.get(max(1, GOOD_BLOWS - speaking.voice.n_good), "three times")


def _stage(stage: Stage, finished: bool) -> tuple[str, ...]:
    if stage is Stage.LAY_OUT:
        return ("Is this your whistle?",)
    return ("All on their note", "now the chord") if finished else ("Not all are on", "their note yet")


# ---- the whole chord -----------------------------------------------------------------------------------------------
def _chord(state: State) -> RoomLines:
    chord = state.place.chord
    who = listed(chord.letters) if chord.letters else ""
    match chord.word:
        case Chord.MOVE | Chord.MARK:
            return RoomLines(state.request.letter or "", work(state.request, state.sitting.units, sliding=False))
        case Chord.MISSING:
            return RoomLines("", (f"{who} did not speak", "look at its voice"))
        case Chord.TOO_NEAR:
            return RoomLines("", (f"{who} are too near", "blow each by itself"))
        case Chord.GOOD:
            return RoomLines("", ("The chord is good: stop", "next the glue"))
        case Chord.LEAVE:
            return RoomLines("", ("Leave the chord as it is", "next the glue"))
    return RoomLines("", ("Blow the whole chord", "once more" if chord.blows else "dry, cap on"))


# ---- the glue ------------------------------------------------------------------------------------------------------
def _glue(state: State) -> RoomLines:
    glue, letter = state.place.glue, state.place.glue.letter or ""
    match glue.word:
        case Glue.WHICH:
            return RoomLines("", ("Which glue?", "W water-based", "I instant", "E epoxy"))
        case Glue.SET:
            return RoomLines(letter, ("Glue it at its line", f"face at {_depth(state)}"))
        case Glue.OPEN_BLOW:
            return RoomLines(letter, ("Blow it once", "while its glue is open"))
        case Glue.PUT_BACK:
            way = "in" if (glue.off_mm or 0.0) > 0.0 else "out"
            size = size_text(glue.off_mm, state.sitting.units)
            return RoomLines(letter, (f"It went {way} {size}", "put it back"))
        case Glue.CURING:
            clock, day = clock_and_day(glue.due_utc, glue.now_utc)
            return RoomLines("", tuple(line for line in ("Lips off", f"until {clock}", day) if line))
        case Glue.CURED:
            return RoomLines("", ("Has the glue cured?", "space if so"))
        case Glue.ALONE:
            return RoomLines(letter, ("Blow it on its own", "hear a hiss?"))
        case Glue.CHORD:
            return RoomLines("", ("Blow the whole chord", "the next day" if glue.round == NEXT_DAY else "all glued"))
    return _after_glue(state)


def _depth(state: State) -> str:
    return length_text(state.request.depth_mm or 0.0, state.sitting.units)


def _after_glue(state: State) -> RoomLines:
    """What the glue did; and when to blow again, or where to read on."""
    glue = state.place.glue
    if glue.word is Glue.RESTING:
        clock, day = clock_and_day(glue.due_utc, glue.now_utc)
        then = ("blow again", day) if day else (f"blow at {clock}",)
    else:
        then = ("read it on the screen",) if glue.moved else ("it is done",)
    if glue.moved:
        first = glue.moved[0]
        return RoomLines("" if first.why is Why.APART else first.letter, (_moved(first, state.sitting.units), *then))
    if len(glue.columns) < 2:
        return RoomLines("", ("Not blown since the glue", *then))
    if glue.doubted:
        return RoomLines("", ("No plug moved far", *then))
    return RoomLines("", ("Not a plug has moved" if glue.columns[0].n_blows else "It is glued", *then))


def _moved(moved: Moved, units: str) -> str:
    if moved.why in MOVED:
        return MOVED[moved.why]
    return f"{'went in' if moved.why is Why.PUSHED_IN else 'came out'} {size_text(moved.shift_mm, units)}"


# ---- a turn at the club --------------------------------------------------------------------------------------------
def turn_sentence(state: State) -> tuple[str, ...]:
    """Beside the whistle's number: what is asked of the one on the bench, unless it tells of something gone wrong."""
    request, place = state.request, state.place
    if place.glue_asks and place.glue.finished:
        return ("It is done",)
    if place.done and place.stage is Stage.CHORD:
        return "Ready for", "its glue"
    in_glue = place.stage is Stage.GLUE
    if request.task not in SHOWN_TO_THE_ROOM or (in_glue and request.text in ("put_back", "alone")):
        return "Read it on", "the screen"
    return turn_work(request, state.sitting.units, _slides(state), in_glue)


def turn_work(request: Request, units: str, sliding: bool, in_glue: bool = False) -> tuple[str, ...]:
    """The same work as `work` tells, chamber named, no line of more than a dozen letters; amounts stand on the bench's
    own page."""
    letter, depth = request.letter or "", length_text(request.depth_mm or 0.0, units)
    match request.task:
        case Task.CHORD:
            return "Blow all", "at once"
        case Task.REST:
            return ("Let the", "glue set") if in_glue else ("Rest for", "a minute")
        case Task.GLUE:
            return f"Glue {letter}", "at its line"
        case Task.BLOW if request.covered:
            return "Finger on", f"plug {letter}", "then blow"
        case Task.BLOW:
            return f"Blow {letter}", STOP_ON[request.stop or Stop.FINGER]
        case Task.RESEAT if request.stop in (Stop.FINGER, Stop.FLAT, None):
            return "Lift it off", "and set it", f"blow {letter}"
        case Task.RESEAT:
            return f"Reseat {letter}", "then blow"
        case Task.SET_STOP:
            return f"Slug {letter} to", mark_text(request.depth_mm or 0.0, units)
        case Task.CUT if not sliding:
            return f"Cut {letter} to", depth
        case Task.TRIM:
            return f"Trim {letter} to", depth
        case Task.MARK:
            return f"Mark {letter} at", "its mouth"
    drawn = request.task is Task.SLIDE and (request.amount_mm or 0.0) < 0.0
    return (f"Draw {letter}", "out to", depth) if drawn else (f"Push {letter}", "in to", depth)
