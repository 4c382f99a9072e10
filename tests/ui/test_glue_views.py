"""What the window shows while the glue asks: nothing clipped or covered, and the depths of the pair large enough."""
from __future__ import annotations

import pytest

from app.events import GlueKind
from app.view import TableRow
from tests.ui.bench_parts import bench_with, clipped_words, cut_off_parts, parts_over_parts, words_over_words
from tests.ui.glue_views import glue_views
from tests.ui.sample_views import TRIM
from tests.ui.shots import SHARE_OF_DISTANCE, mm_per_px

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")  # said by Qt's off-screen platform of every window


@pytest.fixture(scope="module")
def seen() -> dict:
    return glue_views(units="both")


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(("width_px", "height_px", "text_scale"), [
    (1280, 800, 1.0), (1280, 800, 1.5), (1280, 800, 2.0), (1366, 768, 1.0), (3840, 2160, 1.0),
])
def test_no_word_of_the_glue_is_clipped_or_covered(qtbot, seen, width_px, height_px, text_scale, theme):
    window = bench_with(TRIM, width_px, height_px, theme=theme, text_scale=text_scale)
    qtbot.addWidget(window)
    for name, view in seen.items():
        window.show_view(view)
        assert clipped_words(window) + cut_off_parts(window) == [], name
        assert words_over_words(window) + parts_over_parts(window.bench.page) == [], name


def test_the_depths_of_the_pair_in_hand_are_read_at_two_metres(qtbot, seen):
    window = bench_with(TRIM)
    qtbot.addWidget(window)
    for name in ("glue-set", "glue-open-blow"):
        window.show_view(seen[name])
        capitals_mm = window.bench.page.table.cap_height_px() * mm_per_px(window.width())
        assert capitals_mm * SHARE_OF_DISTANCE / 1000 >= 1.9, name


def test_who_cannot_see_the_table_is_told_it(qtbot):
    window = bench_with(TRIM)
    qtbot.addWidget(window)
    window.bench.page.table.show_table((TableRow(("", "face deep, mm")), TableRow(("A", "27.2"), True)))
    assert window.bench.page.table.accessibleDescription() == "A, face deep, mm 27.2"


@pytest.mark.parametrize(("key", "kind"), [("w", GlueKind.WATER), ("i", GlueKind.INSTANT), ("e", GlueKind.EPOXY)])
def test_one_key_says_which_glue_it_is(qtbot, seen, key, kind):
    posted = []
    window = bench_with(seen["glue-which"])
    qtbot.addWidget(window)
    window.post = posted.append
    window.press_named(key)
    assert [event.kind for event in posted] == [kind]
    window.show_view(TRIM)
    window.press_named(key)
    assert len(posted) == 1, "only where a glue is asked for"


def test_enlarged_what_can_be_done_about_a_plug_that_moved_stands_before_the_table(qtbot):
    window = bench_with(glue_views()["glue-moved"], text_scale=2.0)
    qtbot.addWidget(window)
    page = window.bench.page
    assert page.notes.y() < page.asides.y() < page.table.y()
