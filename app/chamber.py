"""One chamber as its records leave it: what stops it, which blows count, how far it is."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from acoustics.tuning import Stop
from app.records import BlowTaken, PlugSet, Record, StepTaken, VoiceChanged

FIRST_BLOWS = 3  # usable blows that make a first reading, over at least two seatings
SLUG_BLOWS = 4  # with a slug, each at a mark of its own: what one mark is misread by would stay in all its blows
RESEAT_AFTER = 2  # blows on one seating agree falsely; lift the finger after this many


class Status(StrEnum):
    TO_VOICE = "to voice"
    TO_BLOW = "to blow"
    TO_CUT = "to cut"
    TO_TRIM = "to trim"
    ON_NOTE = "on its note"
    GLUED = "glued"


@dataclass(frozen=True)
class Chamber:
    """One chamber as the records leave it."""

    letter: str
    status: Status
    face: PlugSet | None  # the plug or slug that is in the bore now
    marked: bool  # a knife line marks the plug's depth
    left: bool  # the maker went on without the note
    accepted: StepTaken | None
    first: tuple[BlowTaken, ...]  # usable blows without a plug, since the voice last changed
    here: tuple[BlowTaken, ...]  # the same on the present face; in neither with a finger over the plug
    epoch: int
    glued: bool = False

    @property
    def plug(self) -> PlugSet | None:
        return self.face if self.face is not None and self.face.stop == Stop.PLUG else None

    @property
    def slug(self) -> PlugSet | None:
        return self.face if self.face is not None and self.face.stop == Stop.SLUG else None


def chamber_of(letter: str, records: Sequence[Record]) -> Chamber:
    """Fold the records of one chamber, in order."""
    face: PlugSet | None = None
    accepted: StepTaken | None = None
    marked = left = enough = glued = False
    epoch = 0
    blows: list[BlowTaken] = []
    for r in records:
        if isinstance(r, StepTaken) and r.step == "chord_lowered":
            accepted, left = None, False  # its note is another now
        elif getattr(r, "letter", None) != letter:
            if isinstance(r, PlugSet) and r.stop == Stop.SLUG and face is not None and face.stop == Stop.SLUG:
                face = None  # the slug went into another bore
        elif isinstance(r, VoiceChanged):
            epoch, blows, accepted, left, enough = epoch + 1, [], None, False, False
        elif isinstance(r, PlugSet):
            face = None if r.how == "taken_out" else r
            accepted, left, marked, glued = None, False, False, False
        elif isinstance(r, BlowTaken) and counts(r) and not (glued or r.covered):
            blows.append(r)
        elif isinstance(r, StepTaken):
            accepted = r if r.step == "accepted" else None if r.step == "reopened" else accepted
            left = {"left": True, "reopened": False}.get(r.step, left)
            marked = marked or r.step == "marked"
            glued = glued or r.step == "glued"
            enough = enough or r.step == "first_enough"
    first = tuple(b for b in blows if b.stop != Stop.PLUG)
    here = tuple(b for b in blows if face is not None and b.closure_id == face.id)
    glued = glued and face is not None and face.stop == Stop.PLUG
    status = Status.GLUED if glued else _status(face, accepted is not None or left, enough or _is_first_reading(first))
    return Chamber(letter, status, face, marked, left, accepted, first, here, epoch, glued)


def accepted_letters(letters: Sequence[str], records: Sequence[Record]) -> frozenset[str]:
    """The chambers that stand on their note now."""
    return frozenset(letter for letter in letters if chamber_of(letter, records).accepted is not None)


def counts(blow: BlowTaken) -> bool:
    """Whether a blow teaches the model: usable, past the warm-up, and known to be on which face."""
    return blow.usable and not blow.warm_up and bool(blow.closure_id)


def first_blows_wanted(first: Sequence[BlowTaken]) -> int:
    """How many usable blows make a first reading by what stopped the last one."""
    return SLUG_BLOWS if first and first[-1].stop == Stop.SLUG else FIRST_BLOWS


def _is_first_reading(first: Sequence[BlowTaken]) -> bool:
    return len(first) >= first_blows_wanted(first) and len({(b.set_id, b.seating) for b in first}) > 1


def _status(face: PlugSet | None, settled: bool, read: bool) -> Status:
    if settled:
        return Status.ON_NOTE
    if face is not None and face.stop == Stop.PLUG:
        return Status.TO_TRIM
    return Status.TO_CUT if read else Status.TO_BLOW


def wants_new_seating(blows: Sequence[BlowTaken]) -> bool:
    """Two blows on one seating: lift the finger or reseat the plug before the next."""
    return len(blows) >= RESEAT_AFTER and len({(b.set_id, b.seating) for b in blows}) == 1
