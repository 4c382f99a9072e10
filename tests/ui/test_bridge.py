"""The listener's thread and the window meet in one place only; the desk keeps one session at a time."""
from __future__ import annotations

import json
import threading
from collections import deque
from dataclasses import replace

import pytest

from app.closeness import FLAT_RISK, Boldness, policy_of
from app.context import Context
from app.events import AirTold, Key, Pressed, StageChosen
from app.home import journal_path
from app.settings import Settings
from app.ui.awake import StayAwake
from app.ui.bridge import Bridge
from app.ui.desk import Desk
from app.ui.empty_bench import empty_view
from app.ui.sheets import Sheets
from app.view import Stage
from tests.ui.bench_parts import words_on
from tests.ui.sample_views import CUT, TRIM
from tests.ui.shots import BreathDot

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


class SmallSession:
    """Stands in for a session: records on which thread it was touched."""

    def __init__(self):
        self.on_change, self.posted, self.taken = [], [], []
        self.shown = TRIM
        self.deliver = None
        self.points = deque([BreathDot(1.5, -20.0, 880.0)])

    def view(self):
        return self.shown

    def breath(self):
        return self.points

    def post(self, event):
        self.posted.append(event)

    def take_listener_event(self, event):
        self.taken.append((event, threading.current_thread()))
        for tell in self.on_change:
            tell()

    def prompt_as(self, settings):
        pass

    def start(self):
        self.posted.append("started")

    def stop(self):
        self.posted.append("stopped")


@pytest.fixture
def bridge(qtbot):
    bridge = Bridge(SmallSession())
    yield bridge
    bridge.stop()


def test_what_the_listener_hears_is_taken_on_the_main_thread(qtbot, bridge):
    bridge.start()
    with qtbot.waitSignal(bridge.view_changed):
        thread = threading.Thread(target=bridge.session.deliver, args=("heard",))
        thread.start()
        thread.join()
    assert bridge.session.taken == [("heard", threading.main_thread())]


def test_many_changes_in_one_turn_are_shown_once(qtbot, bridge):
    bridge.start()
    told = []
    bridge.view_changed.connect(told.append)
    bridge.session.shown = CUT
    for _ in range(5):
        bridge.session.on_change[0]()
    qtbot.waitUntil(lambda: bool(told))
    assert told == [CUT]


def test_a_key_bears_the_time_of_the_sound(bridge):
    bridge.post(Pressed(Key.DONE))
    bridge.post(StageChosen(Stage.CUT))
    assert bridge.session.posted == [Pressed(Key.DONE, 1.5), StageChosen(Stage.CUT)]


def test_after_stopping_nothing_heard_is_taken(qtbot, bridge):
    bridge.start()
    bridge.session.deliver("on its way")
    bridge.stop()
    with qtbot.waitSignal(bridge._delivered):
        bridge.session.deliver("too late")
    assert bridge.session.taken == []


def test_the_breath_reaches_the_window_by_itself(qtbot, bridge):
    bridge.start()
    with qtbot.waitSignal(bridge.breath_changed) as told:
        pass
    assert told.args == [tuple(bridge.session.points)]


# ---- the desk --------------------------------------------------------------------------------------------------------
@pytest.fixture
def desk(qtbot, tmp_path):
    desk = Desk(Context(tmp_path, Settings(theme="light"), journal_path(tmp_path), seed=5, fast=True))
    qtbot.addWidget(desk.window)
    desk.window.show()
    yield desk
    desk.clear()


def test_an_empty_journal_leaves_an_empty_bench_that_says_how_to_begin(desk):
    desk.begin()
    assert desk.window.view == empty_view()
    assert "Describe your whistle" in words_on(desk.window)
    assert desk.bridge is None


def test_practice_is_heard_and_goes_on_by_itself_until_a_plug_is_cut(qtbot, desk, tmp_path):
    desk.practise()
    qtbot.waitUntil(lambda: desk.window.view.stage in (Stage.CUT, Stage.TRIM), timeout=120_000)
    assert desk.window.view.hearing_ok
    assert desk.window.view.trouble == ""
    assert not journal_path(tmp_path).exists()  # nothing of it enters the maker's own journal
    assert journal_path(tmp_path, practice=True).exists()


