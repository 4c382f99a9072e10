"""What the journal holds: append-only facts. The state of the bench is a pure replay of them.

Every record bears `id` (UUID text) and `at_utc` (ISO 8601 with offset). None is ever changed; `Voided` withdraws one.
"""
from __future__ import annotations

from dataclasses import dataclass

from acoustics import chord


@dataclass(frozen=True)
class WhistleFiled:
    """A revision of the whistle document was put on the bench."""

    id: str
    at_utc: str
    whistle_id: str
    revision: str  # sha256 of the document's bytes
    document_json: str


@dataclass(frozen=True)
class BlowTaken:
    """One blow that was heard while a chamber was asked for, usable or not."""

    id: str
    at_utc: str
    whistle_id: str
    letter: str
    stop: str  # acoustics.tuning.Stop
    closure_id: str
    depth_mm: float
    depth_sd_mm: float
    depth_measured: bool
    sitting_id: str
    set_id: str
    seating: int
    voicing_epoch: int
    neighbours_shut: bool
    mouthpiece_on: bool
    cap_on: bool
    blower: str  # a tag, may be empty
    temperature_c: float | None  # of the room
    relative_humidity: float | None
    at_s: float  # since the sitting began, by the source's clock
    verdict: str
    usable: bool
    warm_up: bool  # heard, not counted
    frequency_hz: float | None
    heard_hz: float | None
    standard_error_cents: float | None
    spread_cents: float | None
    level_dbfs: float | None
    breath_db: float | None
    attack_ms: float | None
    findings: str  # comma-separated codes
    duration_s: float
    lost_frames: int
    sound_file: str | None  # relative to the journal's folder
    reader_version: str
    model_version: str
    covered: bool = False  # with a finger pressed over the plug from outside: a leak beside it is shut


@dataclass(frozen=True)
class ChordTaken:
    """One blow of the whole whistle, usable or not: what each chamber said in it, under that chamber's letter.

    `a_heard` is a word of `acoustics.chord.Heard`; None where the blow was not read or there is no such chamber.
    """

    id: str
    at_utc: str
    whistle_id: str
    faces: str  # what closed each bore, lowest first: see `app.chord_stage.faces_of`
    sitting_id: str
    mouthpiece_on: bool
    cap_on: bool
    blower: str
    temperature_c: float | None
    at_s: float
    verdict: str
    usable: bool  # every chamber was looked for; some may be missing
    warm_up: bool
    duration_s: float
    lost_frames: int
    sound_file: str | None
    reader_version: str
    a_heard: str | None = None
    a_hz: float | None = None
    a_standard_error_cents: float | None = None
    a_level_db: float | None = None
    b_heard: str | None = None
    b_hz: float | None = None
    b_standard_error_cents: float | None = None
    b_level_db: float | None = None
    c_heard: str | None = None
    c_hz: float | None = None
    c_standard_error_cents: float | None = None
    c_level_db: float | None = None
    d_heard: str | None = None
    d_hz: float | None = None
    d_standard_error_cents: float | None = None
    d_level_db: float | None = None
    e_heard: str | None = None
    e_hz: float | None = None
    e_standard_error_cents: float | None = None
    e_level_db: float | None = None
    f_heard: str | None = None
    f_hz: float | None = None
    f_standard_error_cents: float | None = None
    f_level_db: float | None = None

    def voice(self, letter: str) -> chord.VoiceReading | None:
        """What was heard of one chamber; None when the blow was not read."""
        heard, *measured = (
            getattr(self, f"{letter.lower()}_{name}") for name in ("heard", "hz", "standard_error_cents", "level_db")
        )
        return None if heard is None else chord.VoiceReading(letter, *measured, chord.Heard(heard))


@dataclass(frozen=True)
class PlugSet:
    """A plug was cut, trimmed, pushed or drawn: from here on this is the face that stops the bore."""

    id: str  # also the closure id of what follows
    at_utc: str
    whistle_id: str
    letter: str
    stop: str
    how: str  # "cut", "trim", "push_in", "draw_out", "reseat", "add_disc", "taken_out"
    length_mm: float | None
    proud_mm: float
    recess_mm: float
    depth_mm: float  # length - proud + recess
    depth_measured: bool
    depth_sd_mm: float
    asked_mm: float | None  # amount the advice asked for
    said_by: str  # "key", "typed", "toots", "command"


@dataclass(frozen=True)
class VoiceChanged:
    """Window, lip or fipple of a chamber was changed: its earlier readings are set aside."""

    id: str
    at_utc: str
    whistle_id: str
    letter: str
    note: str


@dataclass(frozen=True)
class StepTaken:
    """A confirmed step of the walk: a stage entered, a chamber accepted, a knife line marked, the air told..."""

    id: str
    at_utc: str
    whistle_id: str
    step: str  # "stage", "accepted", "marked", "route", "stop", "air", "set", "reopened", ...
    letter: str | None
    text: str  # a word
    value: float | None


@dataclass(frozen=True)
class Voided:
    """A tombstone: the record `voids_id` no longer counts."""

    id: str
    at_utc: str
    whistle_id: str
    voids_id: str
    why: str


Record = WhistleFiled | BlowTaken | ChordTaken | PlugSet | VoiceChanged | StepTaken | Voided
