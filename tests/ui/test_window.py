"""Given a view, what does the maker see; given a key or a click, what is posted."""
from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QCheckBox, QLineEdit, QWidget

from acoustics.tuning import Stop
from app.events import (
    ChamberChosen,
    Condition,
    ConditionTold,
    Key,
    Pressed,
    Route,
    RouteChosen,
    StageChosen,
    StopChosen,
    Typed,
)
from app.ui.menus import TEXT_SCALES
from app.ui.painted import Drawn
from app.view import Stage
from tests.ui.bench_parts import bench_with, drawn_parts, words_on
from tests.ui.sample_views import ALL, CHORD, LAY_OUT, SIX, TRIM, TROUBLE

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


@pytest.fixture
def window(qtbot):
    window = bench_with(TRIM)
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    window.activateWindow()
    window.setFocus()
    return window


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


# ---- keys ------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("key", "event"), [
    (Qt.Key.Key_Space, Pressed(Key.DONE)), (Qt.Key.Key_Backspace, Pressed(Key.FORGET)),
    (Qt.Key.Key_Escape, Pressed(Key.BACK)), (Qt.Key.Key_R, Pressed(Key.VOICE)), (Qt.Key.Key_N, Pressed(Key.NEXT)),
    (Qt.Key.Key_S, Pressed(Key.NEW_SET)), (Qt.Key.Key_Left, ChamberChosen("A")),
    (Qt.Key.Key_Right, ChamberChosen("C")),
])  # fmt: skip
def test_a_key_posts_its_event(window, key, event):
    QTest.keyClick(window, key)
    assert window.posted == [event]


@pytest.mark.parametrize(("number", "stage"), list(enumerate(Stage, start=1)))
def test_control_and_a_digit_go_to_a_stage(window, number, stage):
    QTest.keyClick(window, Qt.Key(ord(str(number))), Qt.KeyboardModifier.ControlModifier)
    assert window.posted == [StageChosen(stage)]


def test_space_means_done_even_when_a_button_has_the_focus(window):
    window.bench.page.chambers.cards[2].setFocus()
    QTest.keyClick(window, Qt.Key.Key_Space)
    assert window.posted == [Pressed(Key.DONE)]


def test_tab_and_enter_choose_a_chamber(window):
    window.bench.page.chambers.cards[2].setFocus()
    QTest.keyClick(window.bench.page.chambers.cards[2], Qt.Key.Key_Return)
    assert window.posted == [ChamberChosen("C")]


def test_p_practises_only_while_the_bench_is_empty(qtbot, window):
    with qtbot.assertNotEmitted(window.practice_asked):
        QTest.keyClick(window, Qt.Key.Key_P)
    window.show_view(replace(TRIM, rows=()))
    with qtbot.waitSignal(window.practice_asked):
        QTest.keyClick(window, Qt.Key.Key_P)


# ---- mouse -----------------------------------------------------------------------------------------------------------
def test_the_words_of_a_key_can_be_clicked(window):
    for words in window.bench.keys.keys[:4]:
        QTest.mouseClick(words, Qt.MouseButton.LeftButton)
    assert window.posted == [Pressed(key) for key in (Key.DONE, Key.FORGET, Key.VOICE, Key.NEXT)]


def test_a_click_on_the_stick_a_card_or_a_bore_chooses_it(window):
    QTest.mouseClick(window.bench.stick.marks[3], Qt.MouseButton.LeftButton)
    QTest.mouseClick(window.bench.page.chambers.cards[0], Qt.MouseButton.LeftButton)
    end = window.bench.page.plug_end
    # By hand: four bores, A in the upper right quarter, so C lies in the lower left one.
    QTest.mouseClick(end, Qt.MouseButton.LeftButton, pos=QPoint(round(end.width() * 0.33), round(end.height() * 0.72)))
    assert window.posted == [StageChosen(Stage.CUT), ChamberChosen("A"), ChamberChosen("C")]


