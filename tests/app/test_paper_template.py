"""The template's geometry against constructions of its own, and the figures printed beside it."""
from __future__ import annotations

import cmath
import math
from dataclasses import replace

import pytest

from app.body import Stock
from app.paper.check_bars import BAR_4_IN_MM, BAR_100_MM, HOW, TELL
from app.paper.figures import Figures, inch_size
from app.paper.job import job_of
from app.paper.model import A4, Circle, Line, Stroke, Weight
from app.paper.strip import pieces
from app.paper.template import template
from tests.app.paper_jobs import NAMES, SIZES, impossible, sample, unequal, words_of


def bodies_of(page) -> list[Circle]:
    return [mark for mark in page.marks if isinstance(mark, Circle) and mark.weight is Weight.STRONG]


def holes_about(page, body) -> list[tuple[complex, float]]:
    """Bores within a body as they lie on the paper: place from the body's centre, x right and y up, and diameter."""
    return [
        (complex(mark.x_mm - body.x_mm, body.y_mm - mark.y_mm), 2.0 * mark.radius_mm)
        for mark in page.marks
        if isinstance(mark, Circle) and mark.weight is Weight.PLAIN and not mark.filled
        and math.hypot(mark.x_mm - body.x_mm, mark.y_mm - body.y_mm) < body.radius_mm
    ]


def constructed(whistle) -> list[tuple[complex, float]]:
    """Where equal bores lie, built with dividers: step round a circle on which neighbours are bore and wall apart."""
    n_bores, bore_mm = len(whistle.chambers), whistle.chambers[0].bore_mm
    step = cmath.exp(-2j * math.pi / n_bores)  # clockwise
    radius_mm = (bore_mm + whistle.wall_mm) / abs(1.0 - step)
    return [(1j * radius_mm * cmath.exp(-1j * math.pi / n_bores) * step**number, bore_mm) for number in range(n_bores)]


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
@pytest.mark.parametrize("name", NAMES)
def test_holes_lie_where_dividers_put_them_on_both_copies(name, size):
    page = template(job_of(sample(name), size=size)).pages[0]
    bodies = bodies_of(page)
    assert len(bodies) == 2
    for body in bodies:
        for (drawn, bore_mm), (expected, expected_bore_mm) in zip(
            holes_about(page, body), constructed(sample(name)), strict=True
        ):
            assert abs(drawn - expected) < 1e-6
            assert bore_mm == pytest.approx(expected_bore_mm)


@pytest.mark.parametrize("name", NAMES)
def test_letters_run_clockwise_from_the_mark(name):
    page = template(job_of(sample(name))).pages[0]
    for body in bodies_of(page):
        near = [
            words for words in words_of(page)
            if len(words.words) == 1 and math.hypot(words.x_mm - body.x_mm, words.y_mm - body.y_mm) < body.radius_mm
        ]
        # Clockwise from straight up, the way a clock's hand turns for who faces the paper.
        angles = {w.words: math.degrees(math.atan2(w.x_mm - body.x_mm, body.y_mm - w.y_mm)) % 360.0 for w in near}
        assert sorted(angles, key=angles.__getitem__) == list(sample(name).letters)


def test_pencil_mark_is_straight_up_from_the_middle():
    page = template(job_of(sample("ferry-six"))).pages[0]
    marks = [mark for mark in page.marks if isinstance(mark, Line) and mark.weight is Weight.HEAVY and mark.y1_mm < 120]
    for body in bodies_of(page):
        (mark,) = [one for one in marks if abs(one.x1_mm - body.x_mm) < 1e-9]
        assert mark.x2_mm == mark.x1_mm
        assert mark.y1_mm == pytest.approx(body.y_mm - body.radius_mm)
        assert mark.y2_mm > mark.y1_mm


def test_other_end_is_drawn_only_for_drilling_from_both_ends_and_then_mirrored():
    whistle = sample("ferry-six")
    one_end = template(job_of(whistle))
    both_ends = template(job_of(replace(whistle, stock=Stock(bit_reach_mm=100.0))))
    assert len(both_ends.pages) == len(one_end.pages) + 1
    page = both_ends.pages[1]
    assert any("MOUTHPIECE END" in words.words for words in words_of(page))
    (body,) = bodies_of(page)
    for (drawn, _), (expected, _) in zip(holes_about(page, body), constructed(whistle), strict=True):
        assert abs(drawn - complex(-expected.real, expected.imag)) < 1e-6


def test_body_too_thick_for_two_is_drawn_on_two_pages():
    sheet = template(job_of(impossible()))
    assert [len(bodies_of(page)) for page in sheet.pages[:2]] == [1, 1]


