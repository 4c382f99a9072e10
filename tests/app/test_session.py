"""The session: effects carried out in order, nothing shown before it is committed, the listener's events understood."""
from dataclasses import replace

import numpy as np
import pytest

from acoustics.blow import Verdict
from acoustics.tuning import Stop
from app.errors import WorldError
from app.events import Key, Noticed, Pressed, Route, StageChosen
from app.heard import BlowHeard, Breath, ListenerDied, SourceNoticed, TootsHeard
from app.journal import Journal
from app.records import BlowTaken, PlugSet, StepTaken, WhistleFiled
from app.session import Session
from app.settings import Settings
from app.source import Hearing, Notice
from app.view import Stage
from tests.app.scripted_sound import ScriptedSource
from tests.number_maker import WHISTLE, steady

SETTINGS = Settings(temperature_c=19.5, units="mm")


class ListJournal:
    """A journal in memory that can refuse."""

    def __init__(self) -> None:
        self.kept: list = []
        self.refusal = ""

    def append(self, record):
        if self.refusal:
            raise WorldError(self.refusal)
        self.kept.append(record)

    def records(self, whistle_id):
        return tuple(self.kept)


def heard(session: Session, hz: float, at_s: float) -> BlowHeard:
    asked = session.state.asked[-1].expecting
    return BlowHeard(steady(hz, at_s), np.zeros(10, np.float32), 48_000, asked, at_s, 0)


def test_opening_a_new_whistle_files_its_document_and_the_shop_air():
    journal = ListJournal()
    session = Session(journal, WHISTLE, SETTINGS, None, route=Route.TRIM, first_stop=Stop.FLAT)
    assert isinstance(journal.kept[0], WhistleFiled)
    assert {r.step for r in journal.kept if isinstance(r, StepTaken)} == {"route", "stop", "air"}
    assert session.state.place.temperature_c == 19.5
    assert session.request().stop is Stop.FLAT


def test_opening_it_again_files_nothing_twice():
    journal = ListJournal()
    Session(journal, WHISTLE, SETTINGS, None, route=Route.TRIM)
    before = len(journal.kept)
    Session(journal, WHISTLE, SETTINGS, None, route=Route.TRIM)
    assert len(journal.kept) == before


def test_a_changed_document_is_filed_as_a_new_revision():
    journal = ListJournal()
    Session(journal, WHISTLE, SETTINGS, None)
    Session(journal, replace(WHISTLE, wood="pear"), SETTINGS, None)
    assert len([r for r in journal.kept if isinstance(r, WhistleFiled)]) == 2


class Keeper:
    """Keeps nothing, and says what it was given."""

    def __init__(self) -> None:
        self.given: list[object] = []

    def keep(self, samples: object, _rate_hz: int) -> str:
        self.given.append(samples)
        return f"blows/{len(self.given)}.flac"


@pytest.mark.parametrize(("verdict", "kept"), [
    (Verdict.STEADY, True), (Verdict.UNSTEADY, True), (Verdict.BREATHY, True), (Verdict.HUM, False),
    (Verdict.NOT_A_WHISTLE, False), (Verdict.TOO_SHORT, False),
])
def test_the_sound_of_every_booked_blow_is_kept_read_or_not(verdict, kept):
    journal, keeper = ListJournal(), Keeper()
    session = Session(journal, WHISTLE, SETTINGS, None, keeper=keeper)
    asked = session.state.asked[-1].expecting
    blow = steady(560.0, 3.0, verdict)
    session.take_listener_event(BlowHeard(blow, np.zeros(10, np.float32), 48_000, asked, 3.0, 0))
    assert [r.sound_file for r in journal.kept if isinstance(r, BlowTaken)] == (["blows/1.flac"] if kept else [])
    assert len(keeper.given) == kept


