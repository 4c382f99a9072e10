"""From the place to the one thing asked of the maker now: a `Request`, with lengths as the calipers can show them.

A request's depth is the rounded one that the maker reads, so that "done" means just what was shown.
"""
from __future__ import annotations

import math
from dataclasses import replace

from acoustics.tuning import Action, Advice, Closure, Stop, Story, Why
from acoustics.units import MM_PER_INCH
from app.chamber import Chamber, first_blows_wanted, wants_new_seating
from app.chord_stage import chord_request
from app.events import Request, Route, Task
from app.glue_stage import glue_request
from app.place import MOST_FIRST_BLOWS, Place
from app.view import Stage
from app.warmth import COLD

MM_STEP = 0.1  # calipers at the bench
INCH_STEP_MM = MM_PER_INCH / 64
SLUG_SHIFTS_MM = (-3, -1, 1, 0)  # of the slug's marks from where the face is thought to belong, one blow each
OVERBLOWS_ABOVE_SEMITONES = 5.0  # above its full-length note a chamber is first read by slug, near its target


def ask(place: Place, units: str) -> Request:
    """What to ask for at this place; the id is left 0 for `app.workflow` to give."""
    if place.chord_asks:
        return chord_request(place.chord, place.chambers)
    if place.glue_asks:
        return glue_request(place.glue, place.chambers)
    wanted = _of_chamber(place, units)
    lowest = next(iter(place.chambers.values()))
    asks_blow = wanted.task in (Task.BLOW, Task.RESEAT) and place.stage is not Stage.VOICE
    if asks_blow and wanted.letter != lowest.letter and place.warmth.cold and lowest.plug is not None:
        return Request(0, Task.BLOW, lowest.letter, Stop.PLUG, lowest.plug.depth_mm, text=COLD)
    return wanted


def _of_chamber(place: Place, units: str) -> Request:
    chamber = place.chamber
    match place.stage:
        case Stage.VOICE:
            return _voice(place, chamber)
        case Stage.FIRST_BLOW:
            return _first_blow(place, chamber)
        case Stage.CUT:
            return _cut(place, units)
        case Stage.TRIM:
            return _trim(place, chamber, units)
    return Request(0, Task.NOTHING, place.letter)


def step_mm(units: str) -> float:
    return INCH_STEP_MM if units == "inch" else MM_STEP


def depth_up(depth_mm: float, units: str) -> float:
    """The next depth on the scale that leaves at least this much plug: a length left is rounded up."""
    step = step_mm(units)
    return round(math.ceil(depth_mm / step - 1e-9) * step, 4)


def settled(advice: Advice, units: str) -> bool:
    """The face may stay: the advice says so, or what it would take off is less than one step of the scale."""
    if advice.action is Action.LEAVE:
        return True
    small = advice.action in (Action.TRIM, Action.PUSH_IN, Action.DRAW_OUT)
    return small and _moved(advice, units) is None


def first_stop_for(place: Place) -> Stop:
    """Finger, scrap or slug: as chosen, but never a full-length blow that would jump to its twelfth."""
    if place.first_stop is not Stop.SLUG and _wants_short_bore(place):
        return Stop.SLUG
    return place.first_stop


def _wants_short_bore(place: Place) -> bool:
    planned = next(c for c in place.plan.chambers if c.letter == place.letter)
    believed = next(c for c in place.belief.chambers if c.letter == place.letter)
    if believed.target_depth_mm is None:
        return False
    full_mm = planned.bore_length_mm + believed.window_mm
    spoken_mm = full_mm - believed.target_depth_mm
    return 12 * math.log2(full_mm / spoken_mm) > OVERBLOWS_ABOVE_SEMITONES


def _voice(place: Place, chamber: Chamber) -> Request:
    """A blow on whatever stops the bore now; its text changes with what is to be looked at."""
    face = chamber.plug or (chamber.slug if first_stop_for(place) is Stop.SLUG else None)
    if face is not None:
        wanted = Request(0, Task.BLOW, place.letter, Stop(face.stop), face.depth_mm)
    else:
        wanted = _first_blow(place, chamber)
    if wanted.task is Task.SET_STOP:
        return wanted
    return replace(wanted, task=Task.BLOW, text=place.speaking[place.letter].code)


def _first_blow(place: Place, chamber: Chamber) -> Request:
    stop = first_stop_for(place)
    if stop is not Stop.SLUG:
        task = Task.RESEAT if wants_new_seating(chamber.first) else Task.BLOW
        return Request(0, task, place.letter, stop, 0.0)
    target_mm = place.advice[place.letter].target_depth_mm
    if target_mm is None:
        return Request(0, Task.BLOW, place.letter, Stop.FINGER, 0.0)
    if chamber.slug is None or chamber.here:
        return Request(0, Task.SET_STOP, place.letter, stop, _next_mark_mm(target_mm, chamber))
    return Request(0, Task.BLOW, place.letter, stop, chamber.slug.depth_mm)


