"""The bench while the whole chord asks: nothing is clipped, and its cards are the larger ones while they fit."""
from __future__ import annotations

from dataclasses import replace

import pytest

from app.view import BoreEnd, Face
from tests.ui.bench_parts import bench_with, clipped_words, cut_off_parts, parts_over_parts, words_over_words
from tests.ui.chord_views import chord_views
from tests.ui.sample_views import TRIM

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


@pytest.fixture(scope="module")
def views():
    return chord_views(units="both")


@pytest.mark.parametrize(("width_px", "height_px"), [(1280, 800), (1366, 768), (3840, 2160)])
@pytest.mark.parametrize("text_scale", [1.0, 1.5, 2.0])
def test_no_word_of_the_chord_is_clipped_or_covered(qtbot, views, width_px, height_px, text_scale):
    window = bench_with(TRIM, width_px, height_px, text_scale=text_scale)
    qtbot.addWidget(window)
    for name, view in views.items():
        window.show_view(view)
        assert clipped_words(window) + cut_off_parts(window) == [], name
        assert words_over_words(window) + parts_over_parts(window.bench.page) == [], name


def test_four_cards_of_the_chord_are_large_and_those_of_a_trim_are_not(qtbot, views):
    window = bench_with(views["chord-again"])
    qtbot.addWidget(window)
    assert {card.scale for card in window.bench.page.chambers.cards} == {1.5}
    window.show_view(views["chord-trim"])
    assert {card.scale for card in window.bench.page.chambers.cards} == {1.0}
    assert not window.bench.page.stacked


def test_six_cards_that_would_not_fit_large_are_shown_side_by_side_in_their_usual_size(qtbot, views):
    four = views["chord-again"]
    rows = (*four.rows, replace(four.rows[2], letter="E"), replace(four.rows[3], letter="F"))
    ends = (*four.ends, BoreEnd("E", Face.PLUGGED, False), BoreEnd("F", Face.PLUGGED, False))
    window = bench_with(replace(four, rows=rows, ends=ends))
    qtbot.addWidget(window)
    assert not window.bench.page.stacked
    assert clipped_words(window) + cut_off_parts(window) == []
