"""The whistle document: the plan of one whistle, immutable, known by the hash of its bytes.

No reading and no plug cut is kept in it: those are facts, and facts belong to the journal.
"""
from __future__ import annotations

import hashlib
import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import msgspec

from app.body import Body, Stock
from app.errors import WorldError
from app.whistle_kinds import complaint
from app.whistle_limits import require_document, require_known_keys
from app.whole_file import reason_of

if TYPE_CHECKING:
    from acoustics.tuning import Plan

LETTERS = "ABCDEF"
PLAN_KEY = "plan"  # beside the document in the answer of `plan --json`: worked out from it, so passed over
UNSAID_OF_CHAMBER = {"windway_flat_mm": None, "drift_outward_mm": None, "drift_clockwise_mm": None}
MAX_DOCUMENT_BYTES = 1_000_000  # a whistle takes about two thousand


@dataclass(frozen=True)
class Air:
    """The air of the shop the plan was made for."""

    temperature_c: float = 20.0
    relative_humidity: float = 0.5  # 0 to 1
    pressure_pa: float = 101_325.0


@dataclass(frozen=True)
class Chamber:
    """One bore, its window and the note it shall speak."""

    letter: str
    bore_mm: float
    bore_length_mm: float  # fipple's inner face to the plug end of the body
    window_width_mm: float
    window_height_mm: float  # cut-up, along the bore
    target_hz: float
    note: str = ""  # as the maker calls it: "A5"
    windway_flat_mm: float | None = None  # of this fipple alone; None: the body's
    drift_outward_mm: float | None = None  # measured at the plug end after drilling, away from the body's axis
    drift_clockwise_mm: float | None = None  # and aside, clockwise; None: not measured


@dataclass(frozen=True)
class Whistle:
    """The plan of one whistle. Chambers are lettered from the lowest note, A first."""

    id: str  # UUID text
    name: str
    chambers: tuple[Chamber, ...]
    number: int | None = None  # pencilled on the body: 3 of 12
    of: int | None = None
    wood: str = ""
    caps: str = ""
    mouthpiece: str = ""
    a4_hz: float = 440.0
    air: Air = field(default_factory=Air)
    fipple_length_mm: float = 12.7
    wall_mm: float = 4.0
    lip_slope_deg: float = 30.0
    body: Body = field(default_factory=Body)
    stock: Stock = field(default_factory=Stock)
    format: Literal["whistlewright-whistle"] = "whistlewright-whistle"
    version: Literal[1] = 1

    def chamber(self, letter: str) -> Chamber:
        """The chamber of that letter; WorldError when the whistle has none."""
        for chamber in self.chambers:
            if chamber.letter == letter.upper():
                return chamber
        raise WorldError(f"{self.name} has no chamber {letter}: its chambers are {', '.join(self.letters)}.")

    @property
    def letters(self) -> tuple[str, ...]:
        return tuple(chamber.letter for chamber in self.chambers)


def load_whistle(path: Path) -> Whistle:
    """Read a whistle document; WorldError names the key, its value, the limit and the likely mistake."""
    try:
        with Path(path).open("rb") as file:
            data = file.read(MAX_DOCUMENT_BYTES + 1)
    except OSError as error:
        raise WorldError(f"The whistle document {path} could not be read: {reason_of(error)}.") from error
    if len(data) > MAX_DOCUMENT_BYTES:
        raise WorldError(f"{path} is over {MAX_DOCUMENT_BYTES // 1000} kB, too large for a whistle document.")
    return decode_whistle(data, str(path))


def decode_whistle(data: bytes | str, where: str) -> Whistle:
    """A whistle from the bytes of its document; `where` is how a sentence should call it."""
    try:
        raw = msgspec.json.decode(data)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise WorldError(f"{where} is not a whistle document: it is not JSON ({error}).") from error
    if not isinstance(raw, dict) or raw.get("format") != "whistlewright-whistle":
        raise WorldError(f'{where} is not a whistle document: its "format" is not "whistlewright-whistle".')
    if isinstance(raw.get("version"), int) and raw["version"] > 1:
        raise WorldError(f"{where} is a whistle document of version {raw['version']}; this program reads 1: update it.")
    raw = {key: value for key, value in raw.items() if key != PLAN_KEY}
    require_known_keys(raw, Whistle, where)
    try:
        whistle = msgspec.convert(raw, type=Whistle)
    except msgspec.ValidationError as error:
        raise WorldError(f"{where}: {complaint(error, raw)}.") from error
    return checked(whistle, where)


def checked(whistle: Whistle, where: str = "The whistle") -> Whistle:
    """The same whistle, or WorldError for the first value that no whistle can have."""
    require_document(whistle, where)
    return whistle


def dump_whistle(whistle: Whistle) -> bytes:
    """The document's bytes: equal whistles give equal bytes."""
    exact = msgspec.convert(msgspec.to_builtins(whistle), type=Whistle)  # 12 and 12.0 are one length
    keys = msgspec.to_builtins(exact)
    ordered = {"format": exact.format, "version": exact.version, **keys}
    for part, nothing_said in (("body", Body()), ("stock", Stock())):
        ordered[part] = _said(ordered.pop(part), msgspec.to_builtins(nothing_said))
        if not ordered[part]:
            del ordered[part]
    ordered["chambers"] = [_said(chamber, UNSAID_OF_CHAMBER) for chamber in ordered.pop("chambers")]
    return msgspec.json.format(msgspec.json.encode(ordered), indent=2) + b"\n"


def _said(part: dict[str, Any], unsaid: dict[str, Any]) -> dict[str, Any]:
    """Without the keys that say nothing, so that a document has the bytes it had before it could have them."""
    return {key: value for key, value in part.items() if key not in unsaid or value != unsaid[key]}


def revision(whistle: Whistle) -> str:
    """SHA-256 of the document's bytes, as hexadecimal text."""
    return hashlib.sha256(dump_whistle(whistle)).hexdigest()


def to_plan(whistle: Whistle) -> Plan:
    """What the tuning model needs to know of the whistle."""
    from acoustics.tuning import ChamberPlan, Plan

    chambers = tuple(
        ChamberPlan(c.letter, c.bore_mm, c.bore_length_mm, c.window_width_mm, c.window_height_mm, c.target_hz)
        for c in whistle.chambers
    )
    air = whistle.air
    return Plan(chambers, air.temperature_c, air.relative_humidity, air.pressure_pa)


def whistle_of(
    name: str, targets_hz: Sequence[float], notes: Sequence[str], *, bore_mm: float, bore_length_mm: float,
    window_width_mm: float, window_height_mm: float, a4_hz: float = 440.0,
) -> Whistle:
    """A new whistle of equal bores and windows, one for each target, lowest first."""
    chambers = tuple(
        Chamber(letter, float(bore_mm), float(bore_length_mm), float(window_width_mm), float(window_height_mm),
                round(target_hz, 3), note)
        for letter, target_hz, note in zip(LETTERS, targets_hz, notes, strict=False)
    )
    return checked(Whistle(id=str(uuid.uuid4()), name=name, chambers=chambers, a4_hz=float(a4_hz)))
