"""Records for the journal's tests: one of each kind, and small ones by the dozen."""
from __future__ import annotations

import uuid
from dataclasses import replace

from app.records import BlowTaken, ChordTaken, PlugSet, Record, StepTaken, VoiceChanged, Voided, WhistleFiled

WHISTLE = "11111111-1111-4111-8111-111111111111"
OTHER_WHISTLE = "22222222-2222-4222-8222-222222222222"


def new_id() -> str:
    return str(uuid.uuid4())


def step(text: str, minute: int = 0, whistle_id: str = WHISTLE) -> StepTaken:
    return StepTaken(new_id(), f"2026-03-04T10:{minute:02d}:00+00:00", whistle_id, "stage", None, text, None)


def blow(letter: str = "A", **facts: object) -> BlowTaken:
    usual = BlowTaken(
        id=new_id(), at_utc="2026-03-04T10:00:00+00:00", whistle_id=WHISTLE, letter=letter, stop="finger",
        closure_id=f"{letter}:finger:0", depth_mm=0.0, depth_sd_mm=0.0, depth_measured=False, sitting_id="s",
        set_id="s/1", seating=1, voicing_epoch=0, neighbours_shut=True, mouthpiece_on=True, cap_on=False, blower="",
        temperature_c=19.5, relative_humidity=None, at_s=4.5, verdict="steady", usable=True, warm_up=False,
        frequency_hz=612.3, heard_hz=612.3, standard_error_cents=0.7, spread_cents=3.0, level_dbfs=-20.0,
        breath_db=-30.0, attack_ms=40.0, findings="", duration_s=1.1, lost_frames=0, sound_file=None,
        reader_version="1", model_version="1",
    )
    return replace(usual, **facts)


def plug(letter: str = "A", depth_mm: float = 30.0, **facts: object) -> PlugSet:
    usual = PlugSet(
        new_id(), "2026-03-04T10:01:00+00:00", WHISTLE, letter, "plug", "cut", depth_mm, 0.0, 0.0, depth_mm, True,
        0.05, None, "typed",
    )
    return replace(usual, **facts)


def chord(**facts: object) -> ChordTaken:
    """Two chambers, the upper one silent."""
    usual = ChordTaken(
        new_id(), "2026-03-04T10:01:30+00:00", WHISTLE, "x:0,y:1", "s", True, True, "", 19.5, 80.0, "several", True,
        False, 1.4, 0, None, "1", a_heard="heard", a_hz=698.4, a_standard_error_cents=0.2, a_level_db=0.0,
        b_heard="missing",
    )
    return replace(usual, **facts)


def voice(letter: str = "A") -> VoiceChanged:
    return VoiceChanged(new_id(), "2026-03-04T10:02:00+00:00", WHISTLE, letter, "lip recut")


def void(record: Record) -> Voided:
    return Voided(new_id(), "2026-03-04T10:03:00+00:00", record.whistle_id, record.id, "forgotten by the maker")


def one_of_each() -> tuple[Record, ...]:
    filed = WhistleFiled(new_id(), "2026-03-04T09:59:00+00:00", WHISTLE, "0" * 64, '{"name": "“Tidewick”"}')
    taken, cut = blow(), plug()
    return (filed, taken, cut, voice("B"), chord(), step("Trim"), void(taken))
