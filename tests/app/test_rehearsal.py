"""The loop that walks without threads: who is told what, and when it ends. A fake walk, invented sound."""
from dataclasses import dataclass, field
from types import SimpleNamespace

import pytest

from acoustics.tuning import Stop
from app.events import Expecting, Request, Task, Typed
from app.heard import BlowHeard, Breath, TootsHeard
from app.practice import Performer, invent_practice
from app.rehearsal import MOST_ALIKE, drive

RATE_HZ = 16_000


@dataclass
class FakeWalk:
    """Asks one thing after the other, going on with each answer; the last is asked for ever."""

    requests: list[Request]
    endless: bool = False
    heard: list = field(default_factory=list)

    @property
    def state(self):
        expecting = Expecting(self.request().id, "whistle", "A", Stop.FINGER, None)
        return SimpleNamespace(asked=(SimpleNamespace(expecting=expecting),))

    def request(self):
        return self.requests[0]

    def finished(self):
        return False

    def post(self, event):
        self.heard.append(event)
        self._go_on()

    def take_listener_event(self, event):
        if isinstance(event, Breath):
            return
        self.heard.append(event)
        self._go_on()

    def _go_on(self):
        if not self.endless:
            self.requests.pop(0)


@pytest.fixture
def performer():
    maker, _ = invent_practice(seed=4)
    return Performer(maker, RATE_HZ)


NOTHING = Request(99, Task.NOTHING)


def test_a_blow_asked_for_is_heard_under_the_request_that_asked(performer):
    walk = FakeWalk([Request(7, Task.BLOW, "A", Stop.FLAT, 0.0), NOTHING])
    outcome = drive(walk, performer)
    assert [(type(event), event.expecting.id) for event in walk.heard] == [(BlowHeard, 7)]
    assert (outcome.finished, outcome.requests, outcome.unheard) == (False, 1, 0)


def test_a_cut_is_answered_by_toots(performer):
    walk = FakeWalk([Request(1, Task.CUT, "A", Stop.PLUG, 15.0), NOTHING])
    drive(walk, performer)
    assert [type(event) for event in walk.heard] == [TootsHeard]


def test_a_typing_maker_types_the_length_off_the_calipers(performer):
    walk = FakeWalk([Request(1, Task.CUT, "A", Stop.PLUG, 15.0), NOTHING])
    drive(walk, performer, typing=True)
    (typed,) = walk.heard
    assert isinstance(typed, Typed)
    assert typed.length_mm == pytest.approx(performer.maker.truth()[0].plug_mm, abs=0.3)


def test_a_walk_that_gets_no_further_ends(performer):
    walk = FakeWalk([Request(1, Task.REST)], endless=True)
    assert drive(walk, performer).requests == MOST_ALIKE
