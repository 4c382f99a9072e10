"""A whistle of six chambers with many readings in its journal: made by the invented world, not by the model asked."""
from __future__ import annotations

import numpy as np

from app.invented import HiddenWhistle, invent_whistle
from app.practice import told_whistle
from app.records import BlowTaken, PlugSet, Record
from app.whistle import Whistle

SIX_STEPS = (0, 2, 4, 5, 7, 9)  # semitones over the lowest
AT_UTC = "2026-11-25T10:00:00+00:00"
BLOW_SD_CENTS = 3.5
CUTS_MM = (3.0, 1.5, 0.5)  # too long, plug after plug


def six_chambers() -> tuple[HiddenWhistle, Whistle]:
    hidden = invent_whistle(np.random.default_rng(6), lowest_hz=587.33, steps=SIX_STEPS)
    return hidden, told_whistle(hidden)


def records_of(hidden: HiddenWhistle, whistle: Whistle, n_readings: int) -> list[Record]:
    """Finger blows, then blows on three plugs for each chamber, until there are so many."""
    rng = np.random.default_rng(7)
    rounds = 1 + len(CUTS_MM)
    records: list[Record] = []
    for turn in range(rounds):
        for place, chamber in enumerate(hidden.chambers):
            done, wanted = turn * len(hidden.chambers) + place, rounds * len(hidden.chambers)
            n_blows = n_readings * (done + 1) // wanted - n_readings * done // wanted
            plug = _plug(hidden, whistle, chamber.letter, CUTS_MM[turn - 1]) if turn else None
            records += [plug] if plug else []
            for number in range(n_blows):
                records.append(_blow(hidden, whistle, chamber.letter, plug, number, len(records), rng))
    return records


def _target_depth_mm(hidden: HiddenWhistle, letter: str) -> float:
    """Where the face belongs, by halving."""
    low_mm, high_mm = 0.0, hidden.chamber(letter).bore_length_mm - 20.0
    for _ in range(30):
        middle_mm = 0.5 * (low_mm + high_mm)
        too_flat = hidden.resonance_hz(letter, middle_mm, hidden.room_c) < hidden.chamber(letter).target_hz
        low_mm, high_mm = (middle_mm, high_mm) if too_flat else (low_mm, middle_mm)
    return low_mm


def _plug(hidden: HiddenWhistle, whistle: Whistle, letter: str, too_long_mm: float) -> PlugSet:
    depth_mm = round(_target_depth_mm(hidden, letter) + too_long_mm, 1)
    return PlugSet(
        f"{letter}-{too_long_mm}", AT_UTC, whistle.id, letter, "plug", "cut", depth_mm, 0.0, 0.0, depth_mm, True, 0.05,
        None, "typed",
    )


def _blow(
    hidden: HiddenWhistle, whistle: Whistle, letter: str, plug: PlugSet | None, number: int, place: int,
    rng: np.random.Generator,
) -> BlowTaken:
    face_mm = plug.depth_mm if plug else 0.6  # a finger bulges in
    scatter = 2.0 ** (rng.normal(0.0, BLOW_SD_CENTS) / 1200.0)
    heard_hz = hidden.resonance_hz(letter, face_mm, hidden.room_c + 1.5) * scatter
    return BlowTaken(
        id=f"blow-{place}", at_utc=AT_UTC, whistle_id=whistle.id, letter=letter, stop="plug" if plug else "finger",
        closure_id=plug.id if plug else f"{letter}:finger:0", depth_mm=plug.depth_mm if plug else 0.0,
        depth_sd_mm=plug.depth_sd_mm if plug else 0.0, depth_measured=plug is not None, sitting_id="bench",
        set_id=f"set-{place // 12}", seating=number // 2, voicing_epoch=0, neighbours_shut=True, mouthpiece_on=True,
        cap_on=False, blower="", temperature_c=hidden.room_c, relative_humidity=None, at_s=4.0 * place,
        verdict="steady", usable=True, warm_up=False, frequency_hz=heard_hz, heard_hz=heard_hz,
        standard_error_cents=0.05, spread_cents=1.5, level_dbfs=-24.0, breath_db=-20.0, attack_ms=40.0, findings="",
        duration_s=1.2, lost_frames=0, sound_file=None, reader_version="bench", model_version="bench",
    )
