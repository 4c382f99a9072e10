"""A maker made of numbers: answers the walk's requests without sound, for testing the walk alone.

Its whistle is a lossless quarter-wave pipe with a window share of its own: not the model's physics.
"""
from __future__ import annotations

import itertools
from collections import deque
from dataclasses import dataclass, field, replace

import numpy as np

from acoustics.blow import Blow, Verdict
from acoustics.chord import ChordReading, VoiceReading, beats_of
from acoustics.chord import Heard as Sounded
from acoustics.tuning import Stop
from app.events import Confirmed, Event, Heard, Keep, Listen, Request, Task, Tooted
from app.records import Record
from app.whistle import Chamber, Whistle
from app.workflow import Sitting, State, begin, step

C_M_PER_S = 343.4
WHISTLE = Whistle(
    id="6f1c6c1e-33a4-4b60-9d3c-0f5d2d6f5a01", name="Tidewick harbour whistle", number=4, of=12, wood="cherry",
    caps="ash",
    chambers=tuple(
        Chamber(letter, 12.7, 140.0, 10.0, 6.0, hz, note)
        for letter, hz, note in (("A", 698.46, "F5"), ("B", 880.0, "A5"), ("C", 1046.5, "C6"), ("D", 1174.66, "D6"))
    ),
)


def steady(frequency_hz: float, at_s: float = 0.0, verdict: Verdict = Verdict.STEADY) -> Blow:
    usable = verdict is Verdict.STEADY
    return Blow(at_s - 1.0, at_s, verdict, usable, frequency_hz if usable else None, frequency_hz, 0.1, 2.0, -20.0,
                -30.0, 40.0)


@dataclass
class NumberMaker:
    """Does what is asked, with the hands' errors."""

    seed: int
    scatter_cents: float = 3.0
    cut_sd_mm: float = 0.1
    window_mm: dict[str, float] = field(default_factory=dict)
    depth_mm: dict[str, float] = field(default_factory=dict)
    cuts: dict[str, int] = field(default_factory=dict)
    pulls_cents: dict[str, float] = field(default_factory=dict)  # of each chamber, between alone and together
    leaks_cents: dict[str, float] = field(default_factory=dict)  # how sharp a leaking plug speaks until it is sealed
    blows: int = 0

    def __post_init__(self) -> None:
        self.rng = np.random.default_rng(self.seed)
        common = self.rng.normal(0, 0.1)
        self.window_mm = {x: 12.0 * (1 + common + self.rng.normal(0, 0.06)) for x in "ABCDEF"}

    def true_hz(self, letter: str, bulge_mm: float = 0.0) -> float:
        length_mm = 140.0 - self.depth_mm.get(letter, 0.0) - bulge_mm + self.window_mm[letter]
        return C_M_PER_S * 1000 / (4 * length_mm)

    def do(self, request: Request) -> float | None:
        """The frequency of a blow, or None when something was done instead."""
        letter = request.letter or "A"
        if request.task in (Task.BLOW, Task.RESEAT):
            self.blows += 1
            bulge_mm = 0.6 if request.stop is Stop.FINGER else 0.0
            shut = request.covered or request.stop is not Stop.PLUG
            off_cents = self.rng.normal(0, self.scatter_cents) + (0.0 if shut else self.leaks_cents.get(letter, 0.0))
            return self.true_hz(letter, bulge_mm) * 2 ** (off_cents / 1200)
        if request.task is Task.REPAIR and request.text == "seal":
            self.leaks_cents.pop(letter, None)
        elif request.task is Task.CUT:
            self.depth_mm[letter] = (request.depth_mm or 0.0) + self.rng.normal(0, self.cut_sd_mm)
        elif request.task is Task.TRIM:
            self.depth_mm[letter] -= max(0.0, (request.amount_mm or 0.0) + self.rng.normal(0, self.cut_sd_mm))
        elif request.task is Task.SLIDE:
            self.depth_mm[letter] += (request.amount_mm or 0.0) + self.rng.normal(0, self.cut_sd_mm / 2)
        elif request.task is Task.SET_STOP:
            self.depth_mm[letter] = request.depth_mm or 0.0
        if request.task in (Task.CUT, Task.TRIM, Task.SLIDE):
            self.cuts[letter] = self.cuts.get(letter, 0) + 1
        return None


    def chord(self) -> dict[str, float]:
        """All chambers in one breath: they share its scatter."""
        breath_cents = self.rng.normal(0, self.scatter_cents)
        return {
            letter: self.true_hz(letter) * 2 ** ((breath_cents + self.pulls_cents.get(letter, 0.0)) / 1200)
            for letter in self.depth_mm
        }


