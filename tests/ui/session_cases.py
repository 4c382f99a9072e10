"""Sessions that the page is tried on: a whole one of four chambers, one of a single blow, and none."""
from __future__ import annotations

import math
import random
from dataclasses import replace

from app.records import ChordTaken, Record, StepTaken
from app.whistle import Whistle
from tests.app.journal_cases import blow, chord, new_id, plug
from tests.ui.sheet_cases import harbour

FIRST_CENTS = {"A": -431.0, "B": -702.0, "C": -1003.0, "D": -1201.0}
MOVES = {"A": 4, "B": 6, "C": 5, "D": 3}


def whole_session(whistle: Whistle, n_more_moves: int = 0) -> tuple[Record, ...]:
    """Finger, cut, trims that halve what is left, the chord twice, after the glue and the next day. Invented."""
    chance, minute = random.Random(4), iter(range(10_000))

    def when(day: int = 4) -> str:
        at = next(minute)
        return f"2026-03-{day:02d}T{8 + at // 60 % 12:02d}:{at % 60:02d}:00+00:00"

    def blown(letter: str, cents: float, air_c: float, day: int = 4, **facts: object) -> Record:
        hz = whistle.chamber(letter).target_hz * 2.0 ** ((cents + chance.gauss(0.0, 1.5)) / 1200.0)
        return blow(letter, whistle_id=whistle.id, at_utc=when(day), frequency_hz=hz, heard_hz=hz,
                    temperature_c=air_c, sound_file=f"blows/{letter}{chance.random()}.flac", **facts)

    records: list[Record] = []
    last = {}
    for letter, cents in FIRST_CENTS.items():
        records += [blown(letter, cents, 19.4, warm_up=number == 0) for number in range(4)]
    for letter in FIRST_CENTS:
        for move in range(MOVES[letter] + n_more_moves):
            face = plug(letter, 40.0 - move, whistle_id=whistle.id, at_utc=when(), how="trim" if move else "cut")
            left_cents = 0.5 + 70.0 / math.exp(move)
            facts = {"stop": "plug", "closure_id": face.id, "depth_mm": face.depth_mm}
            records += [face, *(blown(letter, left_cents, 19.5 + 0.2 * move, **facts) for _ in range(2))]
            last[letter] = facts
    records += [_chord(whistle, when(), chance), _chord(whistle, when(), chance)]
    records.append(StepTaken(new_id(), when(), whistle.id, "chord_done", None, "x", None))
    for day, air_c in ((4, 20.6), (5, 16.9)):
        records += [blown(letter, 3.0 * (air_c - 20.0), air_c, day, **facts) for letter, facts in last.items()]
    return tuple(records)


def _chord(whistle: Whistle, at_utc: str, chance: random.Random) -> ChordTaken:
    told = {}
    for chamber in whistle.chambers:
        letter = chamber.letter.lower()
        told |= {f"{letter}_heard": "heard", f"{letter}_standard_error_cents": 0.3, f"{letter}_level_db": 0.0,
                 f"{letter}_hz": chamber.target_hz * 2.0 ** (chance.gauss(2.0, 1.5) / 1200.0)}
    return replace(chord(whistle_id=whistle.id, at_utc=at_utc, faces="x"), sound_file="blows/chord.flac", **told)


def sessions() -> dict[str, tuple[Record, ...]]:
    whistle = harbour()
    whole = whole_session(whistle)
    return {"whole": whole, "long": whole_session(whistle, 12), "one": whole[:2], "none": ()}
