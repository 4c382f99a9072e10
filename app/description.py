"""A whistle as its maker describes it, field by field in the maker's own writing, made into a whistle document."""
from __future__ import annotations

import re
import uuid
from dataclasses import dataclass, field, replace

from acoustics.errors import NoSolutionError, OutOfRangeError
from acoustics.notes import Chord, chord_hz, nearest_note, note_hz
from acoustics.units import shift_hz
from app.body import Body, Stock
from app.chord_kin import chord_called
from app.errors import WorldError
from app.lengths import length_text, parse_length_mm
from app.whistle import LETTERS, Air, Chamber, Whistle, checked
from app.whistle_limits import CHAMBER_LIMITS, WHISTLE_LIMITS, Limit

OWN_NOTES = "own notes"
SAME_CENTS = 0.05
# At most two figures before the point: what lies a whole step away has a name of its own.
OFF_NOTE = re.compile(r"(?P<note>\D+\d)(?P<cents>[-+−]\d{1,2}([.,]\d+)?)(c|cents?)?", re.IGNORECASE)
SIZES = {  # the fields that each chamber may have of its own, and how a sentence calls them
    "bore_mm": "bore",
    "bore_length_mm": "bore length",
    "window_width_mm": "window width",
    "window_height_mm": "window height",
}
BODY_SIZES = {"fipple_length_mm": "fipple length", "wall_mm": "wall"}
LIMITS: dict[str, Limit] = CHAMBER_LIMITS | WHISTLE_LIMITS


