"""From the state of the walk to what the maker sees: `view` is pure, and equal states look the same."""
from __future__ import annotations

import math
import statistics
from collections.abc import Sequence

from acoustics.tuning import Action, Advice, ChamberPlan, Stop
from acoustics.units import MM_PER_INCH
from app import wording
from app.bench import State
from app.cautions import caution_for, standing_advice
from app.chamber import Chamber, Status, first_blows_wanted
from app.chord_words import with_chord
from app.events import Condition, Request, Route, Task
from app.glue_words import with_glue
from app.learned_words import learned_sentence
from app.place import held_back_cents, memory_aside
from app.records import BlowTaken
from app.rescue_words import KEY, TOO_SHORT, bench_text, down_text
from app.rescues import FlatWays, has_ways_out, ways_out
from app.room_words import with_room
from app.source import Hearing
from app.view import BoreEnd, Breath, ChamberRow, Closer, Face, Section, Stage, View
from app.voice_view import with_voice
from app.warm_words import warm_up_text, with_cold

SHOWN_BLOWS = 7
REST_AFTER_BLOWS = 5
REST_WINDOW_S = 40.0
ROD_ALLOWANCE_MM = 5.0  # a rod is sawn this much longer than its plug


def view(state: State) -> View:
    """Everything on the screen, finished."""
    where, request, units = state.place, state.request, state.sitting.units
    letter = where.letter
    advice = where.advice[letter]
    return with_room(state, with_glue(state, with_chord(state, with_cold(state, with_voice(state, View(
        title=state.whistle.name,
        subtitle=_subtitle(state),
        hearing=wording.hearing_text(state.notice),
        hearing_ok=state.notice is not None and state.notice.hearing is Hearing.HEARING,
        conditions=_conditions(state),
        stage=where.stage,
        stages_done=_stages_done(state),
        ends=tuple(_end(state, each) for each in where.chambers.values()),
        rows=tuple(_row(state, each) for each in where.chambers.values()),
        section=_section(state, letter),
        closer=_closer(state, advice, request),
        sentence=_sentence(state),
        held_back=wording.held_back_text(request, advice, units, _is_kept_for_chord(state, letter)),
        why=_why(state, advice),
        blows=_blows(state, advice),
        caution=caution_for(where.stage, request),
        asides=_asides(state, request, where.route),
        level=wording.LEVEL_WORDS.get(state.level, ""),
        keys=_keys(state),
        figures=_figures(state, advice),
        trouble=wording.trouble_text(state.trouble),
        may_type=request.task in (Task.CUT, Task.TRIM, Task.SLIDE, Task.SET_STOP, Task.BLOW, Task.RESEAT, Task.REPAIR),
    ))))))


def _keys(state: State) -> str:
    """The space bar is named only where it means something."""
    chamber, task = state.place.chamber, state.request.task
    idle = task in (Task.BLOW, Task.RESEAT) and state.place.stage is not Stage.VOICE and (
        chamber.plug is not None or not chamber.first)
    done = "" if idle else f"space: {wording.done_words(state.request)} · "
    if state.place.stage is Stage.LAY_OUT:
        return f"{done}{wording.LAY_OUT_KEYS}"
    ways = f" · {KEY}" if _ways_text(state) else ""
    leave = "go on without the finger" if state.request.covered else "go on"
    return f"{done}backspace: forget that blow · R: I changed the voice · N: {leave}{ways}"


def _ways_text(state: State) -> str:
    """Where wood has run out: that there are other ways than what the sentence asks."""
    where, units = state.place, state.sitting.units
    alone = where.stage in (Stage.CUT, Stage.TRIM) and not where.chord_asks
    if not (alone and has_ways_out(where, where.letter, units)):
        return ""
    if where.advice[where.letter].action is Action.BORE_TOO_SHORT:
        return TOO_SHORT  # what it can play takes a while to find, and is asked for on the sheet
    ways = ways_out(where, state.whistle, where.letter, units)
    return bench_text(ways, state.request.task is Task.REPAIR) if isinstance(ways, FlatWays) else ""


def _sentence(state: State) -> tuple[str, str]:
    where = state.place
    if where.stage in (Stage.FIRST_BLOW, Stage.CUT, Stage.TRIM):
        held_back_mm = where.advice[where.letter].held_back_mm or 0.0
        return wording.sentence(state.request, state.sitting.units, where.route is Route.SLIDE, held_back_mm)
    return wording.stage_sentence(where.stage, where.letter, where.finished)