def test_plan_that_cannot_be_made_says_so_on_every_page_of_its_template():
    job = job_of(impossible())
    assert job.plan.refusals
    for page in template(job).pages:
        text = " ".join(words.words for words in words_of(page))
        if TELL in text:
            assert "Do not cut wood by this sheet yet." in text


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
def test_pages_of_true_size_bear_both_bars_both_ways_and_say_how_to_print(size):
    sheet = template(job_of(sample("harbour-major-sixth"), size=size))
    for page in sheet.pages:
        lengths = {"across": [], "down": []}
        for mark in page.marks:
            if isinstance(mark, Line) and mark.weight is Weight.PLAIN and mark.stroke is Stroke.WHOLE:
                if mark.y1_mm == mark.y2_mm:
                    lengths["across"].append(round(mark.x2_mm - mark.x1_mm, 6))
                elif mark.x1_mm == mark.x2_mm:
                    lengths["down"].append(round(mark.y2_mm - mark.y1_mm, 6))
        for way in lengths.values():
            assert 100.0 in way
            assert 4 * 25.4 in way
        text = " ".join(words.words for words in words_of(page))
        assert TELL in text
        assert "Print at 100 %" in HOW
        assert "Print at 100 %" in text


def test_bars_are_what_they_say():
    assert (BAR_100_MM, BAR_4_IN_MM) == (100.0, 4 * 25.4)


@pytest.mark.parametrize("name", NAMES)
def test_strip_is_as_long_as_the_body_is_round_and_bores_divide_it_evenly(name):
    whistle = sample(name)
    job = job_of(whistle)
    girth_mm = math.pi * job.plan.body.diameter_mm
    drawn = pieces(job, 400.0, 200.0)
    assert len(drawn) == 1
    assert (drawn[0].to_deg - drawn[0].from_deg) / 360.0 * girth_mm == pytest.approx(girth_mm)
    n_bores = len(whistle.chambers)
    for number, window in enumerate(drawn[0].windows):
        assert window.angle_deg / 360.0 == pytest.approx((number + 0.5) / n_bores)


def test_windows_of_unequal_bores_lie_where_their_lengths_put_them():
    # Derived by hand: all bores end at the plug end, so the shorter ones begin further from the mouthpiece end.
    job = job_of(unequal(), units="mm")
    text = " ".join(words.words for page in template(job).pages for words in words_of(page)).replace("\u00a0", " ")
    for line_mm in ("12.7 mm", "57.7 mm", "107.7 mm", "147.7 mm"):
        assert line_mm in text


def test_strip_too_long_for_the_page_goes_in_pieces_that_leave_no_window_out():
    job = job_of(sample("ferry-six"))
    for room_mm, tallest_mm in ((90.0, 200.0), (60.0, 200.0), (170.0, 30.0)):
        drawn = pieces(job, room_mm, tallest_mm)
        assert [window.letter for piece in drawn for window in piece.windows] == list("ABCDEF")
        girth_mm = math.pi * job.plan.body.diameter_mm
        for piece in drawn:
            assert (piece.to_deg - piece.from_deg) / 360.0 * girth_mm <= room_mm + 1e-9
            assert piece.to_mm - piece.from_mm <= tallest_mm
            for window in piece.windows:
                assert piece.from_deg < window.angle_deg < piece.to_deg
                assert piece.from_mm <= window.fipple_line_mm < window.lip_line_mm < piece.to_mm


# ---- figures -------------------------------------------------------------------------------------------------------
def test_wall_is_never_written_thicker_than_it_is():
    # Derived by hand: 3.97 mm is 3.9 and a bit; 5/32 in is 3.969 mm.
    assert str(Figures("both").left(3.97)) == "3.9\u00a0mm (5/32\u00a0in)"
    assert Figures("mm").left(3.999).main == "3.9\u00a0mm"
    assert Figures("mm").left(-0.2).main == "broken out"


def test_piece_is_never_written_shorter_than_it_is_needed():
    # Derived by hand: 24.71 mm needs 24.8; 62/64 in is 24.606 mm, 63/64 in is 25.003 mm.
    assert str(Figures("both").needed(24.71)) == "24.8\u00a0mm (63/64\u00a0in)"


def test_size_in_inches_is_a_fraction_where_it_is_one():
    # Derived by hand: 7/16 in is 11.1125 mm; 6 mm is 0.2362 in.
    assert inch_size(11.1) == "7/16 in"
    assert inch_size(6.0) == "0.236 in"
    assert Figures("inch").set_out(16.7).main == "0.657\u00a0in"


def test_units_of_the_maker_come_first():
    assert Figures("inch").size(12.7).main == "1/2\u00a0in"
    assert Figures("inch").size(12.7).also == ""
    assert Figures("both").size(12.7).also == "1/2\u00a0in"
    assert job_of(sample("ferry-six"), units="inch", size=A4).figures.size(12.7).main == "1/2\u00a0in"
