"""What the maker sees, as plain data: the window paints it, the terminal prints it, tests read it.

Words are finished here (made by `app.wording`); pictures are given in millimetres of the maker's own wood. Nothing in
a view needs another look-up, and two equal views look the same.
"""
from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Stage(StrEnum):
    LAY_OUT = "Lay out"
    VOICE = "Voice"
    FIRST_BLOW = "First blow"
    CUT = "Cut"
    TRIM = "Trim"
    CHORD = "Chord"
    GLUE = "Glue"


class Face(StrEnum):
    """What one bore shows at the plug end."""

    OPEN = "open"
    STOPPED = "stopped"  # finger, scrap or slug, now
    PLUGGED = "plugged"


@dataclass(frozen=True)
class BoreEnd:
    letter: str
    face: Face
    meant: bool  # bears the pencilled X and the arrow


@dataclass(frozen=True)
class ChamberRow:
    letter: str
    note: str  # "A5", or an interval once home is set
    state: str  # "to blow", "to trim", "on its note"...
    figure: str  # "1.2 mm long", "rod 74 mm", "home"
    meant: bool


@dataclass(frozen=True)
class Section:
    """The lengthwise cut through one bore, to scale. x in mm from the mouthpiece end of the body.

    fipple from 0 to `fipple_mm`; window from there, `window_mm` long, its lip sloping to the outside; plug from
    ``body_mm - depth_mm`` to `body_mm` (none when `depth_mm` is None or 0); waste between the present face and
    `goal_depth_mm` when the plug is too long.
    """

    body_mm: float
    fipple_mm: float
    bore_mm: float
    wall_mm: float
    window_mm: float
    lip_slope_deg: float
    stop: str  # "open", "finger", "flat", "slug", "plug"
    depth_mm: float | None
    tail: bool
    goal_depth_mm: float | None
    air_text: str  # "air 81.7 mm"


@dataclass(frozen=True)
class Closer:
    """The face twelve times closer. Depths in mm inside the plug end; deeper is further left on the screen."""

    face_depth_mm: float
    goal_depth_mm: float
    stop_depth_mm: float | None  # where this cut or push stops
    ticks_depth_mm: tuple[float, ...]  # for each blow, where it says the face belongs
    jaws_text: str  # "1.2 mm long", "0.8 mm short"
    stop_text: str  # "this cut stops here"


@dataclass(frozen=True)
class Breath:
    """What the blows panel says."""

    title: str  # "Blows on this plug"
    lines: tuple[str, ...]  # "1 steady", "lift and reseat the plug"
    agreement: str  # "they agree to 0.1 mm"
    wish: str  # "2 more would let you cut 0.9"


@dataclass(frozen=True)
class TableRow:
    """One row of a table to be read from two metres; the first row of a table holds its headings."""

    cells: tuple[str, ...]
    meant: bool = False


@dataclass(frozen=True)
class Caution:
    text: str
    authority: str


@dataclass(frozen=True)
class RoomLines:
    """The sentence in its short form, for the room view: the chamber's letter stands beside it, "" where none does."""

    letter: str
    lines: tuple[str, ...]  # what belongs together in a line


@dataclass(frozen=True)
class View:
    title: str
    subtitle: str
    hearing: str  # "hearing you", "microphone gone: plug it in again"
    hearing_ok: bool
    conditions: str  # "shop 19.5 °C · room quiet · mouthpiece on"
    stage: Stage
    stages_done: tuple[Stage, ...]
    ends: tuple[BoreEnd, ...]  # in the order of the letters
    rows: tuple[ChamberRow, ...]
    section: Section | None
    closer: Closer | None
    sentence: tuple[str, str]  # two lines of equal size
    held_back: str  # muted: "1/64 in and a bit; leave a full 2 17/64 in. The last 0.5 mm waits..."
    why: str  # "B speaks sharp of A5: 1.2 mm too much plug, two times in three within 0.3 mm."
    blows: Breath
    caution: Caution | None
    asides: tuple[str, ...]  # short standing advice of this step: "Plug out: pull by its tail."
    level: str  # "too quiet", "right", "too loud: move back"
    keys: str  # "space: I have cut it · backspace: forget that blow · R: I changed the voice"
    figures: tuple[str, ...]  # cents, hertz, milliseconds: one key away
    trouble: str  # one plain sentence when something went wrong, else ""
    may_type: bool  # a typed length is understood now
    table: tuple[TableRow, ...] = ()  # stands where else the cut through the bore is shown
    room: RoomLines | None = None  # None: the sentence itself, beside the letter of the chamber that is meant
    speaks: str = ""  # how the chamber speaks, where something is amiss and another thing is in hand