def _next_mark_mm(target_mm: float, chamber: Chamber) -> float:
    """A whole millimetre: first a shallow one, since the guess may be off, then about where the face belongs."""
    n_blows = sum(blow.stop == Stop.SLUG for blow in chamber.first)
    mark_mm = max(round(target_mm) + SLUG_SHIFTS_MM[n_blows % len(SLUG_SHIFTS_MM)], 1)
    same = chamber.slug is not None and mark_mm == chamber.slug.depth_mm
    return float(mark_mm + 1 if same else mark_mm)


def _cut(place: Place, units: str) -> Request:
    advice = place.advice[place.letter]
    if advice.target_depth_mm is None or advice.action is Action.BORE_TOO_SHORT:
        return Request(0, Task.NOTHING, place.letter, text=Action.BORE_TOO_SHORT)
    if advice.action is Action.BLOW_AGAIN:
        return _first_blow(place, place.chamber)
    depth_mm = advice.stop_at_depth_mm if advice.action is Action.CUT else None
    if depth_mm is None:  # a new plug in place of one that is in: long by two standard deviations
        depth_mm = advice.target_depth_mm + 2 * (advice.uncertainty_mm or 1.0)
    return Request(0, Task.CUT, place.letter, Stop.PLUG, depth_up(depth_mm, units), text=place.route)


def _trim(place: Place, chamber: Chamber, units: str) -> Request:
    advice = place.advice[place.letter]
    face = chamber.face
    if face is None:
        return _cut(place, units)
    blow = Request(0, Task.BLOW, place.letter, Stop.PLUG, face.depth_mm)
    if asks_finger(advice):
        return replace(blow, covered=True)
    if advice.action is Action.BLOW_AGAIN:
        return Request(0, Task.RESEAT, place.letter, Stop.PLUG, face.depth_mm) if _reseats(advice, place) else blow
    if advice.action is Action.BORE_TOO_SHORT:
        return Request(0, Task.NOTHING, place.letter, text=Action.BORE_TOO_SHORT)
    if settled(advice, units):
        sliding = place.route is Route.SLIDE and not chamber.marked
        return Request(0, Task.MARK, place.letter, Stop.PLUG, face.depth_mm) if sliding else blow
    if advice.action is Action.SEAL_LEAK:
        return Request(0, Task.REPAIR, place.letter, Stop.PLUG, face.depth_mm, text="seal")
    moved = _moved(advice, units)
    if moved is None:
        return blow
    depth_mm, amount_mm = moved
    if advice.action is Action.ADD_DISC:
        return Request(0, Task.REPAIR, place.letter, Stop.PLUG, depth_mm, amount_mm, text="disc")
    task = Task.TRIM if advice.action is Action.TRIM else Task.SLIDE
    return Request(0, task, place.letter, Stop.PLUG, depth_mm, amount_mm)


def asks_finger(advice: Advice) -> bool:
    """The check that tells a leak: under a finger over the plug it is shut, and the note falls."""
    return (advice.action, advice.why, advice.story) == (Action.BLOW_AGAIN, Why.SUSPECT, Story.LEAK)


def _reseats(advice: Advice, place: Place) -> bool:
    return advice.why is Why.RESEAT_FIRST and place.route is Route.TRIM


def _moved(advice: Advice, units: str) -> tuple[float, float] | None:
    """(depth afterwards, signed amount inwards or trimmed off), both on the scale; None below one step."""
    if advice.stop_at_depth_mm is None or advice.depth_mm is None:
        return None
    step = step_mm(units)
    if advice.action is Action.TRIM:
        depth_mm = depth_up(advice.stop_at_depth_mm, units)
        amount_mm = advice.depth_mm - depth_mm
        return (depth_mm, round(amount_mm, 4)) if amount_mm > 0.5 * step else None
    amount_mm = round(round((advice.stop_at_depth_mm - advice.depth_mm) / step) * step, 4)
    return (round(advice.depth_mm + amount_mm, 4), amount_mm) if abs(amount_mm) >= 0.9 * step else None


def first_reading_wants_more(place: Place) -> bool:
    """A whole first reading may still be too loose to cut by; six are taken as they are."""
    first = place.chamber.first
    is_whole = first_blows_wanted(first) <= len(first) < MOST_FIRST_BLOWS
    return is_whole and place.advice[place.letter].action is Action.BLOW_AGAIN


def closure_of(request: Request, place: Place) -> Closure | None:
    """The face that a blow answering this request is on; None when nobody can know."""
    if request.letter is None or request.task in (Task.CUT, Task.SET_STOP, Task.CHORD, Task.NOTHING, Task.REST):
        return None
    chamber = place.chambers[request.letter]
    if request.stop in (Stop.PLUG, Stop.SLUG) and chamber.face is not None:
        face = chamber.face
        return Closure(face.id, Stop(face.stop), face.depth_mm, face.depth_sd_mm)
    stop = request.stop or Stop.FINGER
    return Closure(f"{request.letter}:{stop}:{chamber.epoch}", stop, 0.0, 0.0)
