"""Reduced motion: two moments apart the bench looks the same, until something was read or the breath line is asked."""
from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.ui import stillness
from tests.ui.bench_parts import bench_with, words_on
from tests.ui.sample_views import TRIM
from tests.ui.shots import invented_breath

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


@pytest.fixture(autouse=True)
def as_before():
    app = QApplication.instance()
    flash_ms, effects = app.cursorFlashTime(), [app.isEffectEnabled(effect) for effect in stillness.EFFECTS]
    yield
    app.setCursorFlashTime(flash_ms)
    for effect, on in zip(stillness.EFFECTS, effects, strict=True):
        app.setEffectEnabled(effect, on)
    stillness._of_the_system.cache_clear()


def moments(window):
    """The bench as it looks at each of ten frames of breath, two and a half seconds of it."""
    points = invented_breath()
    for end in range(100, 200, 10):
        window.show_breath(points[:end])
        yield window.grab().toImage()


def n_different(window) -> int:
    looks = list(moments(window))
    return sum(look != looks[0] for look in looks)


def test_with_usual_motion_the_breath_line_moves(qtbot):
    window = bench_with(TRIM, motion="usual")
    qtbot.addWidget(window)
    assert n_different(window) > 5


def test_with_reduced_motion_nothing_at_all_moves(qtbot):
    window = bench_with(TRIM, motion="reduced")
    qtbot.addWidget(window)
    window.show_breath(invented_breath()[:50])
    assert n_different(window) == 0


def test_the_key_b_lets_the_breath_line_move_and_rest_again(qtbot):
    window = bench_with(TRIM, motion="reduced")
    qtbot.addWidget(window)
    window.show_breath(invented_breath()[:50])
    assert "B lets it move" in words_on(window)
    with qtbot.waitActive(window):
        window.activateWindow()
    window.setFocus()
    QTest.keyClick(window, Qt.Key.Key_B)
    assert n_different(window) > 5
    QTest.keyClick(window, Qt.Key.Key_B)
    assert n_different(window) == 0


def test_a_blow_that_was_read_is_drawn_though_the_line_rests(qtbot):
    window = bench_with(TRIM, motion="reduced")
    qtbot.addWidget(window)
    window.show_breath(invented_breath()[:50])
    window.show_breath(invented_breath())
    before = window.bench.page.breath.grab().toImage()
    window.show_view(replace(TRIM, blows=replace(TRIM.blows, lines=(*TRIM.blows.lines, "5 steady"))))
    assert window.bench.page.breath.grab().toImage() != before


def test_menus_do_not_slide_and_carets_do_not_blink(qtbot):
    window = bench_with(TRIM, motion="reduced")
    qtbot.addWidget(window)
    window.show_breath(())
    app = QApplication.instance()
    assert not any(app.isEffectEnabled(effect) for effect in stillness.EFFECTS)
    assert app.cursorFlashTime() == 0
    window.apply_settings(replace(window.settings, motion="usual"))
    assert app.cursorFlashTime() > 0


@pytest.mark.parametrize("wish", [True, False])
def test_the_systems_wish_holds_where_the_maker_has_none(qtbot, monkeypatch, wish):
    monkeypatch.setattr(stillness, "system_wants_stillness", lambda: wish)
    stillness._of_the_system.cache_clear()
    window = bench_with(TRIM, motion="system")
    qtbot.addWidget(window)
    window.show_breath(())
    assert window.bench.page.breath.rests is wish
    window.apply_settings(replace(window.settings, motion="reduced"))
    assert window.bench.page.breath.rests
    window.apply_settings(replace(window.settings, motion="usual"))
    assert not window.bench.page.breath.rests
