"""What the journal holds: append-only facts. The state of the bench is a pure replay of them.

Every record bears `id` (UUID text) and `at_utc` (ISO 8601 with offset). None is ever changed; `Voided` withdraws one.
"""
from __future__ import annotations

from dataclasses import dataclass


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


Record = WhistleFiled | BlowTaken | PlugSet | VoiceChanged | StepTaken | Voided
