"""A club evening by number makers, as a program that can be killed.

``python -m tests.simulation.evening FOLDER SEED N`` prints one JSON line for every record after the journal
confirmed it, and one for every state that the walk reached.
The wood is written down apart from the journal, before "done" is said: a plug that was cut stays cut in a power cut.
"""
from __future__ import annotations

import json
import os
import random
import sys
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from acoustics.blow import Verdict
from app.club import Standing, queue
from app.club_book import Evening, add_whistles, latest_evening, standings, tell_here, tell_passed
from app.events import Heard, Key, Pressed, Request, Route, Task, Tooted
from app.journal import Journal
from app.records import PlugSet, Record
from app.session import Session
from app.settings import Settings
from app.whistle import Whistle
from tests.number_maker import WHISTLE, NumberMaker, chord_of, steady

SETTINGS = Settings(temperature_c=20.0, units="mm", keep_sound=False)
MOST_REQUESTS = 400  # of one whistle; one takes about sixty
BY_HAND = (Task.CUT, Task.TRIM, Task.SLIDE, Task.SET_STOP)
OUT_OF_TURN_SHARE = 0.3  # calls of any number whatever, as at a real evening
NOT_BACK_SHARE = 0.3
LOG_HEADER_BYTES, FRAME_HEADER_BYTES = 32, 24


def say(**line: Any) -> None:
    print(json.dumps(line), flush=True)


def log_end(log: Path) -> int:
    """Where the frames of the write-ahead log end that were written since it last began anew.

    Published: SQLite's file format, section 4.1: a header of 32 bytes with the size of a page at byte 8 and two salts
    at 16; frames of 24 bytes and a page each, with the same salts at byte 8 of each for as long as they count.
    """
    with log.open("rb") as file:
        header = file.read(LOG_HEADER_BYTES)
        if len(header) < LOG_HEADER_BYTES:
            return 0
        frame_bytes = FRAME_HEADER_BYTES + int.from_bytes(header[8:12], "big")
        end = LOG_HEADER_BYTES
        while True:
            file.seek(end)
            if file.read(FRAME_HEADER_BYTES)[8:16] != header[16:24]:
                return end
            end += frame_bytes


class TellingJournal:
    """Says each record once it is confirmed, and how long the write-ahead log is then."""

    def __init__(self, journal: Journal) -> None:
        self.journal, self.path = journal, journal.path
        self._log = journal.path.with_name(journal.path.name + "-wal")

    def append(self, record: Record) -> None:
        self.append_all((record,))

    def append_all(self, records: Iterable[Record]) -> None:
        kept = tuple(records)
        say(about_to_keep=len(kept))
        self.journal.append_all(kept)
        for record in kept:
            say(kind=type(record).__name__, record=asdict(record), log_bytes=log_end(self._log))

    def records(self, whistle_id: str | None = None) -> tuple[Record, ...]:
        return self.journal.records(whistle_id)


@dataclass
class Wood:
    """What the makers' hands did, on a file of its own."""

    path: Path
    makers: dict[int, NumberMaker] = field(default_factory=dict)
    last: dict[int, list[Any]] = field(default_factory=dict)  # what was done last at each whistle

    def __post_init__(self) -> None:
        if self.path.exists():
            for line in self.path.read_text("utf-8").splitlines():
                done = json.loads(line)
                self.maker(done["number"]).depth_mm[done["letter"]] = done["depth_mm"]
                self.last[done["number"]] = done["what"]

    def maker(self, number: int) -> NumberMaker:
        return self.makers.setdefault(number, NumberMaker(seed=number))

    def work(self, number: int, request: Request, n_faces: int) -> None:
        """Do it once: what was done before a power cut is not done again, though the journal never heard of it."""
        what = [request.task.value, request.letter, n_faces]
        if self.last.get(number) == what:
            return
        maker = self.maker(number)
        maker.do(request)
        letter = request.letter or "A"
        self.last[number] = what
        line = {"number": number, "letter": letter, "depth_mm": maker.depth_mm[letter], "what": what}
        with self.path.open("a", encoding="utf-8") as file:
            file.write(json.dumps(line) + "\n")