def _subtitle(state: State) -> str:
    whistle = state.whistle
    number = f"no. {whistle.number}" + (f" of {whistle.of}" if whistle.of else "") if whistle.number else ""
    wood = ", ".join(word for word in (whistle.wood, whistle.caps and f"{whistle.caps} caps") if word)
    return " · ".join(part for part in (number, wood, " ".join(_note(state, x) for x in whistle.letters)) if part)


def _note(state: State, letter: str) -> str:
    chamber = state.whistle.chamber(letter)
    return chamber.note or f"{chamber.target_hz:.0f} Hz"


def _conditions(state: State) -> str:
    told = state.place.temperature_c
    air = f"shop {told:.1f} °C" if told is not None else "no thermometer: intervals only"
    holding = state.place.conditions
    parts = [air, "mouthpiece on" if Condition.MOUTHPIECE_ON in holding else "mouthpiece off"]
    parts += ["cap on"] if Condition.CAP_ON in holding else []
    parts += [] if Condition.NEIGHBOURS_SHUT in holding else ["neighbours open"]
    if state.place.home_cents is not None:
        parts.append(f"{state.whistle.letters[0]} is home")
    parts += [down_text(state.place.lowered_cents)] if state.place.lowered_cents else []
    return " · ".join(parts)


def _stages_done(state: State) -> tuple[Stage, ...]:
    statuses = [each.status for each in state.place.chambers.values()]
    done = [Stage.LAY_OUT]
    if all(s not in (Status.TO_VOICE, Status.TO_BLOW) for s in statuses):
        done += [Stage.VOICE, Stage.FIRST_BLOW]
    elif state.place.voiced.issuperset(state.place.chambers):
        done.append(Stage.VOICE)
    if all(s in (Status.TO_TRIM, Status.ON_NOTE, Status.GLUED) for s in statuses):
        done.append(Stage.CUT)
    if state.place.finished:
        done.append(Stage.TRIM)
    if state.place.done:
        done.append(Stage.CHORD)
    if state.place.glue_asks and state.place.glue.finished:
        done.append(Stage.GLUE)
    return tuple(done)


def _end(state: State, chamber: Chamber) -> BoreEnd:
    meant = chamber.letter == state.place.letter
    face = Face.PLUGGED if chamber.plug else Face.OPEN
    pressed = face is Face.OPEN and state.request.task in (Task.BLOW, Task.RESEAT, Task.SET_STOP)
    if meant and (pressed or state.request.covered):
        face = Face.STOPPED
    return BoreEnd(chamber.letter, face, meant)


def _row(state: State, chamber: Chamber) -> ChamberRow:
    letter, advice, units = chamber.letter, state.place.advice[chamber.letter], state.sitting.units
    figure = ""
    if chamber.plug is not None and state.place.stage in (Stage.CHORD, Stage.GLUE):
        figure = f"{wording.length_text(chamber.plug.depth_mm, units)} deep"
    elif chamber.status is Status.ON_NOTE:
        is_home = state.place.home_cents is not None and letter == state.whistle.letters[0]
        figure = "home" if is_home else "left as it is" if chamber.left else ""
    elif chamber.status is Status.TO_BLOW and chamber.first:
        figure = f"{len(chamber.first)} of {first_blows_wanted(chamber.first)}"
    elif chamber.status is Status.TO_TRIM:
        figure = wording.too_long_text(advice, units)
    elif chamber.status is Status.TO_CUT and advice.target_depth_mm is not None:
        rod_mm = math.ceil((advice.stop_at_depth_mm or advice.target_depth_mm) + ROD_ALLOWANCE_MM)
        figure = f"rod {wording.length_text(rod_mm, units) if units == 'inch' else f'{rod_mm} mm'}"
    return ChamberRow(letter, _note(state, letter), chamber.status.value, figure, letter == state.place.letter)


def _planned(state: State, letter: str) -> ChamberPlan:
    return next(c for c in state.place.plan.chambers if c.letter == letter)


