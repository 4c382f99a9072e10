"""What the journal knows of a whistle, as far as a sheet has a place for it. What it does not know stays None."""
from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from acoustics.tuning import Policy, Priors
from acoustics.units import cents_between
from app.aimed import aimed
from app.chamber import Chamber
from app.events import GLUE_WORDS, Route
from app.evidence import blower_tag
from app.glue_compare import Alone, Column, compare
from app.glue_stage import BEFORE, GLUED, NEXT_DAY
from app.moments import MONTHS
from app.place import Place, place
from app.records import BlowTaken, ChordTaken, Record, StepTaken
from app.whistle import Whistle, to_plan


@dataclass(frozen=True)
class Read:
    """What a chamber spoke, all counted blows together."""

    frequency_hz: float
    deviation_cents: float  # from the note aimed at; positive is sharp
    n_blows: int
    stop: str


@dataclass(frozen=True)
class Together:
    """A chamber in blows of the whole whistle at one time."""

    heard: bool
    interval_cents: float | None  # off its interval to the lowest; None where either of them was silent


@dataclass(frozen=True)
class ChamberPast:
    letter: str
    first: Read | None = None  # before any plug
    plug: Read | None = None  # with the plug that is in it now
    interval_cents: float | None = None  # off its interval to the lowest chamber, in single blows; that one: None
    length_mm: float | None = None
    depth_mm: float | None = None
    measured: bool = False
    settled: bool = False  # the plug was accepted
    in_chord_cents: float | None = None  # off its interval, in dry blows of the whole whistle
    glued: Together | None = None  # the same after the glue; None while nothing was blown
    next_day: Together | None = None


@dataclass(frozen=True)
class Past:
    chambers: tuple[ChamberPast, ...]
    first_day: str = ""
    last_day: str = ""
    first_temperature_c: float | None = None
    last_temperature_c: float | None = None
    glue: str = ""
    glued_day: str = ""
    next_day_temperature_c: float | None = None
    glued_shift_cents: float | None = None  # of the whole whistle since its dry chord; positive is sharp
    next_day_shift_cents: float | None = None
    lowered_cents: float = 0.0  # the notes aimed at lie so far off the document's

    @property
    def finished(self) -> bool:
        """Every plug was accepted."""
        return all(chamber.settled for chamber in self.chambers)

    def chamber(self, letter: str) -> ChamberPast:
        return next(chamber for chamber in self.chambers if chamber.letter == letter)


def past_of(whistle: Whistle, records: Sequence[Record]) -> Past:
    """From the standing records, tombstones applied; none of them gives a past without a figure."""
    where = place(to_plan(whistle), records, Policy(), Priors(), untold=Route.TRIM)
    whistle, lowered_cents = aimed(whistle, records)
    blows = [r for r in records if isinstance(r, BlowTaken | ChordTaken)]
    airs = [r.temperature_c for r in blows if r.temperature_c is not None]
    return Past(
        tuple(_chamber(whistle, where, letter) for letter in whistle.letters),
        day_text(blows[0].at_utc) if blows else "", day_text(blows[-1].at_utc) if blows else "",
        airs[0] if airs else None, airs[-1] if airs else None, *_glue(where, records),
        _shift_cents(where, GLUED), _shift_cents(where, NEXT_DAY), lowered_cents,
    )


def _glue(where: Place, records: Sequence[Record]) -> tuple[str, str, float | None]:
    """Which glue, the day of the last plug, and the air when it was heard the next day."""
    days = [r.at_utc for r in records if isinstance(r, StepTaken) and r.step == "glued"]
    kind = GLUE_WORDS[where.glue.kind] if where.glue.kind is not None else ""
    late = _column(where, NEXT_DAY)
    return kind, day_text(days[-1]) if days and where.glue.glued else "", late.temperature_c if late else None


def _column(where: Place, name: str) -> Column | None:
    return next((each for each in where.glue.columns if each.name == name), None)


def _together(where: Place, name: str, letter: str) -> Together | None:
    column = _column(where, name)
    if column is None:
        return None
    return Together(column.note_cents(letter) is not None, column.interval_cents(letter, where.chord.home))


def _shift_cents(where: Place, name: str) -> float | None:
    """By the chambers that kept their places among each other."""
    before, column = _column(where, BEFORE), _column(where, name)
    if before is None or column is None or not before.n_blows:
        return None
    whole, _ = compare(before, column, where.glue.slopes, {letter: Alone() for letter in where.chambers})
    return whole.shift_cents if whole is not None else None


def day_text(at_utc: str) -> str:
    """The day where the maker is: 4 March 2026."""
    day = datetime.fromisoformat(at_utc).astimezone()
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _chamber(whistle: Whistle, where: Place, letter: str) -> ChamberPast:
    chamber, target_hz = where.chambers[letter], whistle.chamber(letter).target_hz
    face = chamber.plug
    lowest = where.chambers[whistle.letters[0]]
    with_plug = _read(chamber.here, target_hz) if face is not None else None
    home = _read(lowest.here, whistle.chambers[0].target_hz) if lowest.plug is not None else None
    off_cents = None
    if with_plug is not None and home is not None and chamber.letter != lowest.letter:
        off_cents = with_plug.deviation_cents - home.deviation_cents
    return ChamberPast(
        letter, _read(chamber.first, target_hz), with_plug, off_cents,
        None if face is None else face.length_mm, None if face is None else face.depth_mm,
        face is not None and face.depth_measured, _settled(chamber), _in_chord_cents(where, letter),
        _together(where, GLUED, letter), _together(where, NEXT_DAY, letter),
    )


def _read(blows: Sequence[BlowTaken], target_hz: float) -> Read | None:
    """Blows on the last face alone, since a slug at another depth speaks another note; and of whoever blew it last."""
    alike = [
        blow.frequency_hz for blow in blows
        if blow.frequency_hz is not None and blow.closure_id == blows[-1].closure_id
        and blower_tag(blow.blower) == blower_tag(blows[-1].blower)
    ]
    if not alike:
        return None
    mean_hz = statistics.fmean(alike)
    return Read(mean_hz, cents_between(mean_hz, target_hz), len(alike), blows[-1].stop)


def _settled(chamber: Chamber) -> bool:
    return chamber.plug is not None and (chamber.accepted is not None or chamber.left)


def _in_chord_cents(where: Place, letter: str) -> float | None:
    heard = [each for each in where.chord.chambers if each.letter == letter]
    return heard[0].interval_cents if heard else None
