"""Every control of the window and of every sheet has a name, every picture its words, and none of them is stale."""
from __future__ import annotations

import importlib
import pkgutil
import random
from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QAbstractButton, QApplication, QDialog, QFileDialog, QMenu, QPushButton

import app.microphone
import app.ui
import app.ui.sentence
from app.club_book import add_whistles
from app.context import Context
from app.home import journal_path
from app.journal import Journal
from app.journal.checking import Check
from app.settings import Settings
from app.ui.damaged_sheet import DamagedSheet
from app.ui.desk import Desk
from app.ui.painted import Painted
from app.ui.sheets import Sheets
from app.ui.trial_sheet import TrialSheet
from app.ui.ways_sheet import WaysSheet
from tests.ui.accessible_tree import nameless, namesakes, silent, told_of, untold
from tests.ui.bench_parts import bench_with
from tests.ui.chord_views import chord_views
from tests.ui.fake_ear import FakeEar
from tests.ui.glue_views import glue_views
from tests.ui.quiet_source import Silence
from tests.ui.sample_views import ALL, TRIM
from tests.ui.sheet_cases import harbour
from tests.ui.walk_views import all_walked
from tests.ui.ways_cases import flat, short, ways_of

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")  # said by Qt off screen of windows and menus
LEAVES_THE_BENCH = ("Close the bench", "Whole screen")
PRACTICE = "Practice on an invented whistle"


