"""Given a view, what does the maker see; given a line of the menu, what is posted."""
from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QCheckBox, QLineEdit, QWidget

from acoustics.tuning import Stop
from app.events import (
    Condition,
    ConditionTold,
    Key,
    Pressed,
    Route,
    RouteChosen,
    StageChosen,
    StopChosen,
)
from app.ui.menus import TEXT_SCALES
from app.ui.painted import Drawn
from app.view import Stage
from tests.ui.bench_parts import bench_with, drawn_parts, words_on
from tests.ui.sample_views import ALL, CHORD, SIX, TRIM, TROUBLE

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


def action(window, words):
    """The menu's action of this name, mnemonics and shortcut left out."""
    found = [
        each for each in window.findChildren(type(window.menuBar().actions()[0]))
        if each.text().replace("&", "").partition("\t")[0] == words
    ]
    assert len(found) == 1, words
    return found[0]


# ---- what is seen ----------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", sorted(ALL))
def test_everything_the_view_says_is_on_the_bench(qtbot, name):
    view = ALL[name]
    window = bench_with(view)
    qtbot.addWidget(window)
    seen = words_on(window)
    wanted = [view.title, view.subtitle, view.conditions, *view.sentence, view.held_back, view.why, view.trouble,
              view.level, *view.blows.lines, view.blows.agreement, view.blows.wish, *view.asides]
    wanted += [view.caution.text, view.caution.authority] if view.caution else []
    wanted += [view.closer.jaws_text, view.closer.stop_text] if view.closer else []
    wanted += [view.section.air_text] if view.section else []
    wanted += [text for row in view.rows for text in (row.letter, row.note, row.state, row.figure)]
    wanted += [stage.value for stage in Stage]
    assert [text for text in wanted if text not in seen] == []


def test_the_stage_we_are_in_is_told_by_weight_and_arrow_not_by_colour(window):
    drawn_parts(window)
    sizes = {mark.stage: mark.text_boxes()[0].size_px for mark in window.bench.stick.marks}
    assert max(sizes, key=sizes.get) is Stage.TRIM
    assert [stage for stage, size in sizes.items() if size == sizes[Stage.TRIM]] == [Stage.TRIM]


def test_trouble_is_a_band_across_the_bench_and_goes_with_the_next_view(window):
    assert not window.bench.trouble.isVisible()
    window.show_view(TROUBLE)
    band = window.bench.trouble
    assert band.isVisible()
    assert band.width() == window.bench.heading.width()
    assert TROUBLE.trouble in words_on(window)
    window.show_view(TRIM)
    assert not band.isVisible()


def test_a_microphone_that_is_gone_bears_a_mark_besides_its_words(window):
    window.show_view(TROUBLE)
    assert f"! {TROUBLE.hearing}" in words_on(window)


def test_without_a_cut_to_show_the_cards_stand_beside_a_larger_plug_end(window):
    before = window.bench.page.plug_end.height()
    window.show_view(CHORD)
    page = window.bench.page
    assert not page.section.isVisible()
    assert not page.closer.isVisible()
    assert page.plug_end.height() > before
    assert page.chambers.x() > page.plug_end.geometry().right()


def test_figures_are_one_key_away_and_go_again(window):
    assert TRIM.figures[2] not in words_on(window)
    QTest.keyClick(window, Qt.Key.Key_D)
    assert all(figure in words_on(window) for figure in TRIM.figures)
    QTest.keyClick(window, Qt.Key.Key_D)
    assert TRIM.figures[2] not in words_on(window)


def test_the_cards_follow_the_number_of_chambers(window):
    window.show_view(SIX)
    assert [card.row.letter for card in window.bench.page.chambers.cards] == list("ABCDEF")
    window.show_view(TRIM)
    assert [card.row.letter for card in window.bench.page.chambers.cards] == list("ABCD")


def test_an_equal_view_changes_nothing(window):
    window.bench.page.sentence.setAccessibleDescription("untouched")
    window.show_view(replace(TRIM))
    assert window.bench.page.sentence.accessibleDescription() == "untouched"


