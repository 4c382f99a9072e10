"""The club evening: numbered whistles at different stages share one microphone. Whose turn is it?

A pure function of documents and standing records. Three steps belong to it and mean nothing to the walk: `club` puts
a whistle among those of an evening, `here` says that its maker is back from the bench, `passed` that its turn went to
the next. Who waited longest for the microphone comes first, and a whistle waits since its last record, whatever it was.
"""
from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from enum import StrEnum

from acoustics.tuning import Policy
from app.bench import Sitting, State
from app.chamber import Status
from app.events import Request, Task
from app.records import Record, StepTaken
from app.view import Stage
from app.whistle import Whistle
from app.workflow import begin

JOINED, HERE, PASSED = "club", "here", "passed"  # steps in the journal
MOST_WHISTLES = 99  # what is called is read across a room: two figures
AT_THE_MICROPHONE = (Task.BLOW, Task.RESEAT, Task.CHORD, Task.SET_STOP, Task.SLIDE, Task.MARK)


class Waits(StrEnum):
    """What a whistle waits for."""

    MICROPHONE = "microphone"
    BENCH = "bench"  # its maker saws, trims, glues or mends
    GLUE = "glue"  # until it has set, or until the next day
    NOTHING = "nothing"  # it is done


@dataclass(frozen=True)
class Standing:
    """One whistle of the evening."""

    whistle: Whistle
    stage: Stage
    request: Request
    waits: Waits
    since_utc: str  # of its last record
    n_on_note: int  # chambers
    tuned: bool = False  # and the whole chord is settled
    here: bool = False  # its maker came back and waits
    glue_open: bool = False  # a blow is wanted before its glue sets
    due_utc: str = ""  # when its glue asks for something else
    n_records: int = 0

    @property
    def number(self) -> int:
        return self.whistle.number or 0

    @property
    def ready(self) -> bool:
        """Whether it can be called to the microphone."""
        return self.waits is Waits.MICROPHONE or (self.waits is Waits.BENCH and self.here)


def evening_of(records: Iterable[Record]) -> str:
    """The evening that a whistle was put into last; empty when it never was. `records` are standing."""
    told = [r.text for r in records if isinstance(r, StepTaken) and r.step == JOINED]
    return told[-1] if told else ""


def blower_of(whistle: Whistle, records: Iterable[Record], otherwise: str) -> str:
    """Whose breath it is: at a club evening the owner's, who is known by the number alone."""
    evening = evening_of(records)
    return f"no. {whistle.number}, {evening}" if evening and whistle.number is not None else otherwise


# ---- where each stands ---------------------------------------------------------------------------------------------
def standing_of(whistle: Whistle, records: Sequence[Record], policy: Policy, units: str, now_utc: str) -> Standing:
    """From the journal: just what the walk would ask for if this whistle were laid on the bench now."""
    state, _effects = begin(whistle, records, Sitting("", units, began_utc=now_utc), policy)
    return standing_at(state)


def standing_at(state: State) -> Standing:
    """Of the whistle on the bench."""
    place, request = state.place, state.request
    in_glue = place.stage is Stage.GLUE
    told = [r for r in state.standing if not (isinstance(r, StepTaken) and r.step == JOINED)]
    return Standing(
        state.whistle, place.stage, request, _waits(state), state.records[-1].at_utc if state.records else "",
        sum(chamber.status in (Status.ON_NOTE, Status.GLUED) for chamber in place.chambers.values()),
        tuned=place.done, here=bool(told) and isinstance(told[-1], StepTaken) and told[-1].step == HERE,
        glue_open=in_glue and request.task is Task.BLOW, due_utc=place.glue.due_utc if place.glue_asks else "",
        n_records=len(state.records),
    )


def _waits(state: State) -> Waits:
    place, task = state.place, state.request.task
    if task in AT_THE_MICROPHONE:
        return Waits.MICROPHONE
    if place.glue_asks and place.glue.finished:
        return Waits.NOTHING
    if task is Task.REST:
        return Waits.GLUE if place.stage is Stage.GLUE else Waits.MICROPHONE
    return Waits.BENCH


# ---- the queue -----------------------------------------------------------------------------------------------------
def queue(standings: Iterable[Standing], at_bench_id: str | None = None) -> tuple[Standing, ...]:
    """Those that wait for the microphone, next first: open glue, then who waited longest, then the lower number."""
    ready = [each for each in standings if each.ready and each.whistle.id != at_bench_id]
    return tuple(sorted(ready, key=lambda each: (not each.glue_open, _moment(each.since_utc), each.number)))


def _moment(at_utc: str) -> datetime:
    return datetime.fromisoformat(at_utc) if at_utc else datetime.min.replace(tzinfo=UTC)


def comes_due(standings: Iterable[Standing], since_utc: str, now_utc: str) -> bool:
    """Whether some glue came to its time between the two, so that its whistle is to be looked at again."""
    since, now = _moment(since_utc), _moment(now_utc)
    return any(since < _moment(each.due_utc) <= now for each in standings if each.due_utc)


def numbered_as(standings: Iterable[Standing], number: int) -> Standing | None:
    return next((each for each in standings if each.number == number), None)


# ---- new whistles --------------------------------------------------------------------------------------------------
def numbered(pattern: Whistle, count: int, first: int = 1) -> tuple[Whistle, ...]:
    """So many whistles of one pattern, each a document of its own. Others may join: nobody knows yet of how many."""
    return tuple(
        replace(pattern, id=str(uuid.uuid4()), number=number, of=None) for number in range(first, first + count)
    )