def chord_of(notes_hz: dict[str, float | None]) -> ChordReading:
    """A reading of these notes; None is a chamber that was not heard."""
    voices = tuple(
        VoiceReading(letter, None, None, None, Sounded.MISSING) if hz is None
        else VoiceReading(letter, hz, 0.2, 0.0, Sounded.HEARD) for letter, hz in notes_hz.items()
    )
    return ChordReading(voices, beats_of(voices), 0.15, 1.2)


@dataclass
class Bench:
    """The walk with a journal made of a list; `refuse` makes the journal fail."""

    state: State
    journal: list[Record] = field(default_factory=list)
    refuse: str = ""
    now_utc: str = "2026-05-01T10:00:00+00:00"
    events: list[Event] = field(default_factory=list)
    expecting_ids: list[int] = field(default_factory=list)
    at_s: float = 0.0
    ids: itertools.count = field(default_factory=lambda: itertools.count(1))  # type: ignore[type-arg]

    @classmethod
    def open(cls, records: list[Record] | None = None, whistle: Whistle = WHISTLE, sitting: str = "s1") -> Bench:
        state, effects = begin(whistle, records or [], Sitting(sitting))
        bench = cls(state, list(records or []), ids=itertools.count(1 + len(records or [])))
        bench.carry_out(effects)
        return bench

    def post(self, event: Event) -> None:
        self.events.append(event)
        self.state, effects = step(self.state, event)
        self.carry_out(effects)

    def carry_out(self, effects: tuple) -> None:  # type: ignore[type-arg]
        from app.events import NotConfirmed

        waiting = deque(effects)
        while waiting:
            effect = waiting.popleft()
            if isinstance(effect, Keep):
                record = replace(effect.record, id=f"r{next(self.ids)}", at_utc=self.now_utc)
                if self.refuse:
                    self.state, more = step(self.state, NotConfirmed(record, self.refuse))
                else:
                    self.journal.append(record)
                    self.state, more = step(self.state, Confirmed(record))
                waiting.extendleft(reversed(more))
            elif isinstance(effect, Listen):
                self.expecting_ids.append(effect.expecting.id)

    def blow(self, frequency_hz: float, verdict: Verdict = Verdict.STEADY, expecting_id: int | None = None) -> None:
        self.at_s += 3.0
        self.post(Heard(steady(frequency_hz, self.at_s, verdict), expecting_id or self.state.request.id, self.at_s))

    def chord(self, notes_hz: dict[str, float | None]) -> None:
        """One blow of the whole whistle."""
        self.at_s += 3.0
        blow = steady(900.0, self.at_s, Verdict.SEVERAL)
        self.post(Heard(blow, self.state.request.id, self.at_s, chord=chord_of(notes_hz)))

    def toot(self) -> None:
        self.at_s += 2.0
        self.post(Tooted(self.state.request.id, self.at_s))

    def answer(self, maker: NumberMaker) -> None:
        """Let the maker do what is asked now."""
        if self.state.request.task is Task.CHORD:
            self.chord(maker.chord())
            return
        heard_hz = maker.do(self.state.request)
        if heard_hz is None:
            self.toot()
        else:
            self.blow(heard_hz)

    def walk(self, maker: NumberMaker, most_steps: int = 400) -> int:
        """To the end by sound alone; returns the steps it took."""
        for n in range(most_steps):
            if self.state.place.finished:
                return n
            self.answer(maker)
        raise AssertionError(f"no end after {most_steps} steps: {self.state.request}, {self.state.place.advice}")
