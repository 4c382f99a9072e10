"""The sheets on what earlier whistles taught and on what a practice whistle truly is."""
from __future__ import annotations

import math
from dataclasses import fields, replace

import pytest

from acoustics.tuning import Plan, Policy, Priors, advise, fit
from app.context import Context
from app.events import MemoryTold
from app.home import journal_path
from app.invented_maker import ChamberTruth
from app.learned import Learned, Teacher
from app.settings import Settings
from app.truth_words import aimed_truth, believed_off_cents, truth_sentence
from app.ui.desk import Desk
from app.ui.learned_sheet import LearnedSheet
from app.ui.sheets import Sheets
from app.ui.truth_sheet import TruthSheet
from app.whistle import to_plan
from tests.ui.sheet_cases import harbour
from tests.ui.sheet_checks import clipped, faint, missed_by_tab, same_mnemonics, unnamed

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")

PRIORS = Priors(0.077, 0.06, finger_log=math.log(0.6), finger_log_sd=0.1, blow_sd_cents=3.2)
KNOWN = Learned(PRIORS, tuple(Teacher(str(n), f"Tidewick harbour whistle no. {n}", n % 2 == 0, 40, True)
                              for n in range(8)), ("11111111-1111-4111-8111-111111111111",))  # fmt: skip
def became(letter: str, target_hz: float, off_cents: float) -> ChamberTruth:
    told = {"letter": letter, "target_hz": target_hz, "frequency_hz": target_hz * 2 ** (off_cents / 1200),
            "deviation_cents": off_cents, "interval_cents": off_cents - 1.3, "blows": 14, "cuts": 1, "slides": 12}
    return ChamberTruth(**{field.name: told.get(field.name, 0.0) for field in fields(ChamberTruth)})


TRUTH = tuple(became(*each) for each in (("A", 698.5, 1.3), ("B", 880.0, -2.4), ("C", 1046.5, 6.1), ("D", 1174.7, 0.2)))
(ADVICE,) = advise(fit(Plan(to_plan(harbour()).chambers[:1]), (), Priors()), Policy(), {})
BELIEVED = {"A": 0.4, "B": -1.9, "C": 3.2, "D": None}
SHEETS = {
    "learned": lambda settings: LearnedSheet(KNOWN, False, settings),
    "set aside": lambda settings: LearnedSheet(KNOWN, True, settings),
    "nothing learned": lambda settings: LearnedSheet(Learned(), False, settings),
    "truth": lambda settings: TruthSheet(TRUTH, BELIEVED, settings),
}