@pytest.mark.parametrize(("hearing", "through_it"), [
    (None, False), (Hearing.OPENING, False), (Hearing.LOST, False), (Hearing.HEARING, True),
])
def test_a_sound_goes_through_the_listener_only_while_that_hears(hearing, through_it):
    source = ScriptedSource([])
    source.play = lambda _sound: 0.3
    session = Session(ListJournal(), WHISTLE, SETTINGS, source)
    if hearing is not None:
        session.post(Noticed(Notice(hearing)))
    assert session.let_hear("taken") is through_it


def test_a_blow_heard_is_committed_and_then_shown():
    journal = ListJournal()
    session = Session(journal, WHISTLE, SETTINGS, None)
    told: list[int] = []
    session.on_change.append(lambda: told.append(len(journal.kept)))
    before = len(journal.kept)
    session.take_listener_event(heard(session, 560.0, 3.0))
    assert isinstance(journal.kept[-1], BlowTaken)
    assert told == [before + 1]
    assert session.view().blows.lines == ("1 steady, warm-up, not counted",)


def test_a_full_disk_is_said_and_the_blow_is_not_shown():
    journal = ListJournal()
    session = Session(journal, WHISTLE, SETTINGS, None)
    journal.refusal = "The disk is full: free some room and blow again."
    session.take_listener_event(heard(session, 560.0, 3.0))
    assert session.view().trouble == journal.refusal
    assert session.view().blows.lines == ()


def test_a_blow_while_nothing_was_asked_is_left_alone():
    journal = ListJournal()
    session = Session(journal, WHISTLE, SETTINGS, None)
    before = len(journal.kept)
    session.take_listener_event(replace(heard(session, 560.0, 3.0), expecting=None))
    assert len(journal.kept) == before


def test_two_toots_put_the_plug_in():
    journal = ListJournal()
    session = Session(journal, WHISTLE, SETTINGS, None)
    for n, hz in enumerate((560.0, 560.0, 560.2, 560.1, 559.8)):
        session.take_listener_event(heard(session, hz, 3.0 * n))
    session.post(StageChosen(Stage.CUT))
    while session.state.place.letter != "A":
        session.post(Pressed(Key.NEXT))
    session.post(StageChosen(Stage.CUT))
    asked = session.state.asked[-1].expecting
    session.take_listener_event(TootsHeard(asked, 30.0))
    assert isinstance(journal.kept[-1], PlugSet)


def test_breath_points_are_kept_for_the_line_and_time_passes():
    session = Session(ListJournal(), WHISTLE, SETTINGS, None)
    for n in range(60):
        session.take_listener_event(Breath(n * 0.04, -30.0, None))
    assert len(session.breath()) == 60
    assert session.state.now_s == pytest.approx(2.0, abs=0.1)


@pytest.mark.parametrize("hearing", list(Hearing))
def test_every_state_of_the_source_has_words(hearing):
    session = Session(ListJournal(), WHISTLE, SETTINGS, None)
    session.take_listener_event(SourceNoticed(Notice(hearing)))
    assert session.view().hearing
    assert session.view().hearing_ok == (hearing is Hearing.HEARING)


def test_a_listener_that_died_is_told():
    session = Session(ListJournal(), WHISTLE, SETTINGS, None)
    session.take_listener_event(ListenerDied("The program stopped listening through a fault of its own.", True))
    assert "stopped listening" in session.view().trouble


def test_a_session_on_a_real_journal_resumes_where_it_was(tmp_path):
    with Journal(tmp_path / "journal.sqlite") as journal:
        session = Session(journal, WHISTLE, SETTINGS, None)
        for n, hz in enumerate((560.0, 560.0, 560.2, 560.1, 559.8)):
            session.take_listener_event(heard(session, hz, 3.0 * n))
        at = (session.state.place.stage, session.state.place.letter)
    with Journal(tmp_path / "journal.sqlite") as journal:
        again = Session(journal, WHISTLE, SETTINGS, None)
        assert (again.state.place.stage, again.state.place.letter) == at
        assert again.state.place.chambers["A"].first == session.state.place.chambers["A"].first


def test_every_story_of_a_surprise_has_words():
    from acoustics.stories import Story
    from app.wording import STORY_WORDS

    assert {story.value for story in Story} == STORY_WORDS.keys()