def state_of(session: Session) -> list[Any]:
    """Where the walk is, as plain data."""
    place, request = session.state.place, session.request()
    stop = request.stop.value if request.stop else None
    return [place.stage.value, request.task.value, request.letter, stop, request.depth_mm, request.amount_mm,
            request.text]


def tell_state(session: Session) -> None:
    number, n_records = session.state.whistle.number, len(session.state.records)
    say(number=number, n_records=n_records, state=state_of(session))


def answer(session: Session, wood: Wood, number: int, at_s: float) -> None:
    """The maker does what is asked, by blow or by toots."""
    request, maker = session.request(), wood.maker(number)
    if request.task is Task.CHORD:
        session.post(Heard(steady(900.0, at_s, Verdict.SEVERAL), request.id, at_s, chord=chord_of(maker.chord())))
    elif request.task in (Task.BLOW, Task.RESEAT):
        session.post(Heard(steady(maker.do(request) or 0.0, at_s), request.id, at_s))
    else:
        if request.task in BY_HAND:
            faces = [r for r in session.state.records if isinstance(r, PlugSet) and r.letter == request.letter]
            wood.work(number, request, len(faces))
        session.post(Pressed(Key.NEXT) if request.task in (Task.NOTHING, Task.REPAIR) else Tooted(request.id, at_s))


def one_turn(journal: TellingJournal, whistle: Whistle, wood: Wood, n_requests: int) -> None:
    """A whistle at the microphone, for so many requests or until it is through."""
    number = whistle.number or 0
    route = Route.TRIM if number % 2 == 0 else Route.SLIDE
    session = Session(journal, whistle, SETTINGS, None, route=route)
    tell_state(session)
    for n in range(n_requests):
        if session.done():
            return
        answer(session, wood, number, 3.0 * (n + 1))
        tell_state(session)


def next_called(found: tuple[Standing, ...], chance: random.Random) -> Standing | None:
    """Mostly who waited longest, sometimes anybody at whatever stage; None when all are ready for their glue."""
    unfinished = [each for each in found if not each.tuned]
    waiting = [each for each in queue(found) if each in unfinished]
    if not waiting or chance.random() < OUT_OF_TURN_SHARE:
        return chance.choice(unfinished) if unfinished else None
    return waiting[0]


def run_evening(journal: TellingJournal, wood: Wood, chance: random.Random, n_whistles: int) -> None:
    """From wherever the journal stands to the end."""
    if not latest_evening(journal.journal).whistles:
        add_whistles(journal, WHISTLE, n_whistles)  # type: ignore[arg-type]
    evening: Evening = latest_evening(journal.journal)
    found: tuple[Standing, ...] = ()
    for _ in range(MOST_REQUESTS * n_whistles):
        found = standings(journal.journal, evening, SETTINGS, found)
        called = next_called(found, chance)
        if called is None:
            say(finished=True)
            return
        one_turn(journal, called.whistle, wood, chance.randrange(1, 12))
        (now,) = standings(journal.journal, Evening(evening.name, (called.whistle,)), SETTINGS)
        if now.ready:
            tell_passed(journal, called.whistle)  # type: ignore[arg-type]
        elif not now.tuned and chance.random() > NOT_BACK_SHARE:
            tell_here(journal, now)  # type: ignore[arg-type]
    raise AssertionError(f"no end: {[(each.number, each.request) for each in found]}")


def main() -> None:
    folder, seed, n_whistles = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    with Journal(folder / "journal.sqlite") as journal:
        run_evening(TellingJournal(journal), Wood(folder / "wood.jsonl"), random.Random(seed), n_whistles)


if __name__ == "__main__":
    main()
