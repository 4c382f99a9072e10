"""What can happen on the bench and what the walk may ask for: the vocabulary of `app.workflow`."""
from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from acoustics.blow import Blow
from acoustics.chord import ChordReading, ExpectedVoice
from acoustics.tuning import Stop
from app.records import Record
from app.source import Notice
from app.view import Stage


# ---- what the walk asks of the maker: the window shows it, the invented maker answers it -------------------------
class Task(StrEnum):
    BLOW = "blow"  # blow chamber `letter`, closed by `stop` at `depth_mm`
    CHORD = "chord"  # blow all chambers in one breath, through the mouthpiece
    RESEAT = "reseat"  # lift the finger or reseat the plug, then blow again (the next blow answers it)
    SET_STOP = "set_stop"  # put the slug at `depth_mm` (answered by done)
    CUT = "cut"  # cut a plug so that its face lies at `depth_mm`, put it in (answered by done)
    TRIM = "trim"  # take `amount_mm` off, face ends at `depth_mm` (answered by done)
    SLIDE = "slide"  # push in (amount > 0) or draw out (amount < 0) to `depth_mm` (answered by done)
    MARK = "mark"  # knife a line at the bore's mouth (answered by done)
    REPAIR = "repair"  # disc, seal: see `text` (answered by done)
    GLUE = "glue"  # glue plug `letter` at its line; `text` "put_back": back to it, while the glue is open (done)
    REST = "rest"  # wait; the walk goes on by itself
    NOTHING = "nothing"


@dataclass(frozen=True)
class Request:
    id: int  # new whenever anything below changes
    task: Task
    letter: str | None = None
    stop: Stop | None = None
    depth_mm: float | None = None
    amount_mm: float | None = None
    text: str = ""
    covered: bool = False  # of a blow: with a finger pressed over the plug


@dataclass(frozen=True)
class Expecting:
    """Handed to the listener; every blow bears the id held at its onset."""

    id: int
    whistle_id: str
    letter: str
    stop: Stop
    range_hz: tuple[float, float] | None
    voices: tuple[ExpectedVoice, ...] = ()  # all chambers, where one blow of the whole whistle is to be read


# ---- events: everything that can happen --------------------------------------------------------------------------
@dataclass(frozen=True)
class Heard:
    blow: Blow
    expecting_id: int
    at_s: float  # source's clock, end of the blow
    lost_frames: int = 0
    sound_file: str | None = None  # where the listener is writing the blow's sound
    chord: ChordReading | None = None  # of a blow of the whole whistle that could be read


@dataclass(frozen=True)
class Tooted:
    expecting_id: int
    at_s: float


@dataclass(frozen=True)
class Noticed:
    notice: Notice


class Key(StrEnum):
    DONE = "done"  # space: I have done it
    FORGET = "forget"  # backspace: forget the last blow (or the last "done")
    BACK = "back"  # escape: one stage back
    VOICE = "voice"  # I changed the voice of this chamber
    NEXT = "next"  # leave this chamber as it is, go on
    NEW_SET = "new_set"  # the microphone or the maker moved: begin a new set


@dataclass(frozen=True)
class Pressed:
    key: Key
    at_s: float = 0.0


@dataclass(frozen=True)
class Typed:
    """A length or depth off the calipers, mm."""

    length_mm: float
    proud_mm: float = 0.0
    recess_mm: float = 0.0
    is_depth: bool = False
    shortest_mm: float | None = None  # longest and shortest measured: the face is not square


@dataclass(frozen=True)
class StageChosen:
    stage: Stage


@dataclass(frozen=True)
class ChamberChosen:
    letter: str


class Route(StrEnum):
    SLIDE = "slide"
    TRIM = "trim"


@dataclass(frozen=True)
class RouteChosen:
    route: Route


class GlueKind(StrEnum):
    WATER = "water"  # a plug may be blown while it is open
    INSTANT = "instant"  # no lips before it has cured
    EPOXY = "epoxy"  # the same


GLUE_WORDS = {GlueKind.WATER: "water-based", GlueKind.INSTANT: "instant", GlueKind.EPOXY: "epoxy"}
GLUE_KEYS = {"w": GlueKind.WATER, "i": GlueKind.INSTANT, "e": GlueKind.EPOXY}


@dataclass(frozen=True)
class GlueChosen:
    kind: GlueKind


@dataclass(frozen=True)
class StopChosen:
    stop: Stop


class Condition(StrEnum):
    """What is the same from blow to blow until the maker says otherwise; each reading is stamped with all of them."""

    MOUTHPIECE_ON = "mouthpiece_on"
    CAP_ON = "cap_on"
    NEIGHBOURS_SHUT = "neighbours_shut"


@dataclass(frozen=True)
class ConditionTold:
    condition: Condition
    holds: bool


@dataclass(frozen=True)
class AirTold:
    temperature_c: float | None
    relative_humidity: float | None = None


@dataclass(frozen=True)
class MemoryTold:
    """Whether what earlier whistles taught is to be used for this one."""

    used: bool


@dataclass(frozen=True)
class ChordLowered:
    """The maker takes the whole chord down, so that no plug is flat any more."""

    lowered_cents: float  # off the document's notes, as `app.rescues` offered it


@dataclass(frozen=True)
class Passed:
    """Time passes: sent about once a second by whoever holds the source's clock."""

    at_s: float
    at_utc: str = ""  # the computer's clock, where it is told


@dataclass(frozen=True)
class Troubled:
    text: str  # one plain sentence


@dataclass(frozen=True)
class LevelHeard:
    word: str  # "too_quiet", "right", "too_loud"


@dataclass(frozen=True)
class Confirmed:
    """The record is in the journal; it now bears its id and time."""

    record: Record


@dataclass(frozen=True)
class NotConfirmed:
    record: Record
    why: str  # one plain sentence


Event = (
    Heard | Tooted | Noticed | Pressed | Typed | StageChosen | ChamberChosen | RouteChosen | StopChosen
    | GlueChosen | ConditionTold | AirTold | MemoryTold | ChordLowered | Passed | LevelHeard | Troubled
    | Confirmed | NotConfirmed
)


# ---- effects: everything the walk wants done ---------------------------------------------------------------------
@dataclass(frozen=True)
class Keep:
    """Stamp this record with an id and the time, commit it, then send `Confirmed` or `NotConfirmed`."""

    record: Record


@dataclass(frozen=True)
class Listen:
    expecting: Expecting


@dataclass(frozen=True)
class Signal:
    """A sound for the maker: "taken", "done", "ask". Never while listening."""

    sound: str


@dataclass(frozen=True)
class Speak:
    text: str


Effect = Keep | Listen | Signal | Speak
