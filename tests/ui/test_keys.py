"""Given a key, a click or a typed length, what is posted."""
from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.events import (
    ChamberChosen,
    Key,
    Pressed,
    StageChosen,
    Typed,
)
from app.ui.empty_bench import empty_view
from app.view import Stage
from app.wording import LAY_OUT_KEYS
from tests.ui.bench_parts import words_on
from tests.ui.sample_views import LAY_OUT, TRIM

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


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
    window.show_view(empty_view())
    with qtbot.waitSignal(window.practice_asked):
        QTest.keyClick(window, Qt.Key.Key_P)


@pytest.mark.parametrize(("name", "wish"), [
    ("ctrl+L", "plan_asked"), ("ctrl+S", "keep_asked"), ("ctrl+O", "open_asked"),
])
def test_a_click_on_a_key_of_the_lay_out_line_is_that_key(qtbot, window, name, wish):
    window.show_view(replace(TRIM, keys=f"space: it is · {LAY_OUT_KEYS}"))
    (key,) = [key for key in window.bench.keys.keys if key.text().startswith(f"{name}:")]
    with qtbot.waitSignal(getattr(window, wish)):
        key.click()


# ---- the pedal, keys held down ---------------------------------------------------------------------------------------
@pytest.mark.parametrize(("pedal_key", "key", "modifier"), [
    ("F13", Qt.Key.Key_F13, Qt.KeyboardModifier.NoModifier), ("PgDown", Qt.Key.Key_PageDown,
                                                              Qt.KeyboardModifier.NoModifier),
    ("N", Qt.Key.Key_N, Qt.KeyboardModifier.NoModifier), ("3", Qt.Key.Key_3, Qt.KeyboardModifier.NoModifier),
    ("Return", Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier),
    ("Ctrl+2", Qt.Key.Key_2, Qt.KeyboardModifier.ControlModifier),
    ("Ctrl+L", Qt.Key.Key_L, Qt.KeyboardModifier.ControlModifier),
    ("Space", Qt.Key.Key_Space, Qt.KeyboardModifier.NoModifier),
])  # fmt: skip
def test_the_pedal_says_done_and_nothing_else_whatever_its_key_says_otherwise(window, pedal_key, key, modifier):
    window.apply_settings(replace(window.settings, pedal_key=pedal_key))
    QTest.keyClick(window, key, modifier)
    assert window.posted == [Pressed(Key.DONE)]


def test_without_the_pedal_its_key_means_again_what_it_meant(qtbot, window):
    for pedal_key in ("Ctrl+L", "N", ""):
        window.apply_settings(replace(window.settings, pedal_key=pedal_key))
    QTest.keyClick(window, Qt.Key.Key_N)
    with qtbot.waitSignal(window.plan_asked):
        QTest.keyClick(window, Qt.Key.Key_L, Qt.KeyboardModifier.ControlModifier)
    assert window.posted == [Pressed(Key.NEXT)]


def test_the_pedal_says_done_in_the_room_view_and_beside_a_focused_card(window):
    window.apply_settings(replace(window.settings, pedal_key="Return"))
    QTest.keyClick(window, Qt.Key.Key_F)
    QTest.keyClick(window, Qt.Key.Key_Return)
    QTest.keyClick(window, Qt.Key.Key_F)
    window.bench.page.chambers.cards[2].setFocus()
    QTest.keyClick(window.bench.page.chambers.cards[2], Qt.Key.Key_Return)
    assert window.posted == [Pressed(Key.DONE), Pressed(Key.DONE)]


def test_a_letter_that_the_pedal_sends_is_still_a_letter_in_a_field(window):
    window.apply_settings(replace(window.settings, pedal_key="7"))
    QTest.keyClick(window, Qt.Key.Key_T)
    QTest.keyClicks(window.bench.length.length, "57.6")
    assert window.bench.length.length.text() == "57.6"
    assert window.posted == []


def test_a_key_held_down_says_its_word_once(window):
    once = {name for name, shortcut in window._keys.shortcuts.items() if not shortcut.autoRepeat()}
    assert {"Space", "Backspace", "Escape", "N", "R", "S", "T"} <= once
    assert not window._keys.pedal.autoRepeat()


@pytest.mark.parametrize("key", [Qt.Key.Key_F13, Qt.Key.Key_Space, Qt.Key.Key_N])
def test_a_key_that_the_system_presses_and_lets_go_again_and_again_says_its_word_once(window, key):
    window.apply_settings(replace(window.settings, pedal_key="F13"))
    for _ in range(5):
        QTest.keyClick(window.windowHandle(), key)  # one after the other, with no time between
    assert len(window.posted) == 1


def test_a_key_that_steps_goes_on_stepping_while_it_is_held(window):
    for _ in range(3):
        QTest.keyClick(window.windowHandle(), Qt.Key.Key_Right)
    assert window.posted == 3 * [ChamberChosen("C")]


def test_two_different_keys_may_follow_one_another_at_once(window):
    for key in (Qt.Key.Key_Space, Qt.Key.Key_Backspace, Qt.Key.Key_Space):
        QTest.keyClick(window.windowHandle(), key)
    assert window.posted == [Pressed(Key.DONE), Pressed(Key.FORGET), Pressed(Key.DONE)]


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
