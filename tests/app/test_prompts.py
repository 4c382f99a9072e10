"""Which signal sounds when, by the walk itself, and which of them the maker chose to hear."""
import pytest

from acoustics.blow import Verdict
from app import prompts
from app.events import Key, Pressed, Signal, Speak, StageChosen
from app.heard import BlowHeard, TootsHeard
from app.prompts import Prompts
from app.session import Session
from app.settings import Settings
from app.system_voice import Voice
from app.view import Stage
from tests.app.scripted_sound import ScriptedSource
from tests.app.test_session import ListJournal, heard
from tests.number_maker import WHISTLE, steady


class NotedSound:
    """Stands in for the listener's side."""

    def __init__(self, _source=None):
        self.tones = []

    def tone(self, sound):
        self.tones.append(sound)


class NotedSpeaker:
    """Stands in for the voice."""

    made = []

    def __init__(self, _voice, _turns):
        self.said, self.stopped = [], False
        NotedSpeaker.made.append(self)

    def say(self, sentence):
        self.said.append(sentence)

    def stop(self):
        self.stopped = True


@pytest.fixture(autouse=True)
def noted_speaker(monkeypatch):
    monkeypatch.setattr(prompts, "Speaker", NotedSpeaker)
    monkeypatch.setattr(NotedSpeaker, "made", [])


@pytest.fixture
def voiced(monkeypatch):
    monkeypatch.setattr(prompts, "find_voice", lambda: Voice(("voice",)))


@pytest.fixture
def walk():
    """A session that hears nothing by itself, and the signals it gives."""
    signals = []
    session = Session(ListJournal(), WHISTLE, Settings(temperature_c=19.5, units="mm"), ScriptedSource(()))
    session.on_signal[:] = [signals.append]
    return session, signals


def blow(session, hz, at_s):
    session.take_listener_event(heard(session, hz, at_s))


def first_blows(session):
    for n, hz in enumerate((560.0, 560.0, 560.2, 560.1, 559.8)):
        blow(session, hz, 3.0 * n)


def test_reading_that_was_taken_is_signalled(walk):
    session, signals = walk
    blow(session, 560.0, 3.0)
    assert signals == [Signal("taken")]


def test_blow_that_cannot_be_used_is_not_signalled_as_taken(walk):
    session, signals = walk
    asked = session.state.asked[-1].expecting
    unusable = steady(560.0, 3.0, Verdict.UNSTEADY)
    session.take_listener_event(BlowHeard(unusable, None, 48_000, asked, 3.0, 0))
    assert signals == []


def test_something_else_is_asked_with_one_tone_and_its_sentence(walk):
    session, signals = walk
    for n in range(4):
        blow(session, 560.0, 3.0 * n)
    assert signals[:3] == [Signal("taken")] * 3
    lines = session.view().sentence
    assert lines == ("Lift the finger, set it again", "then blow chamber A")
    assert signals[3:] == [Signal("ask"), Speak("Lift the finger, set it again, then blow chamber A.")]


def test_work_that_was_said_to_be_done_has_a_signal_of_its_own(walk):
    session, signals = walk
    first_blows(session)
    while session.state.place.letter != "A":
        session.post(Pressed(Key.NEXT))
    session.post(StageChosen(Stage.CUT))
    del signals[:]
    session.take_listener_event(TootsHeard(session.state.asked[-1].expecting, 30.0))
    assert signals[0] == Signal("done")
    assert [type(each) for each in signals[1:]] in ([], [Speak])


def test_every_step_of_a_walk_gives_one_tone_at_most(walk):
    """A reading that ends a chamber leads to more than one record."""
    session, signals = walk
    for n in range(60):
        del signals[:]
        if session.request().task.value in ("blow", "reseat"):
            blow(session, session.state.place.advice[session.request().letter].target_hz, 3.0 * n)
        else:
            session.take_listener_event(TootsHeard(session.state.asked[-1].expecting, 3.0 * n))
        assert len([each for each in signals if isinstance(each, Signal)]) <= 1
        assert all(each.text for each in signals if isinstance(each, Speak))
    assert session.state.place.chambers["A"].plug is not None, "the walk has come to a cut"


@pytest.mark.parametrize(("settings", "tones"), [
    (Settings(), ["taken", "ask", "done"]), (Settings(tones=False), []),
    (Settings(speech=True), ["taken", "done"]), (Settings(speech=True, tones=False), []),
])
def test_tones_are_sounded_as_chosen_and_a_spoken_sentence_needs_none(voiced, settings, tones):
    sound = NotedSound()
    prompt = Prompts(settings, sound)
    for name in ("taken", "ask", "done"):
        prompt.take(Signal(name))
    prompt.take(Speak("Blow chamber B."))
    assert sound.tones == tones
    assert [speaker.said for speaker in NotedSpeaker.made] == ([["Blow chamber B."]] if settings.speech else [])


def test_speech_without_a_voice_is_silent_and_keeps_the_tones(monkeypatch):
    monkeypatch.setattr(prompts, "find_voice", lambda: None)
    sound = NotedSound()
    prompt = Prompts(Settings(speech=True), sound)
    prompt.take(Signal("ask"))
    prompt.take(Speak("Blow chamber B."))
    assert sound.tones == ["ask"]
    assert NotedSpeaker.made == []


def test_speech_switched_off_stops_the_voice(voiced):
    prompt = Prompts(Settings(speech=True), NotedSound())
    prompt.take(Speak("Blow chamber B."))
    prompt.follow(Settings(speech=False))
    prompt.take(Speak("Blow chamber C."))
    assert [(speaker.said, speaker.stopped) for speaker in NotedSpeaker.made] == [(["Blow chamber B."], True)]


def test_session_that_ends_stops_the_voice(voiced):
    session = Session(ListJournal(), WHISTLE, Settings(speech=True), ScriptedSource(()))
    for n in range(4):
        blow(session, 560.0, 3.0 * n)
    session.stop()
    (speaker,) = NotedSpeaker.made
    assert speaker.said == ["Lift the finger, set it again, then blow chamber A."]
    assert speaker.stopped


def test_session_without_a_source_is_silent(voiced):
    session = Session(ListJournal(), WHISTLE, Settings(speech=True), None)
    first_blows(session)
    assert NotedSpeaker.made == []