def _section(state: State, letter: str) -> Section:
    planned, whistle, chamber = _planned(state, letter), state.whistle, state.place.chambers[letter]
    advice, request = state.place.advice[letter], state.request
    depth_mm = chamber.face.depth_mm if chamber.face is not None else None
    stop = chamber.face.stop if chamber.face is not None else "open"
    if chamber.face is None and request.stop in (Stop.FINGER, Stop.FLAT) and request.task is not Task.CUT:
        stop = request.stop.value
    air_mm = planned.bore_length_mm - (depth_mm or 0.0)
    known = advice.heard_hz is not None or bool(chamber.first)
    return Section(
        body_mm=whistle.fipple_length_mm + planned.bore_length_mm, fipple_mm=whistle.fipple_length_mm,
        bore_mm=planned.bore_mm, wall_mm=whistle.wall_mm, window_mm=planned.window_height_mm,
        lip_slope_deg=whistle.lip_slope_deg, stop=stop, depth_mm=depth_mm,
        tail=chamber.face is not None and (state.place.route is Route.SLIDE or stop == Stop.SLUG),
        goal_depth_mm=_goal_mm(advice) if known else None,
        air_text=f"air {wording.length_text(air_mm, state.sitting.units)}",
    )


def _goal_mm(advice: Advice) -> float | None:
    """Where this plug's face belongs, by its own blows; before those, by what the others taught."""
    too_long_mm = wording.too_long_mm(advice)
    if too_long_mm is None or advice.depth_mm is None:
        return advice.target_depth_mm
    return advice.depth_mm - too_long_mm


def _closer(state: State, advice: Advice, request: Request) -> Closer | None:
    too_long_mm = wording.too_long_mm(advice)
    if advice.depth_mm is None or too_long_mm is None:
        return None
    goal_mm = advice.depth_mm - too_long_mm
    stops = {Task.TRIM: "this cut stops here", Task.SLIDE: "move the face to here"}
    if request.task is Task.TRIM and request.depth_mm is not None and request.depth_mm <= goal_mm + 0.05:
        stops[Task.TRIM] = "this cut stops at its note"
    return Closer(
        face_depth_mm=advice.depth_mm, goal_depth_mm=goal_mm,
        stop_depth_mm=request.depth_mm if request.task in stops else None,
        ticks_depth_mm=advice.ticks_depth_mm, jaws_text=wording.too_long_text(advice, state.sitting.units),
        stop_text=stops.get(request.task, ""),
    )


def _is_kept_for_chord(state: State, letter: str) -> bool:
    letters = tuple(state.place.chambers)
    return letter != letters[0] and held_back_cents(state.place.route, letters) > 0.0


def _why(state: State, advice: Advice) -> str:
    if state.last_blow is not None and not state.last_blow.usable:
        return f"Last blow: {wording.blow_reason(state.last_blow)}."
    if state.request.task in (Task.BLOW, Task.RESEAT) and advice.heard_hz is None:
        if not state.place.chamber.plug and not state.place.chamber.first:
            return _before_first_blow(state)
        return "Tape the windows of the others, or they speak too." if not state.place.chamber.plug else ""
    if state.place.stage not in (Stage.FIRST_BLOW, Stage.CUT, Stage.TRIM):
        return ""
    told = wording.why_text(
        advice, state.request, _note(state, state.place.letter), state.sitting.units,
        state.place.route is Route.SLIDE,
    )
    return f"{told} {_ways_text(state)}".strip()


def _before_first_blow(state: State) -> str:
    if warming := warm_up_text(state):
        return f"{warming} Playing breath, about a second."
    return "Tape the windows of the others, or they speak too."


# ---- the blows panel -----------------------------------------------------------------------------------------------
def _blows(state: State, advice: Advice) -> Breath:
    chamber, request = state.place.chamber, state.request
    on_plug = chamber.plug is not None
    mine = [b for b in state.standing if isinstance(b, BlowTaken) and _belongs(b, chamber, state.sitting.id)]
    lines = [wording.blow_line(n, blow, mine) for n, blow in enumerate(mine, 1)][-SHOWN_BLOWS:]
    if request.task is Task.RESEAT:
        lines.append("lift and reseat the plug" if on_plug else "lift and set it again")
    counted = chamber.here if on_plug else chamber.first
    title = "Blows on this plug" if on_plug else f"Blows of chamber {chamber.letter}"
    return Breath(title, tuple(lines), _agreement(state, counted), _wish(advice, request))


