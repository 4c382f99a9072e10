"""A whole walk by sound without threads or time: request, sound, finder, events, and round again.

For tests, benches and the terminal's quick practice. The same performer and reader as behind the listener, one after
the other, so that a seed always gives the same walk.
"""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from acoustics.blow import BlowEnded, BlowFinder, Found, Samples, TwoToots
from app.bench import State
from app.events import Expecting, Request, Task
from app.heard import BlowHeard, Breath, ListenerEvent, TootsHeard
from app.practice import Performer

MOST_REQUESTS = 2000  # a walk of six chambers takes a few hundred


class Walk(Protocol):
    """As much of a session without a source as the loop needs."""

    @property
    def state(self) -> State: ...

    def request(self) -> Request: ...

    def take_listener_event(self, event: ListenerEvent) -> None: ...

    def finished(self) -> bool: ...


@dataclass(frozen=True)
class Outcome:
    """How the walk ended."""

    finished: bool
    requests: int  # how often the maker was asked
    unheard: int  # sounds made that no event came of
    sound_s: float


def drive(walk: Walk, performer: Performer, most_requests: int = MOST_REQUESTS) -> Outcome:
    """Let the maker answer the walk until it is finished, asks for nothing, or has asked too often."""
    rate_hz = performer.sample_rate_hz
    finder = BlowFinder(rate_hz)
    requests = unheard = fed_frames = 0
    while not walk.finished() and requests < most_requests and walk.request().task is not Task.NOTHING:
        requests += 1
        expecting = walk.state.asked[-1].expecting
        finder.expect(expecting.range_hz)
        sound = _performed(performer, walk.request())
        fed_frames += len(sound)
        events = list(_heard(finder.feed(sound), expecting, rate_hz))
        for event in (Breath(fed_frames / rate_hz, finder.level_dbfs, None), *events):
            walk.take_listener_event(event)
        unheard += not events
    return Outcome(walk.finished(), requests, unheard, fed_frames / rate_hz)


def _performed(performer: Performer, request: Request) -> Samples:
    before, sound = performer.before(request), performer.sound_of(request)
    return before if sound is None else np.concatenate([before, sound])


def _heard(found: list[Found], expecting: Expecting, sample_rate_hz: int) -> Iterator[ListenerEvent]:
    for each in found:
        if isinstance(each, BlowEnded):
            yield BlowHeard(each.blow, each.samples, sample_rate_hz, expecting, each.blow.end_s, lost_frames=0)
        elif isinstance(each, TwoToots):
            yield TootsHeard(expecting, each.at_s)
