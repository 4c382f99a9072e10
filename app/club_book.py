"""The evening in the journal: who belongs to it, who joins, who came back, whose turn passed."""
from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from app.closeness import policy_of
from app.club import HERE, JOINED, MOST_WHISTLES, PASSED, Standing, Waits, evening_of, numbered, standing_of
from app.errors import WorldError
from app.evidence import standing
from app.journal import Journal
from app.records import Record, StepTaken, WhistleFiled
from app.settings import Settings
from app.whistle import Whistle, decode_whistle, dump_whistle, revision


@dataclass(frozen=True)
class Evening:
    """An evening's name, which is when it began, and its whistles by number."""

    name: str
    whistles: tuple[Whistle, ...]

    @property
    def next_number(self) -> int:
        return max((whistle.number or 0 for whistle in self.whistles), default=0) + 1


NO_EVENING = Evening("", ())


def latest_evening(journal: Journal) -> Evening:
    """A read: the evening that was begun last, with all that joined it."""
    kept: dict[str, list[Record]] = {}
    for record in journal.records():
        kept.setdefault(record.whistle_id, []).append(record)
    of_whistle = {whistle_id: standing(records) for whistle_id, records in kept.items()}
    evenings = {whistle_id: evening_of(records) for whistle_id, records in of_whistle.items()}
    name = max(evenings.values(), default="")
    if not name:
        return NO_EVENING
    documents = {
        record.whistle_id: record.document_json for records in of_whistle.values() for record in records
        if isinstance(record, WhistleFiled)
    }
    whistles = [
        decode_whistle(documents[whistle_id], f"The journal's whistle {whistle_id}")
        for whistle_id, evening in evenings.items() if evening == name and whistle_id in documents
    ]
    return Evening(name, tuple(sorted(whistles, key=lambda whistle: whistle.number or 0)))


def add_whistles(journal: Journal, pattern: Whistle, count: int, *, anew: bool = False) -> tuple[Whistle, ...]:
    """So many of one pattern, numbered on from the latest evening's last, or from 1 in a new one; all or none."""
    evening = NO_EVENING if anew else latest_evening(journal)
    last = evening.next_number + count - 1
    if count < 1 or last > MOST_WHISTLES:
        raise WorldError(
            f"{count} more would number the evening's whistles up to {last}; it must be at least one and at most"
            f" {MOST_WHISTLES} in all: is it the number of whistles?"
        )
    name = evening.name or utc_now("seconds")
    added = numbered(pattern, count, evening.next_number)
    journal.append_all(record for whistle in added for record in _joining(whistle, name))
    return added


def join(journal: Journal, whistle: Whistle) -> Whistle:
    """A whistle that exists already, at whatever stage; it gets the next number and keeps all its readings."""
    evening = latest_evening(journal)
    if any(whistle.id == each.id for each in evening.whistles):
        raise WorldError(f"{whistle.name} belongs to this evening already.")
    if evening.next_number > MOST_WHISTLES:
        raise WorldError(f"This evening has {MOST_WHISTLES} whistles already, as many as can be called by number.")
    joined = replace(whistle, number=evening.next_number, of=None)
    journal.append_all(_joining(joined, evening.name or utc_now("seconds")))
    return joined


def tell_here(journal: Journal, back: Standing) -> None:
    """Its maker is back, and waits for the microphone; nobody who waits already loses the place."""
    if back.ready:
        raise WorldError(f"No. {back.number} waits for the microphone already.")
    if back.waits is not Waits.BENCH:
        raise WorldError(f"No. {back.number} waits for {back.waits.value}, not for the microphone.")
    journal.append(_step(back.whistle, HERE))


def tell_passed(journal: Journal, whistle: Whistle) -> None:
    """Its turn went to the next: it waits from now on."""
    journal.append(_step(whistle, PASSED))


def standings(
    journal: Journal, evening: Evening, settings: Settings, known: Sequence[Standing] = (),
) -> tuple[Standing, ...]:
    """A read: where every whistle stands. What is `known` is worked out again only where records came or glue waits."""
    now_utc, before = utc_now(), {each.whistle.id: each for each in known}
    found = []
    for whistle in evening.whistles:
        records, old = journal.records(whistle.id), before.get(whistle.id)
        if old is None or old.n_records != len(records) or old.waits is Waits.GLUE or old.due_utc:
            old = standing_of(whistle, records, policy_of(settings), settings.units, now_utc)
        found.append(old)
    return tuple(found)


def _joining(whistle: Whistle, evening: str) -> tuple[Record, ...]:
    document = dump_whistle(whistle).decode("utf-8")
    filed = WhistleFiled(str(uuid.uuid4()), utc_now(), whistle.id, revision(whistle), document)
    return filed, _step(whistle, JOINED, evening)


def _step(whistle: Whistle, step: str, text: str = "") -> StepTaken:
    return StepTaken(str(uuid.uuid4()), utc_now(), whistle.id, step, None, text, None)


def utc_now(timespec: str = "auto") -> str:
    return datetime.now(UTC).isoformat(timespec=timespec)
