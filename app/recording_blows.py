"""One blow as the journal keeps it: what was asked when it began, what was heard, and which set it belongs to."""
from __future__ import annotations

from app.bench import Asked, State
from app.events import Condition, Heard, Task
from app.place import SET_GAP_S
from app.records import BlowTaken, PlugSet, Record, StepTaken

READER_VERSION = "1"  # goes up when the same sound would be read otherwise
MODEL_VERSION = "1"  # goes up when the same readings would be judged otherwise


def blow_record(state: State, asked: Asked, event: Heard, warm_up: bool, in_doubt: bool) -> BlowTaken:
    """The record of one blow. In doubt which face it was on, its closure is left empty and it teaches nothing."""
    blow, where, closure = event.blow, state.place, None if in_doubt else asked.closure
    set_id, seating = _set_and_seating(state, asked, event.at_s)
    face = where.chambers[asked.expecting.letter].face
    measured = isinstance(face, PlugSet) and closure is not None and closure.id == face.id and face.depth_measured
    return BlowTaken(
        id="", at_utc="", whistle_id=state.whistle.id, letter=asked.expecting.letter, stop=asked.expecting.stop.value,
        closure_id=closure.id if closure else "", depth_mm=closure.depth_mm if closure else 0.0,
        depth_sd_mm=closure.depth_sd_mm if closure else 0.0, depth_measured=measured,
        sitting_id=state.sitting.id, set_id=set_id, seating=seating,
        voicing_epoch=where.chambers[asked.expecting.letter].epoch,
        neighbours_shut=Condition.NEIGHBOURS_SHUT in where.conditions,
        mouthpiece_on=Condition.MOUTHPIECE_ON in where.conditions, cap_on=Condition.CAP_ON in where.conditions,
        blower=state.sitting.blower,
        temperature_c=where.temperature_c, relative_humidity=None, at_s=event.at_s,
        verdict=blow.verdict.value, usable=blow.usable, warm_up=warm_up,
        frequency_hz=blow.frequency_hz, heard_hz=blow.heard_hz, standard_error_cents=blow.standard_error_cents,
        spread_cents=blow.spread_cents, level_dbfs=blow.level_dbfs, breath_db=blow.breath_db,
        attack_ms=blow.attack_ms, findings=",".join(f.value for f in blow.findings),
        duration_s=blow.end_s - blow.start_s, lost_frames=event.lost_frames, sound_file=event.sound_file,
        reader_version=READER_VERSION, model_version=MODEL_VERSION, covered=asked.request.covered,
    )


def _set_and_seating(state: State, asked: Asked, at_s: float) -> tuple[str, int]:
    """Blows on one face within three minutes are one set; answering "lift and reseat" begins a new seating in it."""
    mine = [r for r in state.standing if isinstance(r, BlowTaken) and r.sitting_id == state.sitting.id]
    last = mine[-1] if mine else None
    closure_id = asked.closure.id if asked.closure else ""
    reseats = asked.request.task is Task.RESEAT
    if last is not None and _goes_on(last, asked.expecting.letter, closure_id, at_s, state.standing):
        return last.set_id, last.seating + (1 if reseats else 0)
    taken = {r.set_id for r in mine}
    return f"{state.sitting.id}/{len(taken) + 1}", 1


def _goes_on(last: BlowTaken, letter: str, closure_id: str, at_s: float, standing: tuple[Record, ...]) -> bool:
    same = last.letter == letter and last.closure_id == closure_id and at_s - last.at_s <= SET_GAP_S
    since = standing[standing.index(last) + 1 :]
    return same and not any(isinstance(r, StepTaken) and r.step == "set" for r in since)
