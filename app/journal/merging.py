"""Two journals become one: by the records' ids, in one order that comes out the same whichever way they are merged."""
from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import pairwise

from app.journal.store import Journal
from app.journal.trouble import plain_trouble
from app.records import Record


@dataclass(frozen=True)
class Merged:
    """What a merge did. `differing` have an id that is here already with other facts: ours were kept."""

    n_added: int
    n_here_already: int
    n_differing: int


def merge(journal: Journal, theirs: Sequence[Record]) -> Merged:
    """Add what is new by UUID, all or none, each record at its place in the one order of both."""
    with plain_trouble(journal.path), journal.transaction():
        mine = [record for _, record in journal.places()]
        ours = {record.id: record for record in mine}
        known = [record for record in theirs if record.id in ours]
        fresh = {record.id: record for record in theirs if record.id not in ours}
        order = together(mine, theirs)
        moves = order[: len(mine)] != [record.id for record in mine]
        for place, record_id in enumerate(order, journal.last_place() + (1 if moves else 1 - len(mine))):
            if record_id in fresh:
                journal.insert(fresh[record_id], place)
            elif moves:
                journal.move(ours[record_id], place)
    return Merged(len(fresh), len(known), sum(ours[record.id] != record for record in known))


def together(mine: Sequence[Record], theirs: Sequence[Record]) -> list[str]:
    """Every id once. Each side keeps its own order even where its clock was set back; else the earlier is first.

    Where the two sides contradict each other, the earliest of what is left goes on. Nothing depends on which is mine.
    """
    moments = {record.id: (_moment(record), record.id) for record in (*mine, *theirs)}
    after: dict[str, set[str]] = {record_id: set() for record_id in moments}
    n_before = dict.fromkeys(moments, 0)
    for side in (mine, theirs):
        for earlier, later in pairwise(dict.fromkeys(record.id for record in side)):
            if later not in after[earlier]:
                after[earlier].add(later)
                n_before[later] += 1
    ready = [moments[record_id] for record_id, count in n_before.items() if not count]
    heapq.heapify(ready)
    waiting = sorted(moments.values(), reverse=True)  # the earliest last; looked at only in a contradiction
    order: dict[str, None] = {}
    while len(order) < len(moments):
        record_id = heapq.heappop(ready)[1] if ready else waiting.pop()[1]
        if record_id in order:
            continue
        order[record_id] = None
        for later in after[record_id]:
            n_before[later] -= 1
            if not n_before[later]:
                heapq.heappush(ready, moments[later])
    return list(order)


def _moment(record: Record) -> datetime:
    try:
        moment = datetime.fromisoformat(record.at_utc)
    except ValueError:
        return datetime.min.replace(tzinfo=UTC)
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)