def _belongs(blow: BlowTaken, chamber: Chamber, sitting_id: str) -> bool:
    if blow.letter != chamber.letter or blow.voicing_epoch != chamber.epoch:
        return False
    if chamber.plug is not None:
        return blow.closure_id in (chamber.plug.id, "") and blow.sitting_id == sitting_id
    return blow.stop != Stop.PLUG


def _agreement(state: State, counted: Sequence[BlowTaken]) -> str:
    """Said only of two seatings or more: blows on one seating agree falsely. A slug's marks are allowed for."""
    alike = [b for b in counted if b.frequency_hz and b.stop == counted[-1].stop]
    if len(alike) < 3 or len({(b.set_id, b.seating) for b in alike}) < 2:
        return ""
    planned = _planned(state, alike[0].letter)
    window_mm = next(c.window_mm for c in state.place.belief.chambers if c.letter == planned.letter)
    sounding_mm = [planned.bore_length_mm - b.depth_mm + window_mm for b in alike]
    # A quarter wave: f times L is one figure for all of them, and dL/L = df/f.
    spread = statistics.stdev(math.log(b.frequency_hz * each_mm) for b, each_mm in zip(alike, sounding_mm, strict=True))
    spread_mm = spread * sounding_mm[-1]
    units = state.sitting.units
    step_mm = MM_PER_INCH / 64 if units == "inch" else 0.1
    shown_mm = max(step_mm, math.ceil(spread_mm / step_mm) * step_mm)
    return f"they agree to {wording.amount_text(shown_mm + 1e-6, units)}"


def _wish(advice: Advice, request: Request) -> str:
    if advice.more_blows <= 0 or advice.action is Action.LEAVE:
        return ""
    if request.task in (Task.BLOW, Task.RESEAT):
        return wording.wish_text(advice)
    return f"{advice.more_blows} more would let the cut be bolder" if request.task is Task.TRIM else ""


def _asides(state: State, request: Request, route: Route) -> tuple[str, ...]:
    """Short standing advice of this step; a rest and a missing mouthpiece come first."""
    urgent = []
    blown = [b for b in state.standing if isinstance(b, BlowTaken) and b.sitting_id == state.sitting.id]
    if sum(1 for b in blown if b.at_s > state.now_s - REST_WINDOW_S) >= REST_AFTER_BLOWS:
        urgent.append("Rest a minute: wipe the windway, let your ears and breath recover.")
    settled_now = state.place.stage is Stage.TRIM and state.place.advice[state.place.letter].action is Action.LEAVE
    if settled_now and Condition.MOUTHPIECE_ON not in state.place.conditions:
        urgent.append("Put the mouthpiece on: the last reading wants it.")
    first_cut = not any(chamber.plug for chamber in state.place.chambers.values())
    return (*urgent, *standing_advice(request, route, first_cut), *_memory(state))


def _memory(state: State) -> tuple[str, ...]:
    """What earlier whistles taught, until this one has been heard."""
    heard = any(each.first or each.face is not None for each in state.place.chambers.values())
    if heard or memory_aside(state.standing):
        return ()
    told = learned_sentence(state.learned, state.sitting.units)
    return (told,) if told else ()


def _figures(state: State, advice: Advice) -> tuple[str, ...]:
    """Cents, hertz and milliseconds, one key away."""
    lines = [f"target {advice.target_hz:.2f} Hz"]
    if advice.deviation_cents is not None and advice.deviation_sd_cents is not None:
        digits = 0 if advice.deviation_sd_cents >= 1.0 else 1
        lines.append(
            f"{advice.deviation_cents:+.{digits}f} cents, standard deviation {advice.deviation_sd_cents:.{digits}f}"
        )
    blow = state.last_blow
    if blow is not None and blow.heard_hz is not None:
        lines.append(f"last blow {blow.heard_hz:.2f} Hz" + (
            f", spread {blow.spread_cents:.1f} cents" if blow.spread_cents is not None else ""))
        if blow.attack_ms is not None:
            lines.append(f"attack {blow.attack_ms:.0f} ms")
    lines.append(f"blow scatter {state.place.belief.blow_sd_cents:.1f} cents")
    return tuple(lines)
