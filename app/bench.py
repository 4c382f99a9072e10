"""The state of the walk: the confirmed records, what follows from them, and what passes without being kept."""
from __future__ import annotations

from dataclasses import dataclass

from acoustics.blow import Blow
from acoustics.chord import ChordReading
from acoustics.tuning import Closure, Policy, Priors
from app.events import Expecting, Request
from app.evidence import standing
from app.learned import Learned
from app.place import Place
from app.records import Record
from app.source import Notice
from app.whistle import Whistle


@dataclass(frozen=True)
class Asked:
    """What was asked for when a blow began."""

    expecting: Expecting
    request: Request
    closure: Closure | None


@dataclass(frozen=True)
class Sitting:
    """What is the same for all blows of one sitting, and told by the maker or the settings."""

    id: str
    units: str = "mm"
    blower: str = ""
    began_utc: str = ""


@dataclass(frozen=True)
class State:
    """The whole walk. Everything but the last block is a function of `records`."""

    whistle: Whistle
    sitting: Sitting
    policy: Policy
    priors: Priors
    records: tuple[Record, ...]  # confirmed, in the journal's order, tombstones left in
    place: Place
    request: Request
    asked: tuple[Asked, ...] = ()
    learned: Learned = Learned()
    # what passes: shown, never stored
    notice: Notice | None = None
    level: str = ""
    last_blow: Blow | None = None
    last_chord: ChordReading | None = None  # of that blow, where the whole whistle was asked for
    trouble: str = ""  # a code of `app.wording.TROUBLES`, or a sentence of the journal's
    now_s: float = 0.0
    now_utc: str = ""

    @property
    def standing(self) -> tuple[Record, ...]:
        return standing(self.records)