# ---- the room view, all keys -----------------------------------------------------------------------------------------
def test_the_room_view_covers_all_and_escape_closes_it_without_going_back(window):
    QTest.keyClick(window, Qt.Key.Key_F)
    assert window.bench.room.geometry() == window.bench.rect()
    assert not window.menuBar().isVisible()
    QTest.keyClick(window, Qt.Key.Key_Escape)
    assert not window.bench.room.isVisible()
    assert window.menuBar().isVisible()
    assert window.posted == []


def test_the_room_view_lets_the_keys_of_the_walk_through(window):
    QTest.keyClick(window, Qt.Key.Key_F)
    QTest.keyClick(window, Qt.Key.Key_Space)
    assert window.posted == [Pressed(Key.DONE)]
    assert window.bench.room.isVisible()


def test_all_keys_are_named_on_one_page(window):
    QTest.keyClick(window, Qt.Key.Key_Question)
    assert window.bench.help.isVisible()
    seen = words_on(window)
    assert all(word in seen for word in ("space", "backspace", "escape", "room view", "new set"))
    QTest.mouseClick(window.bench.help, Qt.MouseButton.LeftButton)
    assert not window.bench.help.isVisible()


# ---- a typed length --------------------------------------------------------------------------------------------------
def test_a_digit_begins_a_length_and_enter_keeps_it(window):
    QTest.keyClicks(window, "5")
    field = window.bench.length
    assert field.isVisible()
    assert window.focusWidget() is field.length
    QTest.keyClicks(field.length, "7.6")
    QTest.keyClick(field.length, Qt.Key.Key_Return)
    assert window.posted == [Typed(57.6)]
    assert not field.isVisible()


def test_a_fraction_of_an_inch_with_proud_and_recess_is_understood(window):
    QTest.keyClick(window, Qt.Key.Key_T)
    field = window.bench.length
    QTest.keyClicks(field.length, "2 17/64")
    QTest.keyClicks(field.proud, "0.3")
    QTest.keyClicks(field.shortest, "57.4")
    QTest.mouseClick(field.keep, Qt.MouseButton.LeftButton)
    [typed] = window.posted
    assert typed.length_mm == pytest.approx((2 + 17 / 64) * 25.4)  # derived by hand: 57.547 mm
    assert (typed.proud_mm, typed.recess_mm, typed.shortest_mm, typed.is_depth) == (0.3, 0.0, 57.4, False)


def test_what_cannot_be_read_is_said_and_nothing_is_posted(window):
    QTest.keyClick(window, Qt.Key.Key_T)
    field = window.bench.length
    QTest.keyClicks(field.length, "fifty")
    QTest.keyClick(field.length, Qt.Key.Key_Return)
    assert field.isVisible()
    assert "fifty" in field.refusal.text()
    assert window.posted == []


def test_a_shortest_longer_than_the_length_is_refused(window):
    QTest.keyClick(window, Qt.Key.Key_T)
    field = window.bench.length
    QTest.keyClicks(field.length, "57.4")
    QTest.keyClicks(field.shortest, "57.6")
    QTest.keyClick(field.length, Qt.Key.Key_Return)
    assert "swapped" in field.refusal.text()
    assert window.posted == []


def test_escape_leaves_the_length_and_letters_count_as_keys_again(window):
    QTest.keyClick(window, Qt.Key.Key_T)
    QTest.keyClick(window.bench.length.length, Qt.Key.Key_Escape)
    assert not window.bench.length.isVisible()
    QTest.keyClick(window, Qt.Key.Key_R)
    assert window.posted == [Pressed(Key.VOICE)]


def test_a_length_is_not_asked_for_where_none_is_understood(window):
    window.show_view(LAY_OUT)
    QTest.keyClicks(window, "5t")
    assert not window.bench.length.isVisible()


def test_the_field_leaves_sentence_and_caution_in_sight(window):
    QTest.keyClick(window, Qt.Key.Key_T)
    field, page = window.bench.length.geometry(), window.bench.page
    for part in (page.sentence, page.notes, page.caution):
        assert not field.intersects(part.rect().translated(part.mapTo(window.bench, QPoint(0, 0))))


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
