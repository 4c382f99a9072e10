"""A whole walk by sound without threads or time: request, sound, finder, events, and round again.

For tests, benches and the terminal's quick practice. The same performer and reader as behind the listener, one after
the other, so that a seed always gives the same walk.
"""
from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from acoustics.blow import BlowEnded, BlowFinder, Found, Samples, TwoToots
from app.bench import State
from app.chord_blow import read_whole
from app.events import Event, Expecting, Request, Task, Typed
from app.heard import BlowHeard, Breath, ListenerEvent, TootsHeard
from app.practice import Performer

MOST_REQUESTS = 2000  # a walk of six chambers takes a few hundred
MOST_ALIKE = 40  # the same request so often in a row: nothing the maker does is understood


class Walk(Protocol):
    """As much of a session without a source as the loop needs."""

    @property
    def state(self) -> State: ...

    def request(self) -> Request: ...

    def post(self, event: Event) -> None: ...

    def take_listener_event(self, event: ListenerEvent) -> None: ...

    def finished(self) -> bool: ...


@dataclass(frozen=True)
class Outcome:
    """How the walk ended."""

    finished: bool
    requests: int  # how often the maker was asked
    unheard: int  # sounds made that no event came of
    sound_s: float


def drive(
    walk: Walk, performer: Performer, typing: bool = False, until: Callable[[], bool] | None = None
) -> Outcome:
    """Let the maker answer the walk until it is finished, asks for nothing, or gets no further.

    `until` says otherwise when that is: `Session.done` goes on through the whole chord.
    With `typing` the maker types a plug's length off the calipers; otherwise two toots say that it is cut.
    """
    rate_hz = performer.sample_rate_hz
    finder = BlowFinder(rate_hz)
    until = until or walk.finished
    asked: Counter[int] = Counter()
    unheard = fed_frames = 0
    while not until() and _goes_on(request := walk.request(), asked):
        asked[request.id] += 1
        expecting = walk.state.asked[-1].expecting
        finder.expect(expecting.range_hz)
        sound = _performed(performer, request)
        if typing and request.task in (Task.CUT, Task.TRIM):
            walk.post(Typed(performer.maker.caliper_mm(request.letter or "A") or 0.0))
            continue
        fed_frames += len(sound)
        events = list(_heard(finder.feed(sound), expecting, rate_hz))
        for event in (Breath(fed_frames / rate_hz, finder.level_dbfs, None), *events):
            walk.take_listener_event(event)
        unheard += not events
    return Outcome(until(), asked.total(), unheard, fed_frames / rate_hz)


def _goes_on(request: Request, asked: Counter[int]) -> bool:
    understood = asked[request.id] < MOST_ALIKE and asked.total() < MOST_REQUESTS
    return understood and request.task is not Task.NOTHING


def _performed(performer: Performer, request: Request) -> Samples:
    before, sound = performer.before(request), performer.sound_of(request)
    return before if sound is None else np.concatenate([before, sound])


def _heard(found: list[Found], expecting: Expecting, sample_rate_hz: int) -> Iterator[ListenerEvent]:
    for each in found:
        if isinstance(each, BlowEnded):
            chord = read_whole(each, sample_rate_hz, expecting)
            yield BlowHeard(each.blow, each.samples, sample_rate_hz, expecting, each.blow.end_s, 0, chord=chord)
        elif isinstance(each, TwoToots):
            yield TootsHeard(expecting, each.at_s)