def test_the_key_to_all_keys_is_always_named(window):
    window.show_view(replace(TRIM, keys="space: done"))
    assert [key.text() for key in window.bench.keys.keys] == ["space: done", "?: all keys"]


# ---- menu ------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("words", "event"), [
    ("Slide a tailed plug to its note", RouteChosen(Route.SLIDE)), ("Trim a flush plug", RouteChosen(Route.TRIM)),
    ("With a slug", StopChosen(Stop.SLUG)), ("With a flat faced scrap", StopChosen(Stop.FLAT)),
    ("With a finger", StopChosen(Stop.FINGER)), ("I changed the voice of this chamber", Pressed(Key.VOICE)),
    ("Mouthpiece off", ConditionTold(Condition.MOUTHPIECE_ON, False)), ("7 Glue", StageChosen(Stage.GLUE)),
])  # fmt: skip
def test_a_menu_line_posts_its_event(window, words, event):
    action(window, words).trigger()
    assert window.posted == [event]


@pytest.mark.parametrize(("words", "signal"), [
    ("Open a whistle…", "open_asked"), ("New whistle…", "new_asked"), ("Microphone…", "microphone_asked"),
    ("Air in the shop…", "air_asked"), ("Preferences…", "preferences_asked"),
    ("Practice on an invented whistle", "practice_asked"),
])  # fmt: skip
def test_a_menu_line_asks_for_its_sheet(qtbot, window, words, signal):
    with qtbot.waitSignal(getattr(window, signal)):
        action(window, words).trigger()


def test_dark_text_size_and_units_are_chosen_in_the_menu_and_told(qtbot, window):
    choices = (("Dark", "theme", "dark"), ("200 %", "text_scale", 2.0), ("Inch fractions", "units", "inch"))
    for words, field, value in choices:
        with qtbot.waitSignal(window.settings_changed) as told:
            action(window, words).trigger()
        assert getattr(told.args[0], field) == value
        assert action(window, words).isChecked()
    dress = window.bench.dress
    assert (dress.palette.paper, dress.text_scale, dress.inches) == ("#201c18", TEXT_SCALES[-1], True)


def test_every_line_of_a_menu_has_its_own_letter(window):
    for top in window.menuBar().actions():
        lines = [line.text() for line in top.menu().actions() if not line.isSeparator() and line.text()]
        letters = [QKeySequence.mnemonic(text).toString() for text in lines]
        assert all(letters), lines
        assert len(set(letters)) == len(letters), lines


# ---- for those who cannot see it -------------------------------------------------------------------------------------
def test_every_part_and_every_control_has_an_accessible_name(window):
    QTest.keyClick(window, Qt.Key.Key_T)
    kinds = (Drawn, QAbstractButton, QLineEdit, QCheckBox)
    parts = [
        part for part in window.findChildren(QWidget)
        if isinstance(part, kinds) and not part.objectName().startswith("qt_")  # Qt's own, inside its menu bar
    ]
    assert len(parts) > 30
    assert [repr(part) for part in parts if not part.accessibleName().strip()] == []


def test_pictures_and_panels_are_told_in_words(window):
    page = window.bench.page
    assert page.sentence.accessibleDescription() == "Trim 0.7 mm off plug B, stop at 57.6 mm"
    assert page.plug_end.accessibleDescription() == "A plugged, B plugged, meant now, C open, D open"
    assert page.closer.accessibleDescription() == (
        "1.2 mm long; this cut stops here, 57.6 mm deep; 4 blows ticked")
    assert page.section.accessibleDescription() == "closed by plug, face 58.3 mm inside the plug end, air 81.7 mm"
    assert page.chambers.cards[1].accessibleDescription() == "A5, to trim, 1.2 mm long, meant now"
    assert TRIM.caution.authority in page.caution.accessibleDescription()
    assert window.bench.stick.marks[4].accessibleDescription() == "you are here"