class FieldRefusedError(WorldError):
    """One field cannot be used; `field` says which, with its letter when it belongs to one chamber: "bore_mm A"."""

    def __init__(self, field_name: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field_name


@dataclass(frozen=True)
class Drilled:
    """What a chamber may say beyond its sizes."""

    windway_flat_mm: float | None = None
    drift_outward_mm: float | None = None
    drift_clockwise_mm: float | None = None


@dataclass(frozen=True)
class Description:
    """What stands in the fields, word for word."""

    name: str = ""
    number: int | None = None
    of: int | None = None
    wood: str = ""
    caps: str = ""
    mouthpiece: str = ""
    n_chambers: int = 4
    sizes: dict[str, tuple[str, ...]] = field(default_factory=dict)  # one text for all, or one for each chamber
    body: dict[str, str] = field(default_factory=dict)
    chord: Chord | None = None  # None: own notes
    lowest_note: str = ""
    own_notes: str = ""
    temperature_c: float | None = None
    relative_humidity: float = 0.5
    pressure_pa: float = 101_325.0
    a4_hz: float = 440.0
    lip_slope_deg: float = 30.0
    whistle_id: str = ""  # of the document that is being described anew, else empty
    just: bool = False  # the chord in whole-number ratios in place of equal steps
    turned: Body = field(default_factory=Body)  # handed on as they are: no field of the form shows them yet
    stock: Stock = field(default_factory=Stock)
    drilled: tuple[Drilled, ...] = ()  # by chamber; those that are not there say nothing


def described(description: Description, units: str) -> Whistle:
    """The whistle that the fields describe; FieldRefusedError names the first field that cannot be used."""
    if not description.name.strip():
        raise FieldRefusedError("name", "The whistle has no name: give it one, or a number, to be called by.")
    notes_hz = notes_of(description)
    chambers = tuple(
        Chamber(letter, note=name, target_hz=round(target_hz, 3), **_sizes(description, index, letter, units),
                **vars(description.drilled[index] if index < len(description.drilled) else Drilled()))
        for index, (letter, (name, target_hz)) in enumerate(zip(LETTERS, notes_hz, strict=False))
    )
    body = {key: _length(key, name, description.body.get(key, ""), units) for key, name in BODY_SIZES.items()}
    air = Air(relative_humidity=description.relative_humidity, pressure_pa=description.pressure_pa)
    if description.temperature_c is not None:
        air = replace(air, temperature_c=description.temperature_c)
    return checked(Whistle(
        id=description.whistle_id or str(uuid.uuid4()), name=description.name.strip(), chambers=chambers,
        number=description.number, of=description.of, wood=description.wood.strip(), caps=description.caps.strip(),
        mouthpiece=description.mouthpiece.strip(), a4_hz=description.a4_hz, air=air,
        lip_slope_deg=description.lip_slope_deg, body=description.turned, stock=description.stock, **body,
    ))  # fmt: skip


def notes_of(description: Description) -> tuple[tuple[str, float], ...]:
    """Name and frequency of each chamber's note, lowest first."""
    if description.chord is None:
        return _own_notes(description)
    lowest_hz = _note_hz("lowest_note", description.lowest_note, description.a4_hz)
    try:
        notes_hz = chord_hz(description.chord, lowest_hz, description.just)
    except NoSolutionError as refusal:
        raise FieldRefusedError("chord", str(refusal)) from refusal
    return tuple((str(nearest_note(one_hz, description.a4_hz)), one_hz) for one_hz in notes_hz)


def description_of(whistle: Whistle, units: str) -> Description:
    """The fields as they would be filled in for a whistle that exists."""
    called = chord_called([chamber.target_hz for chamber in whistle.chambers], SAME_CENTS)
    chord, just = (called.chord, called.just) if called else (None, False)
    sizes = {key: tuple(length_text(getattr(c, key), units) for c in whistle.chambers) for key in SIZES}
    return Description(
        name=whistle.name, number=whistle.number, of=whistle.of, wood=whistle.wood, caps=whistle.caps,
        mouthpiece=whistle.mouthpiece, n_chambers=len(whistle.chambers),
        sizes={key: texts[:1] if len(set(texts)) == 1 else texts for key, texts in sizes.items()},
        body={key: length_text(getattr(whistle, key), units) for key in BODY_SIZES},
        chord=chord, lowest_note=_note_text(whistle.chambers[0], whistle.a4_hz) if chord else "",
        own_notes="" if chord else " ".join(_note_text(chamber, whistle.a4_hz) for chamber in whistle.chambers),
        temperature_c=whistle.air.temperature_c, relative_humidity=whistle.air.relative_humidity,
        pressure_pa=whistle.air.pressure_pa, a4_hz=whistle.a4_hz, lip_slope_deg=whistle.lip_slope_deg,
        whistle_id=whistle.id, just=just, turned=whistle.body, stock=whistle.stock,
        drilled=tuple(Drilled(c.windway_flat_mm, c.drift_outward_mm, c.drift_clockwise_mm) for c in whistle.chambers),
    )  # fmt: skip


def _sizes(description: Description, index: int, letter: str, units: str) -> dict[str, float]:
    lengths_mm = {}
    for key, name in SIZES.items():
        texts = description.sizes.get(key, ("",))
        own = len(texts) > 1
        text = texts[index] if own and index < len(texts) else texts[0]
        lengths_mm[key] = _length(f"{key} {letter}" if own else key, f"{letter}'s {name}" if own else name, text, units)
    if lengths_mm["window_width_mm"] > lengths_mm["bore_mm"]:
        raise FieldRefusedError(
            f"window_width_mm {letter}" if len(description.sizes.get("window_width_mm", ())) > 1 else "window_width_mm",
            f"The window width is {lengths_mm['window_width_mm']:g} mm, wider than its bore of "
            f"{lengths_mm['bore_mm']:g} mm: were width and height swapped?",
        )
    return lengths_mm


def _length(key: str, name: str, text: str, units: str) -> float:
    try:
        length_mm = parse_length_mm(text, units)
    except WorldError as refusal:
        raise FieldRefusedError(key, f"{name[:1].upper()}{name[1:]}: {refusal}") from refusal
    low_mm, high_mm, hint = LIMITS[key.split()[0]]
    if not low_mm <= length_mm <= high_mm:
        swapped = "was it typed in inches?" if length_mm < low_mm else "a lost decimal point, or the wrong unit?"
        hint = swapped if "inches" in hint else hint
        raise FieldRefusedError(
            key,
            f"{name[:1].upper()}{name[1:]} is {length_mm:.4g} mm; it must be from {low_mm:g} to {high_mm:g} mm: {hint}",
        )
    return length_mm


def _own_notes(description: Description) -> tuple[tuple[str, float], ...]:
    names = description.own_notes.replace(",", " ").split()
    if len(names) != description.n_chambers:
        raise FieldRefusedError(
            "own_notes",
            f"{len(names)} notes are named for {description.n_chambers} chambers: write one for each, "
            "such as F5 A5 C6 D6.",
        )
    notes = tuple((name, _note_hz("own_notes", name, description.a4_hz)) for name in names)
    for (lower, lower_hz), (higher, higher_hz) in zip(notes, notes[1:], strict=False):
        if lower_hz >= higher_hz:
            raise FieldRefusedError("own_notes", f"{higher} does not lie above {lower}: write the lowest note first.")
    return notes


def _note_hz(key: str, name: str, a4_hz: float) -> float:
    try:
        frequency_hz = float(name[:-2]) if name.lower().endswith("hz") else _off_note_hz(name, a4_hz)
    except (OutOfRangeError, ValueError):
        raise FieldRefusedError(
            key,
            f"“{name[:12]}” is not a note: write its letter, a sharp or flat, and its octave, such as F5, F#5 or Bb4.",
        ) from None
    low_hz, high_hz, hint = CHAMBER_LIMITS["target_hz"]
    if not low_hz <= frequency_hz <= high_hz:
        raise FieldRefusedError(
            key, f"{name} is {frequency_hz:.0f} Hz; a chamber's note is from {low_hz:g} to {high_hz:g} Hz: {hint}"
        )
    return frequency_hz


def _off_note_hz(name: str, a4_hz: float) -> float:
    """A note, or a note and how far off it: A5, A5+12, A5-14c."""
    match = OFF_NOTE.fullmatch(name.strip())
    if match is None:
        return note_hz(name, a4_hz)
    cents = float(match["cents"].replace("−", "-").replace(",", "."))
    return shift_hz(note_hz(match["note"], a4_hz), cents)


def _note_text(chamber: Chamber, a4_hz: float) -> str:
    """The note by name where the target is that note, else by its frequency."""
    note = nearest_note(chamber.target_hz, a4_hz)
    return str(note) if abs(note.deviation_cents) < SAME_CENTS else f"{chamber.target_hz:g}Hz"
