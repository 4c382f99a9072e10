"""Evenings for the tests and pictures of the club's sheets: a dozen whistles of Tidewick, at different stages."""
from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from app.closeness import policy_of
from app.club import Standing, Waits, standing_of
from app.club_book import Evening, add_whistles, latest_evening
from app.club_words import CALLED, Turn
from app.events import Request, Route, RouteChosen, Task
from app.journal import Journal
from app.records import Record
from app.settings import Settings
from app.whistle import Whistle
from tests.number_maker import WHISTLE, Bench, NumberMaker

CALLING = Turn(7, "", CALLED, ("4: trim B to 57.6 mm", "then 2, 9"), calls=True)
NAMED = replace(CALLING, number=12, name="Wilhelmina of Quayss")  # as long as a name may be
BLOWS = Turn(12, "", ("Reseat B", "then blow"), ("then 7, 2, 9…",))
TRIMS = Turn(4, "", ("Trim B to", "57.6 mm"), ("nobody waits for the microphone",))
TURNS = {"called": CALLING, "named": NAMED, "blows": BLOWS, "trims": TRIMS}


def walked(whistle: Whistle, seed: int, n_answers: int) -> list[Record]:
    """Its records after so many answers of a maker of numbers."""
    bench, maker = Bench.open(whistle=whistle), NumberMaker(seed)
    bench.post(RouteChosen(Route.TRIM if seed % 2 else Route.SLIDE))
    for _ in range(n_answers):
        if bench.state.place.done:
            break
        bench.answer(maker)
    return bench.journal


def dozen() -> tuple[Standing, ...]:
    """Twelve at different stages."""
    found = []
    for number in range(1, 13):
        whistle = replace(WHISTLE, id=f"whistle {number}", number=number, of=12)
        records = walked(whistle, number, 5 * number if number < 12 else 120)
        settings = Settings(units="mm")
        found.append(standing_of(whistle, records, policy_of(settings), "mm", ""))
    first = replace(found[0], waits=Waits.BENCH, request=Request(1, Task.REPAIR, "B"))
    return (first, replace(found[1], waits=Waits.GLUE, request=Request(1, Task.REST)), *found[2:])


def _renamed(record: Record, prefix: str) -> Record:
    """With ids of its own among the whistles of an evening, wherever a record names another."""
    named = [field for field in ("id", "closure_id", "voids_id", "faces") if hasattr(record, field)]
    return replace(record, **{field: re.sub(r"\br(?=\d)", f"{prefix}r", getattr(record, field)) for field in named})


def evening_in(path: Path, count: int = 4, walked_to: Sequence[int] = ()) -> Evening:
    """An evening in a journal; whistle by whistle so many answers have been given."""
    with Journal(path) as journal:
        for whistle, n_answers in zip(add_whistles(journal, WHISTLE, count), walked_to, strict=False):
            records = walked(whistle, whistle.number or 0, n_answers)
            journal.append_all(_renamed(each, f"{whistle.number}-") for each in records)
        return latest_evening(journal)