def test_tones_and_voice_are_switched_for_the_whistle_on_the_bench(desk, monkeypatch):
    desk.practise()
    told = []
    monkeypatch.setattr(desk.bridge.session, "prompt_as", told.append)
    desk.keep_settings(replace(desk.settings, tones=False, speech=True))
    assert [(settings.tones, settings.speech) for settings in told] == [(False, True)]


def test_a_second_practice_takes_the_place_of_the_first(qtbot, desk):
    desk.practise()
    first = desk.bridge
    with qtbot.waitSignal(first.destroyed):
        desk.practise()
    assert desk.bridge is not first
    assert desk.window.view.title == "Practice whistle"


def test_a_practice_that_is_open_elsewhere_is_refused_in_one_sentence(desk, tmp_path):
    from app.home import HomeLock

    folder = journal_path(tmp_path, practice=True).parent
    folder.mkdir()
    with HomeLock(folder):
        desk.practise()
    assert "open already" in desk.window.view.trouble
    assert desk.bridge is None


def test_settings_chosen_in_the_window_are_written_down(desk, tmp_path):
    desk.window.change_settings(replace(desk.settings, theme="dark", text_scale=1.5))
    written = json.loads((tmp_path / "settings.json").read_text())
    assert (written["theme"], written["text_scale"]) == ("dark", 1.5)
    assert desk.window.bench.dress.text_scale == 1.5


def test_a_bolder_maker_accepts_more_risk():
    careful, bold = (policy_of(replace(Settings(), boldness=word)) for word in ("careful", "bold"))
    assert careful.flat_risk == FLAT_RISK[Boldness.CAREFUL] < bold.flat_risk
    assert policy_of(replace(Settings(), tolerance_cents=3.0)).tolerance_cents == 3.0


def test_the_air_that_is_told_is_kept_and_reaches_the_walk(qtbot, desk):
    session = SmallSession()
    sheets = Sheets(desk)
    desk.bridge = Bridge(session, desk)
    sheets.ask_air()
    sheet = sheets.open_sheet
    sheet.air.reading.setText("21.5")
    sheet.air.without.setChecked(False)
    with qtbot.waitSignal(sheet.air_told):
        sheet.take()
    assert desk.settings.temperature_c == 21.5
    assert session.posted[-1] == AirTold(21.5)
    assert sheets.open_sheet is None


def test_a_practice_whistle_tells_its_truth_and_a_real_one_has_none(desk):
    sheets = Sheets(desk)
    sheets.show_truth()
    assert "Only a practice whistle" in desk.window.view.trouble
    desk.practise()
    sheets.show_truth()
    assert [cells[0] for cells in sheets.open_sheet.cells[1:]] == list("ABCD")
    assert sheets.open_sheet.cells[1][3] == "not read"
    sheets.open_sheet.accept()


def test_a_desktop_that_cannot_be_asked_to_stay_awake_is_no_trouble(monkeypatch):
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nowhere/at/all")
    assert StayAwake().ask() is False


@pytest.mark.qt_log_ignore("raise", "propagateSizeHints")  # both said by the off-screen platform
def test_one_sheet_is_open_at_a_time(desk):
    sheets = Sheets(desk)
    sheets.ask_air()
    first = sheets.open_sheet
    sheets.describe_whistle()
    assert sheets.open_sheet is first
    first.reject()
    assert sheets.open_sheet is None


@pytest.mark.logs_warnings
def test_a_fault_of_the_program_is_said_on_the_bench_and_logged(desk, caplog):
    from app.ui.main import OUR_FAULT, tell_fault

    try:
        raise RuntimeError("invented fault")
    except RuntimeError as fault:
        tell_fault(type(fault), fault, fault.__traceback__)
    assert desk.window.view.trouble == OUR_FAULT
    assert "invented fault" in caplog.text


def test_deleting_kept_sound_removes_the_files_and_leaves_the_journal(qtbot, tmp_path):
    from app.context import Context
    from app.sound_files import SUBFOLDER

    blows = tmp_path / SUBFOLDER
    blows.mkdir()
    for name in ("one.flac", "two.flac"):
        (blows / name).write_bytes(b"fLaC")
    (tmp_path / "journal.sqlite").write_bytes(b"")
    desk = Desk(Context(tmp_path, Settings(), tmp_path / "journal.sqlite"))
    qtbot.addWidget(desk.window)
    assert desk.delete_sound() == 2
    assert list(blows.glob("*.flac")) == []
    assert (tmp_path / "journal.sqlite").exists()
