"""The program's own sounds: never over a blow, one at a time, and the listener is deaf until they have rung out."""
import threading

import pytest

from app.heard import BlowHeard, Breath
from app.own_sound import APART_S, DEAF_TAIL_S
from app.source import Block, Hearing, Notice
from tests.app import scripted_sound
from tests.app.scripted_sound import ENDED, ScriptedSource, blocks, listen_with

NOTHING = Notice(Hearing.LOST, "nothing came")


class RoomSource(ScriptedSource):
    """A scripted source that hears the room it plays into."""

    played: list[tuple[str, str]] = []
    sounding_s = 0.3

    def read(self, timeout_s: float) -> Block | Notice | None:
        """As before; `NOTHING` in the script is what a source says to which no sound comes."""
        item = super().read(timeout_s)
        return None if item is NOTHING else item

    def play(self, sound: str) -> float:
        RoomSource.played.append((sound, threading.current_thread().name))
        return RoomSource.sounding_s


@pytest.fixture
def room(monkeypatch):
    """The listener of these tests hears the room."""
    monkeypatch.setattr(scripted_sound, "ScriptedSource", RoomSource)
    monkeypatch.setattr(RoomSource, "played", [])
    return RoomSource


def blows(events):
    return [(event.blow.start_s, event.blow.end_s) for event in events if isinstance(event, BlowHeard)]


def test_tone_is_played_by_the_listeners_thread(room):
    listen_with(lambda listener: [
        *blocks(0.0, 0.1), lambda: listener.own_sound.tone("taken"), *blocks(0.1, 0.2), ENDED,
    ])
    assert room.played == [("taken", "listener")]


def test_nothing_is_heard_until_the_tone_has_rung_out(room):
    events = listen_with(lambda listener: [
        lambda: listener.own_sound.tone("taken"), *blocks(0.0, 0.1), *blocks(0.1, 0.5, 0.5), *blocks(0.5, 1.0),
        *blocks(1.0, 1.2, 0.5), *blocks(1.2, 1.3), ENDED,
    ])
    assert blows(events) == [(pytest.approx(1.0), pytest.approx(1.2))]
    again_s = 0.01 + 0.3 + DEAF_TAIL_S  # by hand: the first block, the tone, its ringing
    heard_s = [event.at_s for event in events if isinstance(event, Breath)]
    assert not [at_s for at_s in heard_s if 0.02 < at_s < again_s]
    assert min(at_s for at_s in heard_s if at_s > 0.02) == pytest.approx(again_s, abs=0.02)


def test_tone_asked_for_during_a_blow_is_left_out_and_the_blow_is_heard_whole(room):
    events = listen_with(lambda listener: [
        *blocks(0.0, 0.1), *blocks(0.1, 0.2, 0.5), lambda: listener.own_sound.tone("done"), *blocks(0.2, 0.4, 0.5),
        *blocks(0.4, 0.8), ENDED,
    ])
    assert blows(events) == [(pytest.approx(0.1), pytest.approx(0.4))]
    assert room.played == []


def test_second_tone_waits_for_the_first_and_the_newest_takes_its_place(room):
    at_s = []
    listen_with(lambda listener: [
        *blocks(0.0, 0.1), lambda: listener.own_sound.tone("taken"), *blocks(0.1, 0.2),
        lambda: listener.own_sound.tone("done"), *blocks(0.2, 0.3), lambda: listener.own_sound.tone("ask"),
        lambda: at_s.append(len(room.played)), *blocks(0.3, 1.0), ENDED,
    ])
    assert at_s == [1]
    assert [sound for sound, _ in room.played] == ["taken", "ask"]


def test_two_tones_are_further_apart_than_two_toots(room):
    at_s = []

    def noted(listener):
        at_s.append((listener.now_s, len(room.played)))

    listen_with(lambda listener: [
        *blocks(0.0, 0.1), lambda: listener.own_sound.tone("taken"), *blocks(0.1, 0.2),
        lambda: listener.own_sound.tone("taken"),
        *[step for block in blocks(0.2, 1.2) for step in (block, lambda: noted(listener))], ENDED,
    ])
    second_s = next(now_s for now_s, n_played in at_s if n_played == 2)
    assert second_s == pytest.approx(0.11 + 0.3 + APART_S, abs=0.025)


