"""The lay-out sheet and the bench behind it: which whistle it opens with, and through what a chord is heard."""
from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from app.chord_sound import ChordSound
from app.context import Context
from app.home import journal_path
from app.journal import Journal
from app.settings import Settings
from app.ui.bridge import Bridge
from app.ui.desk import Desk
from app.ui.keys_line import keys_named
from app.ui.sheets import Sheets
from app.ui.whistle_form import WhistleForm
from app.view import Stage
from tests.ui.lay_out_cases import drilled
from tests.ui.quiet_source import Silence
from tests.ui.session_cases import whole_session
from tests.ui.sheet_cases import harbour
from tests.ui.test_bridge import SmallSession

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")

CHORD = ChordSound((698.456, 880.0))


class Player:
    """Stands in for the player of chords."""

    def __init__(self) -> None:
        self.told: list[object] = []

    def play(self, sound: ChordSound, unheard: Callable[[], None]) -> None:
        self.told.append(sound)
        self.unheard = unheard

    def stop(self) -> None:
        self.told.append("stopped")


@pytest.fixture
def sheets(qtbot, tmp_path: Path):
    desk = Desk(Context(tmp_path, Settings(theme="light"), journal_path(tmp_path), seed=5, fast=True))
    qtbot.addWidget(desk.window)
    desk._player = Player()
    sheets = Sheets(desk)
    desk.window.show()
    yield sheets
    desk.clear()


def with_session(desk: Desk, *, hears: bool) -> list[object]:
    """A session on the bench whose listener has a loudspeaker or not; what it was given to sound."""
    session, given = SmallSession(), []
    session.let_hear = lambda sound, _unheard: bool(given.append(sound)) or hears
    desk.bridge = Bridge(session, desk)
    return given


def test_a_chord_goes_through_the_listener_which_is_deaf_to_it(sheets) -> None:
    given = with_session(sheets.desk, hears=True)
    sheets.desk.let_hear(CHORD)
    assert given == [CHORD]
    assert sheets.desk._player.told == []


@pytest.mark.parametrize("on_bench", [True, False], ids=["practice on the bench", "empty bench"])
def test_without_a_listening_microphone_it_sounds_alone(sheets, on_bench) -> None:
    if on_bench:
        with_session(sheets.desk, hears=False)
    sheets.desk.let_hear(CHORD)
    assert sheets.desk._player.told == [CHORD]


def test_without_a_loudspeaker_the_sheet_says_so(qtbot, sheets) -> None:
    sheets.describe_whistle()
    form = sheets.open_sheet
    form.fields.chord.hear.click()
    thread = threading.Thread(target=sheets.desk._player.unheard)  # as the player's own
    thread.start()
    thread.join()
    qtbot.waitUntil(lambda: form.trouble.text() == "No loudspeaker was found, so nothing could be heard.")
    form.reject()


def test_a_chord_is_broken_off_before_a_microphone_could_hear_it(sheets) -> None:
    sheets.desk.let_hear(CHORD)
    sheets.desk.clear()  # as before every whistle that is laid on the bench
    assert sheets.desk._player.told == [CHORD, "stopped"]


def test_the_whistle_on_the_bench_is_laid_out_anew(qtbot, sheets) -> None:
    with_session(sheets.desk, hears=True)
    whistle = sheets.desk.whistle = drilled()
    sheets.plan_whistle()
    form = sheets.open_sheet
    assert isinstance(form, WhistleForm)
    assert form.whistle() == whistle
    with qtbot.waitSignal(form.chord_asked):
        form.fields.chord.hear.click()
    form.reject()


def test_a_whistle_just_laid_out_names_the_keys_to_its_papers_until_it_is_blown(qtbot, sheets, monkeypatch) -> None:
    monkeypatch.setattr("app.microphone.Microphone", Silence)
    sheets.describe_whistle()
    sheets.open_sheet.ready.click()
    window = sheets.desk.window
    qtbot.waitUntil(lambda: window.view.stage is Stage.FIRST_BLOW)
    keys = keys_named(window.view.keys)
    assert {"ctrl+l", "ctrl+s"} <= keys
    window.press_named("ctrl+l")
    assert isinstance(sheets.open_sheet, WhistleForm)
    assert sheets.open_sheet.whistle() == sheets.desk.whistle
    sheets.open_sheet.reject()
    sheets.desk.practise()  # an invented whistle has no papers
    assert not {"ctrl+l", "ctrl+s"} & keys_named(window.view.keys)


def test_a_whistle_that_was_blown_names_the_keys_of_its_walk_alone(sheets, monkeypatch) -> None:
    monkeypatch.setattr("app.microphone.Microphone", Silence)
    whistle = harbour()
    with Journal(sheets.desk.context.journal_path) as journal:
        for record in whole_session(whistle):
            journal.append(record)
    sheets.desk.lay(whistle)
    assert sheets.desk.window.view.keys
    assert not {"ctrl+l", "ctrl+s"} & keys_named(sheets.desk.window.view.keys)


def test_an_empty_bench_has_nothing_to_lay_out_anew(sheets) -> None:
    sheets.plan_whistle()
    assert sheets.open_sheet is None
    assert "No whistle lies on the bench" in sheets.desk.window.view.trouble


def test_a_practice_whistle_never_enters_the_makers_journal_by_this_way(sheets) -> None:
    sheets.desk.practise()
    sheets.plan_whistle()
    assert sheets.open_sheet is None
    assert "A practice whistle is invented" in sheets.desk.window.view.trouble
