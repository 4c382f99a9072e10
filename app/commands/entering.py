"""Facts told on the command line, as records: what closed the bore, and the blows that were heard on it."""
from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass

from acoustics.blow import Blow, Verdict
from acoustics.tuning import Closure, Stop
from app.club import blower_of
from app.commands.arguments import StopAt
from app.commands.whistles import new_id, now_utc
from app.doing import LEAST_AIR_MM, MARK_SD_MM, MEASURED_SD_MM
from app.errors import WorldError
from app.evidence import closures, standing, voicing_epochs
from app.recording_blows import MODEL_VERSION, READER_VERSION
from app.records import BlowTaken, PlugSet, Record
from app.whistle import Whistle

SAME_DEPTH_MM = 0.005  # two typed depths nearer than this are one


@dataclass(frozen=True)
class Setting:
    """What is the same for all blows told of in one command. `plug` is the record of a face that is new."""

    whistle: Whistle
    letter: str
    closure: Closure
    measured: bool
    epoch: int
    plug: PlugSet | None
    blower: str
    arguments: argparse.Namespace


def setting_of(
    whistle: Whistle, letter: str, stop_at: StopAt, records: Sequence[Record], arguments: argparse.Namespace,
    usual_blower: str,
) -> Setting:
    """The same for the file or the reading; who blew is told, or known as at the window."""
    if arguments.covered and stop_at.stop is not Stop.PLUG:
        raise WorldError(
            f"--covered is of a finger over a plug, and a {stop_at.stop} was named: write --stop plug, or plug:LENGTH.")
    closure, plug = set_face(whistle, letter, stop_at, records)
    faces = [record for record in (*records, plug) if isinstance(record, PlugSet) and record.id == closure.id]
    measured = any(face.depth_measured for face in faces)
    epoch = voicing_epochs(records).get(letter, 0)
    blower = arguments.blower
    if blower is None:
        blower = blower_of(whistle, standing(records), usual_blower)
    return Setting(whistle, letter, closure, measured, epoch, plug, blower, arguments)


def set_face(
    whistle: Whistle, letter: str, stop_at: StopAt, records: Sequence[Record], *,
    length_mm: float | None = None, proud_mm: float = 0.0, recess_mm: float = 0.0, anew: bool = False,
) -> tuple[Closure, PlugSet | None]:
    """The face that closes the bore, and the record that sets it; no record when it is in the bore already."""
    present = closures(records).get(letter)
    stop = stop_at.stop
    if stop not in (Stop.SLUG, Stop.PLUG):
        epoch = voicing_epochs(records).get(letter, 0)
        return Closure(f"{letter}:{stop}:{epoch}", stop, 0.0, 0.0), None  # named as the walk names it
    if stop_at.depth_mm is None:
        if present is None or present.stop is not stop:
            raise WorldError(f"The journal knows no {stop} in {whistle.name}'s chamber {letter}: write {stop}:LENGTH.")
        return present, None
    depth_mm = stop_at.depth_mm
    same = present is not None and present.stop is stop and abs(present.depth_mm - depth_mm) < SAME_DEPTH_MM
    if present is not None and same and not anew:
        return present, None
    _require_depth(whistle, letter, stop, depth_mm)
    plug = PlugSet(
        new_id(), now_utc(), whistle.id, letter, stop.value, _how(stop, depth_mm, present),
        depth_mm if length_mm is None else length_mm, proud_mm, recess_mm, depth_mm, True,
        MEASURED_SD_MM if stop is Stop.PLUG else MARK_SD_MM, None, "command",
    )
    return Closure(plug.id, stop, plug.depth_mm, plug.depth_sd_mm), plug


def _how(stop: Stop, depth_mm: float, present: Closure | None) -> str:
    if stop is Stop.SLUG:
        return "set"
    trimmed = present is not None and present.stop is Stop.PLUG and depth_mm < present.depth_mm
    return "trim" if trimmed else "cut"


def _require_depth(whistle: Whistle, letter: str, stop: Stop, depth_mm: float) -> None:
    most_mm = whistle.chamber(letter).bore_length_mm - LEAST_AIR_MM
    if not 0.0 < depth_mm <= most_mm:
        raise WorldError(
            f"A {stop} {depth_mm:g} mm deep does not fit {whistle.name}'s chamber {letter}: from 0 to {most_mm:g} mm;"
            " is it the length of the air, or another chamber's?"
        )


def blow_records(setting: Setting, blows: Sequence[Blow], sitting_id: str, set_id: str) -> list[BlowTaken]:
    """One record for every blow, usable or not; the blows of one file are one set on one seating."""
    return [_blow_record(setting, blow, sitting_id, set_id) for blow in blows]


def typed_blow(frequency_hz: float, error_cents: float) -> Blow:
    """A reading taken elsewhere: all that is known of the blow is its pitch."""
    return Blow(0.0, 0.0, Verdict.STEADY, True, frequency_hz, frequency_hz, error_cents, None, None, None, None)


def _blow_record(setting: Setting, blow: Blow, sitting_id: str, set_id: str) -> BlowTaken:
    told, closure = setting.arguments, setting.closure
    return BlowTaken(
        id=new_id(), at_utc=now_utc(), whistle_id=setting.whistle.id, letter=setting.letter,
        stop=closure.stop.value, closure_id=closure.id, depth_mm=closure.depth_mm, depth_sd_mm=closure.depth_sd_mm,
        depth_measured=setting.measured, sitting_id=sitting_id, set_id=set_id, seating=1,
        voicing_epoch=setting.epoch, neighbours_shut=not told.neighbours_open,
        mouthpiece_on=not told.mouthpiece_off, cap_on=closure.stop is Stop.CAP, blower=setting.blower,
        temperature_c=told.temperature, relative_humidity=None, at_s=blow.end_s,
        verdict=blow.verdict.value, usable=blow.usable, warm_up=False, frequency_hz=blow.frequency_hz,
        heard_hz=blow.heard_hz, standard_error_cents=blow.standard_error_cents, spread_cents=blow.spread_cents,
        level_dbfs=blow.level_dbfs, breath_db=blow.breath_db, attack_ms=blow.attack_ms,
        findings=",".join(finding.value for finding in blow.findings), duration_s=blow.end_s - blow.start_s,
        lost_frames=0, sound_file=None, reader_version=READER_VERSION, model_version=MODEL_VERSION,
        covered=told.covered,
    )