def test_output_that_does_not_sound_is_told_and_makes_nobody_deaf(room, monkeypatch):
    monkeypatch.setattr(room, "sounding_s", 0.0)
    told = []
    events = listen_with(lambda listener: [
        *blocks(0.0, 0.1), lambda: listener.own_sound.tone("taken", lambda: told.append("unheard")),
        *blocks(0.1, 0.2), *blocks(0.2, 0.4, 0.5),
        *blocks(0.4, 0.5), ENDED,
    ])
    assert blows(events) == [(pytest.approx(0.2), pytest.approx(0.4))]
    assert told == ["unheard"]


def test_practice_and_recordings_know_no_tones_and_go_on_hearing():
    events = listen_with(lambda listener: [
        lambda: listener.own_sound.tone("taken"), *blocks(0.0, 0.1), *blocks(0.1, 0.3, 0.5), *blocks(0.3, 0.4), ENDED,
    ])
    assert blows(events) == [(pytest.approx(0.1), pytest.approx(0.3))]


def test_voice_waits_for_the_end_of_a_blow_and_the_listener_is_deaf_until_it_ends(room):
    began = []
    events = listen_with(lambda listener: [
        *blocks(0.0, 0.1), *blocks(0.1, 0.2, 0.5),
        lambda: listener.own_sound.await_turn(lambda: began.append(listener.now_s)),
        *blocks(0.2, 0.3, 0.5), *blocks(0.3, 0.4), *blocks(0.4, 3.0, 0.5), listener.own_sound.voice_ended,
        *blocks(3.0, 3.2, 0.5), *blocks(3.2, 3.6), *blocks(3.6, 3.8, 0.5), *blocks(3.8, 3.9), ENDED,
    ])
    assert began == [pytest.approx(0.31)]  # by hand: one quiet block after the blow
    assert blows(events) == [(pytest.approx(0.1), pytest.approx(0.3)), (pytest.approx(3.6), pytest.approx(3.8))]


def test_voice_speaks_after_the_tone_and_not_over_it(room):
    began = []

    def script(listener):
        own = listener.own_sound
        return [*blocks(0.0, 0.1), lambda: own.tone("done"),
                lambda: own.await_turn(lambda: began.append(listener.now_s)), *blocks(0.1, 1.0), ENDED]

    listen_with(script)
    assert [sound for sound, _ in room.played] == ["done"]
    assert began == [pytest.approx(0.11 + 0.3 + DEAF_TAIL_S, abs=0.015)]


def test_turn_that_is_no_longer_wanted_never_comes(room):
    def script(listener):
        own = listener.own_sound
        return [*blocks(0.0, 0.1), *blocks(0.1, 0.2, 0.5), lambda: own.await_turn(lambda: pytest.fail("it came")),
                own.voice_ended, *blocks(0.2, 0.3, 0.5), *blocks(0.3, 0.6), *blocks(0.6, 0.8, 0.5), *blocks(0.8, 0.9),
                ENDED]

    assert len(blows(listen_with(script))) == 2


def test_voice_speaks_although_the_microphone_is_gone(room):
    """The source's clock stands still then, in the midst of a tone's ringing."""
    began = threading.Event()

    def script(listener):
        own = listener.own_sound
        yield from [*blocks(0.0, 0.1), lambda: own.deaf_until(5.0), *blocks(0.1, 0.2)]
        own.await_turn(began.set)
        yield NOTHING
        assert began.is_set()
        yield ENDED

    listen_with(script)
    assert began.is_set()


def test_voice_in_practice_waits_for_nobody_and_deafens_nobody():
    began = threading.Event()
    events = listen_with(lambda listener: [
        *blocks(0.0, 0.1), *blocks(0.1, 0.2, 0.5), lambda: listener.own_sound.await_turn(began.set),
        *blocks(0.2, 0.3, 0.5), *blocks(0.3, 0.4), ENDED,
    ])
    assert began.is_set()
    assert blows(events) == [(pytest.approx(0.1), pytest.approx(0.3))]
