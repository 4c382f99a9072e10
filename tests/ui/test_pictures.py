"""The pictures are to scale and say what the numbers say."""
from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QRectF

from app.ui.breath_line import breath_paths
from app.ui.closer import TIMES
from app.ui.room_view import breakings
from app.ui.rule import inch_marks, millimetre_marks
from app.view import Closer
from tests.ui.bench_parts import bench_with, drawn_parts
from tests.ui.sample_views import CUT, SLIDE, TRIM
from tests.ui.shots import BreathDot

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")
PLOT = QRectF(0, 0, 100, 100)


def closer_of(qtbot, view):
    window = bench_with(view)
    qtbot.addWidget(window)
    return window, window.bench.page.closer


def test_twelve_times_closer_is_twelve_times_the_cut(qtbot):
    window, closer = closer_of(qtbot, TRIM)
    px_per_mm = window.bench.page.section.px_per_mm()
    assert closer.times() == 12
    assert closer._x(57.0) - closer._x(58.0) == pytest.approx(12 * px_per_mm)


def test_deeper_lies_further_left(qtbot):
    _, closer = closer_of(qtbot, TRIM)
    assert closer._x(58.3) < closer._x(57.6) < closer._x(57.1)


def test_a_long_way_is_shown_less_close_and_says_how_close(qtbot):
    far = replace(CUT, closer=replace(CUT.closer, face_depth_mm=75.0, stop_depth_mm=60.4))
    window, closer = closer_of(qtbot, far)
    drawn_parts(window)
    assert closer.times() in TIMES[1:]
    assert f"{closer.times()} × closer" in [box.text for box in closer.text_boxes()]
    assert 0 < closer._x(75.0) < closer._x(57.1) < closer.width()


def test_every_place_stays_inside_the_picture(qtbot):
    for view in (TRIM, SLIDE, CUT):
        for text_scale in (1.0, 2.0):
            window = bench_with(view, text_scale=text_scale)
            qtbot.addWidget(window)
            closer = window.bench.page.closer
            for depth_mm in (view.closer.face_depth_mm, view.closer.goal_depth_mm, view.closer.stop_depth_mm):
                assert 0 < closer._x(depth_mm) < closer.width()


def test_a_face_already_on_its_note_can_be_drawn(qtbot):
    done = replace(TRIM, closer=Closer(57.1, 57.1, None, (), "on its note", ""))
    window, closer = closer_of(qtbot, done)
    assert drawn_parts(window)
    assert closer.times() == 12


@pytest.mark.parametrize("n_bores", [2, 3, 4, 5, 6])
def test_letters_run_clockwise_from_the_mark(qtbot, n_bores):
    from app.view import BoreEnd, Face

    view = replace(TRIM, ends=tuple(BoreEnd(letter, Face.OPEN, letter == "A") for letter in "ABCDEF"[:n_bores]))
    window = bench_with(view)
    qtbot.addWidget(window)
    drawn_parts(window)
    letters = {box.text: box.rect.center() for box in window.bench.page.plug_end.text_boxes() if len(box.text) == 1}
    centre = window.bench.page.plug_end._centre()
    assert len(letters) == n_bores
    assert letters["A"].x() > centre.x()  # the first bore clockwise of the mark lies on the right
    last = letters["ABCDEF"[n_bores - 1]]
    assert last.x() < centre.x()
    if n_bores > 2:
        assert letters["A"].y() < centre.y()
        assert letters["B"].y() > letters["A"].y()


def test_a_rule_in_millimetres_is_figured_every_twenty():
    marks = millimetre_marks(160.0)
    assert [figure for _, _, figure in marks if figure] == [str(at) for at in range(0, 161, 20)]
    assert [at for at, share, _ in marks if share == 1.0][:3] == [0.0, 10.0, 20.0]


def test_an_inch_rule_has_sixteen_parts_to_an_inch_of_25_4_mm():
    # 25.4 mm exactly: the international inch of 1959.
    marks = inch_marks(160.0)
    figured = [at for at, _, figure in marks if figure]
    assert figured[1] == pytest.approx(25.4)
    assert len([at for at, _, _ in marks if at < 25.4 - 1e-9]) == 16
    assert len(figured) == 7  # 0 to 6 inches in 160 mm, by hand: 6 x 25.4 = 152.4


def test_an_inch_maker_sees_an_inch_rule(qtbot):
    window = bench_with(TRIM, units="inch")
    qtbot.addWidget(window)
    drawn_parts(window)
    assert "6 in" in [box.text for box in window.bench.page.section.text_boxes()]


def test_breath_without_a_gap_is_one_line_and_with_a_gap_two():
    steady = tuple(BreathDot(at / 25, -20.0, 880.0) for at in range(50))
    assert len(breath_paths(steady, PLOT)) == 1
    assert len(breath_paths(steady[:20] + steady[30:], PLOT)) == 2
    assert breath_paths((), PLOT) == []


def test_louder_breath_is_drawn_higher_and_a_jump_is_a_step():
    pairs = [(BreathDot(0, level, 880.0), BreathDot(0.04, level, 880.0)) for level in (-50, -20)]
    soft, loud = (breath_paths(pair, PLOT)[0] for pair in pairs)
    assert loud.boundingRect().top() < soft.boundingRect().top()
    jump = [BreathDot(at / 25, -20.0, 880.0 if at < 30 else 2640.0) for at in range(50)]
    steady = [BreathDot(at / 25, -20.0, 880.0) for at in range(50)]
    heights = [breath_paths(tuple(points), PLOT)[0].boundingRect().height() for points in (jump, steady)]
    assert heights[0] > heights[1] + 20


def test_blows_of_two_chambers_are_drawn_at_one_height_each_about_its_own_pitch():
    blows = [BreathDot(at / 25, -20.0, 700.0 if at < 20 else 1400.0) for at in range(50) if not 20 <= at < 25]
    quiet = [BreathDot(at / 25, -60.0, None) for at in range(20, 25)]
    [path] = breath_paths(tuple(sorted(blows + quiet)), PLOT)
    assert path.elementAt(5).y == pytest.approx(path.elementAt(40).y)


def test_the_breath_line_shows_ten_seconds_and_stays_inside():
    points = tuple(BreathDot(at / 25, 20.0 * (-1) ** at - 40, 880.0 * (1 + at % 3)) for at in range(1000))
    [path] = breath_paths(points, PLOT)
    assert PLOT.adjusted(-1, -1, 1, 1).contains(path.boundingRect())
    assert path.boundingRect().left() == pytest.approx(0.0, abs=1.0)


def test_the_room_view_keeps_a_number_with_its_unit():
    broken = breakings("Trim 0.7 mm off plug B", 3)
    assert ("Trim 0.7\u00a0mm", "off plug\u00a0B") in broken
    assert not any(part.endswith("0.7") for parts in broken for part in parts)
    assert all(" ".join(parts).replace("\u00a0", " ") == "Trim 0.7 mm off plug B" for parts in broken)