@pytest.fixture
def sheets(qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr(app.microphone, "Microphone", Silence)
    monkeypatch.setattr(app.microphone, "list_devices", lambda: FakeEar().there)
    for name in ("getOpenFileName", "getSaveFileName"):
        monkeypatch.setattr(QFileDialog, name, lambda *_args, **_kwargs: ("", ""))
    desk = Desk(Context(tmp_path, Settings(theme="light", temperature_c=20.0), journal_path(tmp_path), seed=4))
    qtbot.addWidget(desk.window)
    sheets = Sheets(desk)
    with qtbot.waitActive(desk.window):
        desk.window.show()
        desk.window.activateWindow()
    yield sheets
    desk.clear()


def leaves(menu: QMenu) -> Iterator[QAction]:
    for action in menu.actions():
        if action.menu() is not None:
            yield from leaves(action.menu())
        elif not action.isSeparator():
            yield action


def menu_lines(sheets: Sheets) -> dict[str, QAction]:
    """Every line of every menu, by its words."""
    bar = sheets.desk.window.menuBar()
    return {
        line.text().replace("&", "").partition("\t")[0]: line
        for top in bar.actions() for line in leaves(top.menu()) if line.text()
    }


def complaints(window) -> list[str]:
    """All that is wanting in what a window or sheet tells, on each of its pages."""
    QApplication.processEvents()
    found = nameless(window) + silent(window) + untold(window) + namesakes(window)
    for page in window.findChildren(QAbstractButton, "page"):
        page.click()
        QApplication.processEvents()
        found += nameless(window) + silent(window) + untold(window) + namesakes(window)
    return found


def opened_from_menus(sheets: Sheets, only: str = "") -> set[str]:
    """Each line of the menu chosen once; what it opened is looked at and closed, and what that opens too."""
    opened = set()
    lines = menu_lines(sheets)
    assert len(lines) > 30
    for words, line in lines.items():
        if words in (*LEAVES_THE_BENCH, PRACTICE) or not words.startswith(only):
            continue
        line.trigger()
        sheet = sheets.open_sheet
        if sheet is None:
            continue
        opened.add(looked_at(sheet))
        further = [key.accessibleName() for key in sheet.findChildren(QPushButton) if leads_further(key)]
        close_all(sheets)
        for name in further:
            line.trigger()
            first = sheets.open_sheet
            key = next(one for one in first.findChildren(QPushButton) if one.accessibleName() == name)
            key.click()
            if sheets.open_sheet not in (first, None):
                opened.add(looked_at(sheets.open_sheet))
            close_all(sheets)
    return opened


def looked_at(sheet: QDialog) -> str:
    """The kind of a sheet on which nothing is wanting."""
    assert complaints(sheet) == [], type(sheet).__name__
    return type(sheet).__name__


def leads_further(key: QPushButton) -> bool:
    """Keys that open something; paper is not to be asked for here."""
    return key.isVisible() and key.isEnabled() and key.text().endswith("…") and "rint" not in key.text()


def close_all(sheets: Sheets) -> None:
    """A sheet that came from another one leads back to it."""
    for _ in range(4):
        if sheets.open_sheet is not None:
            sheets.open_sheet.reject()
    assert sheets.open_sheet is None


def all_sheets() -> set[str]:
    """The name of every dialog that `app.ui` has, however it is opened."""
    for module in pkgutil.iter_modules(app.ui.__path__):
        importlib.import_module(f"app.ui.{module.name}")
    found: set[str] = set()
    waiting = [QDialog]
    while waiting:
        for kind in waiting.pop().__subclasses__():
            waiting.append(kind)
            if kind.__module__.startswith("app.") and kind.__name__ != "Sheet":
                found.add(kind.__name__)
    return found


def test_every_sheet_that_there_is_tells_everything_on_it(sheets):
    with Journal(sheets.desk.context.journal_path) as journal:
        add_whistles(journal, harbour(), 2, anew=True)  # an evening, so that its sheets have something to show
    sheets.desk.lay(harbour())
    seen = opened_from_menus(sheets)
    menu_lines(sheets)[PRACTICE].trigger()
    seen |= opened_from_menus(sheets, only="After practice")
    sheets.desk.clear()
    sheets.first_start()
    first = sheets.open_sheet
    for _ in first.pages:
        assert complaints(first) == []
        seen.add(type(first).__name__)
        first.skip()
    trial = TrialSheet(Settings(), FakeEar(), sheets.desk.window)
    ways = (WaysSheet(ways_of(bench), Settings(), sheets.desk.window) for bench in (flat(), short()))
    harmed = DamagedSheet(Check(("its head is damaged",), {"blow_taken": 3}, ()), Settings(), sheets.desk.window)
    for sheet in (trial, *ways, harmed):
        sheet.open()
        assert complaints(sheet) == []
        seen.add(type(sheet).__name__)
        sheet.reject()
    assert all_sheets() - seen == set(), "no menu led to these sheets: open them here too"


@pytest.mark.parametrize("text_scale", [1.0, 2.0])
def test_every_part_of_the_bench_tells_what_it_shows(qtbot, text_scale):
    window = bench_with(TRIM, text_scale=text_scale)
    qtbot.addWidget(window)
    for name, view in (ALL | all_walked() | chord_views() | glue_views()).items():
        window.show_view(view)
        for key in ("", "d", "f", "?"):
            if key:
                window.press_named(key)
            assert nameless(window) + namesakes(window) == [], name
            wanting = [each for each in silent(window) if not may_be_silent(each, view)]
            assert wanting == [], f"{name} {key}"
            if key:
                window.press_named(key)


def may_be_silent(each: str, view) -> bool:
    """Parts that have nothing to say in this view."""
    return any((
        "AsidesPanel" in each and not view.asides, "BreathLine" in each and not view.level,
        "BlowsPanel" in each and not (view.blows.title or view.blows.lines), "CautionPanel" in each,
    )) and not ("CautionPanel" in each and view.caution)


def test_what_is_told_says_what_to_do_and_how_it_stands(qtbot):
    window = bench_with(TRIM)
    qtbot.addWidget(window)
    told = {each.name: each.description for each in told_of(window)}
    assert told["What to do now"] == "Trim 0.7 mm off plug B, stop at 57.6 mm"
    assert "never pinched in the fingers" in told["Caution"]
    assert told["Chamber B"] == "A5, to trim, 1.2 mm long, meant now"
    assert told["Stage Trim"] == "you are here"
    assert "B plugged, meant now" in told["Plug end, facing you, mark up"]


def test_nothing_told_is_left_over_from_an_earlier_view(qtbot):
    views = list((ALL | all_walked() | glue_views()).values())
    old = bench_with(TRIM)
    qtbot.addWidget(old)
    shuffled = random.Random(15)
    for view in [*shuffled.sample(views, 12), *shuffled.sample(views, 12)]:
        old.show_view(view)
        new = bench_with(view)
        assert spoken(old) == spoken(new), view.sentence
        new.close()
        new.deleteLater()


def spoken(window) -> list[tuple[str, str]]:
    """Name and description of every painted part that is shown."""
    return [(each.name, each.description) for each in told_of(window) if isinstance(each.widget, Painted)]


def test_a_new_sentence_is_announced_once_to_a_screen_reader(qtbot, monkeypatch):
    announced: list[str] = []

    class Reader:
        @staticmethod
        def updateAccessibility(event):  # noqa: N802 - Qt's own name
            announced.append(event.message())

    monkeypatch.setattr(app.ui.sentence, "QAccessible", Reader)
    window = bench_with(TRIM)
    qtbot.addWidget(window)
    window.show_view(replace(TRIM, level="too quiet"))
    window.show_view(replace(TRIM, sentence=("Blow B once more", "")))
    assert announced == ["Trim 0.7 mm off plug B, stop at 57.6 mm", "Blow B once more"]


def test_the_check_for_names_can_fail(qtbot):
    window = bench_with(TRIM)
    qtbot.addWidget(window)
    assert nameless(window) == []
    button = QPushButton(window.bench)
    button.show()
    assert len(nameless(window)) == 1
    for one in (button, QPushButton(window.bench)):
        one.setAccessibleName("Again")
        one.show()
    assert nameless(window) == []
    assert len(namesakes(window)) == 1
    window.bench.page.asides.setAccessibleDescription("")
    assert len(silent(window)) == 1