def shown(qtbot, sheet):
    qtbot.addWidget(sheet)
    with qtbot.waitActive(sheet):
        sheet.show()
        sheet.activateWindow()
    return sheet


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("text_scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_nothing_is_clipped_or_faint_at_any_size_of_text(qtbot, name, theme, text_scale):
    sheet = shown(qtbot, SHEETS[name](Settings(theme=theme, text_scale=text_scale)))
    sheet.resize(1280, 760)
    assert clipped(sheet) == []
    assert sheet.scroll.horizontalScrollBar().maximum() == 0
    assert faint(sheet) == []


@pytest.mark.parametrize("name", SHEETS)
def test_everything_has_a_name_a_letter_of_its_own_and_is_reached(qtbot, name):
    sheet = shown(qtbot, SHEETS[name](Settings()))
    assert (unnamed(sheet), same_mnemonics(sheet), missed_by_tab(sheet)) == ([], [], [])


def test_set_aside_and_used_again_are_told(qtbot):
    for aside in (False, True):
        sheet = shown(qtbot, LearnedSheet(KNOWN, aside, Settings()))
        with qtbot.waitSignal(sheet.memory_told) as told:
            sheet.change.click()
        assert told.args == [aside]


def test_where_nothing_was_learned_there_is_nothing_to_set_aside(qtbot):
    assert not shown(qtbot, LearnedSheet(Learned(), False, Settings())).change.isVisible()


@pytest.mark.parametrize(("tolerance_cents", "believed", "words"), [
    (5.0, BELIEVED, "3 of 4 chambers are truly within 5 cents of the note; what was believed is off by 2.9 cents at "
     "most, at C."),
    (10.0, {}, "All 4 chambers are truly within 10 cents of the note; nothing was read of any plug yet."),
    (0.1, {"A": 1.3}, "None of 4 chambers is truly within 0 cents of the note; what was believed is off by 0.0 cents "
     "at most."),
])  # fmt: skip
def test_the_truth_is_said_in_one_sentence(tolerance_cents, believed, words):
    assert truth_sentence(TRUTH, believed, tolerance_cents) == words


def test_a_plug_that_leaks_is_named_beside_the_truth():
    leaking = [replace(each, leaks=each.letter in "BC") for each in TRUTH]
    assert "air by" not in truth_sentence(TRUTH, BELIEVED, 5.0)
    assert truth_sentence(leaking, BELIEVED, 5.0).endswith(
        "B and C let air by: their own notes are told as if sealed, the chord as it is.")
    assert truth_sentence(leaking[:2], BELIEVED, 5.0).endswith(
        "B lets air by: its own note is told as if sealed, the chord as it is.")


def test_what_is_believed_is_counted_from_the_note_that_was_planned():
    # by hand: home moved B's target up by 4 cents, B is believed 1 cent flat of that: 3 cents sharp of its plan
    moved = replace(ADVICE, letter="B", target_hz=880.0 * 2 ** (4 / 1200), deviation_cents=-1.0)
    silent = replace(ADVICE, letter="A", deviation_cents=None)
    believed = believed_off_cents(TRUTH[:2], {"A": silent, "B": moved})
    assert (believed["A"], believed["B"]) == (None, pytest.approx(3.0))


def test_the_truth_of_a_chord_taken_down_is_counted_from_the_lower_notes():
    # by hand: 25 cents below 880 Hz is 867.38 Hz; a plug that sounds 24 cents below 880 is 1 cent sharp of that
    told = replace(TRUTH[1], target_hz=880.0, deviation_cents=-24.0)
    (lower,) = aimed_truth((told,), -25.0)
    assert (lower.target_hz, lower.deviation_cents) == (pytest.approx(867.38, abs=0.01), pytest.approx(1.0))
    assert lower.interval_cents == told.interval_cents
    assert aimed_truth((told,), 0.0) == (told,)


# ---- on the desk -------------------------------------------------------------------------------------------------
@pytest.fixture
def desk(qtbot, tmp_path):
    desk = Desk(Context(tmp_path, Settings(theme="light"), journal_path(tmp_path), seed=5, fast=True))
    qtbot.addWidget(desk.window)
    desk.window.show()
    yield desk
    desk.clear()


def test_at_the_end_of_practice_the_truth_is_shown_by_itself_and_once(desk, monkeypatch):
    sheets = Sheets(desk)
    desk.practise()
    view = desk.bridge.session.view()
    desk.bridge.view_changed.emit(view)
    assert sheets.open_sheet is None
    monkeypatch.setattr(desk.bridge.session, "done", lambda: True)
    desk.bridge.view_changed.emit(view)
    assert isinstance(sheets.open_sheet, TruthSheet)
    sheets.open_sheet.accept()
    desk.bridge.view_changed.emit(view)
    assert sheets.open_sheet is None


def test_without_a_whistle_nothing_was_taught(desk):
    Sheets(desk).show_memory()
    assert "No whistle lies on the bench" in desk.window.view.trouble


def test_setting_it_aside_on_the_sheet_reaches_the_walk(desk, monkeypatch):
    sheets = Sheets(desk)
    desk.practise()
    session = desk.bridge.session
    session._state = replace(session.state, learned=KNOWN)
    posted = []
    monkeypatch.setattr(desk, "post", posted.append)
    sheets.show_memory()
    sheets.open_sheet.change.click()
    assert posted == [MemoryTold(used=False)]
    assert sheets.open_sheet is None
