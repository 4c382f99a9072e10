"""The work plan: nothing through a wall unsaid, no plug longer than its bore, and a common blank without complaint."""
from __future__ import annotations

import cmath
import math
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings

from acoustics.notes import chord_hz, chord_named, note_hz
from acoustics.tuning import Priors
from app.body import Body, Stock
from app.choices_of_chord import choices, compass, most_chambers
from app.hole_plan import Drilling, Grip
from app.remark import Lengths, Weight
from app.whistle import LETTERS, Whistle
from app.work_plan import work_plan
from tests.app.plan_cases import INCH_MM, WALL_CODES, codes, harbour, whistles


def rim(x_mm: float, y_mm: float, bore_mm: float, points: int = 360) -> list[complex]:
    """The hole's edge, point by point: no formula of the plan's."""
    return [complex(x_mm, y_mm) + 0.5 * bore_mm * cmath.exp(2j * math.pi * k / points) for k in range(points)]


def breaks(centres: list[complex], bores_mm: list[float], body_mm: float) -> bool:
    """A rim point outside the body, or inside another hole."""
    for i, centre in enumerate(centres):
        points = rim(centre.real, centre.imag, bores_mm[i])
        if max(map(abs, points)) > 0.5 * body_mm + 0.01:
            return True
        for j, other in enumerate(centres):
            if i != j and min(abs(point - other) for point in points) < 0.5 * bores_mm[j] - 0.01:
                return True
    return False


@given(whistles())
@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_no_bore_breaks_out_as_drawn_or_as_drilled_without_a_refusal(whistle: Whistle) -> None:
    plan = work_plan(whistle)
    bores_mm = [hole.bore_mm for hole in plan.holes]
    drawn = breaks([complex(h.x_mm, h.y_mm) for h in plan.holes], bores_mm, plan.body.diameter_mm)
    drilled = breaks([complex(h.exit_x_mm, h.exit_y_mm) for h in plan.holes], bores_mm, plan.body.diameter_mm)
    if drawn or drilled:
        assert codes(plan, Weight.REFUSE) & WALL_CODES
    if plan.body.thinnest_mm >= whistle.wall_mm:
        assert not codes(plan) & {"breaks_out", "bores_meet", "thin_wall", "under_wanted_wall"}


@given(whistles())
@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_no_plug_is_longer_than_its_bore_and_none_is_given_where_none_can_be(whistle: Whistle) -> None:
    plan = work_plan(whistle)
    for plug, chamber in zip(plan.plugs, whistle.chambers, strict=True):
        if plug.rough_mm is None or plug.depth_mm is None:
            assert codes(plan) & {"too_short", "too_high", "short"}
        else:
            assert 0.0 < plug.depth_mm <= plug.rough_mm <= chamber.bore_length_mm
            assert plug.verdict == "short" or plug.rough_mm <= chamber.bore_length_mm - chamber.window_height_mm + 1e-9
    for rod in plan.cuts.rods:
        saw_cuts = len(rod.plugs_mm) + len(rod.fipples_mm)
        assert rod.length_mm >= sum(rod.plugs_mm) + sum(rod.fipples_mm) + saw_cuts * plan.cuts.kerf_mm


@given(whistles())
@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_no_chord_is_offered_that_this_wood_cannot_hold_or_reach(whistle: Whistle) -> None:
    tenon_mm = min(whistle.body.tenon_diameter_mm or 60.0, whistle.body.diameter_mm or 60.0)  # refused if thicker
    whistle = replace(whistle, body=replace(whistle.body, tenon_diameter_mm=tenon_mm))
    if whistle.stock.blank_width_mm is not None:  # a body thicker than its blank is refused whatever is played
        whistle = replace(whistle, body=replace(whistle.body, diameter_mm=None))
    widest = max(whistle.chambers, key=lambda chamber: chamber.bore_mm)
    for choice in choices(compass(whistle), most_chambers(whistle), whistle.a4_hz)[:3]:
        for root in {choice.lowest_likely, choice.highest_likely}:
            notes_hz = chord_hz(choice.chord, note_hz(root))
            asked = tuple(
                replace(widest, letter=letter, target_hz=hz, drift_outward_mm=None, drift_clockwise_mm=None,
                        window_height_mm=min(one.window_height_mm for one in whistle.chambers))
                for letter, hz in zip(LETTERS, notes_hz, strict=False)
            )
            refused = codes(work_plan(replace(whistle, chambers=asked)), Weight.REFUSE)
            # What body, blank and bit refuse whatever is played stays refused; walls, blank and notes must not be.
            assert not refused & (WALL_CODES | {"blank_thin", "tenon_wall", "too_short", "too_high"}), (choice, root)


def test_a_common_blank_plans_without_complaint() -> None:
    """Common practice: 2 x 2 x 6 in, four 1/2 in bores right through, window 5/8 in from the end, 1 3/4 in mortise."""
    whistle = harbour(
        chambers=tuple(replace(c, bore_length_mm=(6.0 - 5.0 / 8.0) * INCH_MM) for c in harbour().chambers),
        lip_slope_deg=45.0,
        body=Body(window_from_end_mm=5.0 / 8.0 * INCH_MM, tenon_diameter_mm=1.75 * INCH_MM),
        stock=Stock(blank_width_mm=2.0 * INCH_MM, blank_length_mm=6.0 * INCH_MM, chucking_mm=0.0),
    )
    plan = work_plan(whistle)
    assert codes(plan, Weight.REFUSE, Weight.CARE) == set()
    assert plan.body.length_mm == pytest.approx(6.0 * INCH_MM)
    assert plan.body.from_blank_most_mm == pytest.approx((2.0 - 1.0 / 8.0) * INCH_MM)
    # derived by hand: R = 16.7 / (2 sin 45) = 11.809; body as thick as the mortise, 44.45 / 2 - 11.809 - 6.35 = 4.066
    assert [hole.outside_mm for hole in plan.holes] == pytest.approx([4.066] * 4, abs=1e-3)
    assert [hole.to_next_mm for hole in plan.holes] == pytest.approx([4.0] * 4)
    # frozen, as common practice: what this wood can play, by geometry alone
    room = compass(whistle, Priors(window_log_sd=0.18, window_own_sd=0.08, air_cents=0.0, air_sd_cents=5.0))
    major_sixth = choices(room, most_chambers(whistle), 440.0, (chord_named("major sixth"),))[0]
    assert (major_sixth.lowest_likely, major_sixth.lowest_sure) == ("E5", "E5")
    assert (major_sixth.highest_sure, major_sixth.highest_likely) == ("A♯5", "F6")
    assert most_chambers(whistle) == 4


def test_the_same_blank_with_an_inch_in_the_chuck_is_too_short() -> None:
    stock = Stock(blank_width_mm=2.0 * INCH_MM, blank_length_mm=6.0 * INCH_MM)
    plan = work_plan(harbour(stock=stock))
    assert codes(plan, Weight.REFUSE) == {"no_chucking"}
    assert plan.body.blank_length_needed_mm == pytest.approx(130.0 + 12.7 + 25.4)


@pytest.mark.parametrize("slope_deg", [10.0, 30.0, 45.0, 60.0, 80.0])
def test_any_slope_of_the_lip_is_taken_and_a_steeper_one_starts_nearer(slope_deg: float) -> None:
    window = work_plan(harbour(lip_slope_deg=slope_deg)).windows[0]
    # derived by hand: the slope climbs the 4 mm wall over 4 / tan(slope)
    assert window.ramp_line_mm - window.lip_line_mm == pytest.approx(4.0 / math.tan(math.radians(slope_deg)))


def test_lines_on_the_body_follow_from_its_length_and_the_bore() -> None:
    plan = work_plan(harbour(body=Body(length_mm=150.0)))
    assert plan.windows[0].fipple_line_mm == pytest.approx(20.0)  # derived by hand: 150 less 130
    assert plan.windows[0].lip_line_mm == pytest.approx(26.35)
    # derived by hand: a chord of 9.5 in a circle of 12.7 lies (12.7 - sqrt(12.7^2 - 9.5^2)) / 2 = 2.136 inside it
    assert plan.windows[0].saw_depth_mm == pytest.approx(plan.holes[0].outside_mm + 2.136, abs=1e-3)


def test_staggered_windows_have_longer_fipples_whose_outer_ends_lie_in_one_plane() -> None:
    whistle = harbour()
    shorter = replace(whistle.chambers[3], bore_length_mm=100.0)
    windows = work_plan(replace(whistle, chambers=(*whistle.chambers[:3], shorter))).windows
    starts_mm = {round(window.fipple_line_mm - window.fipple_length_mm, 6) for window in windows}
    assert starts_mm == {0.0}
    assert windows[3].fipple_length_mm == pytest.approx(42.7)


def test_a_bore_may_drift_by_what_the_outside_has_and_by_half_of_what_it_shares() -> None:
    plan = work_plan(harbour(body=Body(least_wall_mm=2.5)))
    assert plan.holes[0].drift_allowed_mm == pytest.approx(0.75)  # derived by hand: half of 4 - 2.5
    wide = work_plan(harbour(body=Body(least_wall_mm=2.5, circle_radius_mm=16.0)))
    assert wide.holes[0].drift_allowed_mm == pytest.approx(1.5)  # only the outside wall of 4 mm is near


def test_two_wide_bores_with_a_narrow_one_between_share_the_wall_across() -> None:
    chambers = tuple(replace(one, bore_mm=mm, window_width_mm=5.0)
                     for one, mm in zip(harbour().chambers, (20.0, 6.0, 20.0, 6.0), strict=True))
    body = Body(diameter_mm=60.0, circle_radius_mm=10.5, least_wall_mm=0.5)
    plan = work_plan(harbour(chambers=chambers, body=body))
    # derived by hand: A and C stand 21 apart, 1 of it wood; neighbours 14.849 - 13 = 1.849; half of what is over 0.5
    assert [hole.drift_allowed_mm for hole in plan.holes] == pytest.approx([0.25, 0.675, 0.25, 0.675], abs=1e-3)


def test_measured_drift_moves_the_walls_at_the_plug_end_and_is_told_when_too_much() -> None:
    a, *others = harbour().chambers
    plan = work_plan(harbour(chambers=(replace(a, drift_outward_mm=2.5), *others)))
    assert plan.holes[0].exit_outside_mm == pytest.approx(1.5)
    assert plan.holes[0].outside_mm == pytest.approx(4.0)
    assert "drifted_thin" in codes(plan, Weight.CARE)
    out = work_plan(harbour(chambers=(replace(a, drift_outward_mm=4.5), *others)))
    assert "drifted_out" in codes(out, Weight.REFUSE)
    assert work_plan(harbour()).body.exit_thinnest_mm is None


@pytest.mark.parametrize(("body", "code", "weight"), [
    (Body(diameter_mm=30.0, circle_radius_mm=11.8), "breaks_out", Weight.REFUSE),
    (Body(circle_radius_mm=7.0), "bores_meet", Weight.REFUSE),
    (Body(diameter_mm=37.0), "thin_wall", Weight.REFUSE),
    (Body(diameter_mm=42.0), "under_wanted_wall", Weight.CARE),
    (Body(diameter_mm=44.0, tenon_diameter_mm=50.0), "tenon_over_body", Weight.REFUSE),
    (Body(diameter_mm=46.0, circle_radius_mm=12.5, tenon_diameter_mm=40.0), "tenon_wall", Weight.REFUSE),
    (Body(tenon_length_mm=12.0, mortise_depth_mm=10.0), "mortise_short", Weight.CARE),
    (Body(cap_length_mm=12.0, mortise_depth_mm=12.0), "mortise_through", Weight.REFUSE),
    (Body(length_mm=120.0), "bore_over_body", Weight.REFUSE),
    (Body(length_mm=160.0, window_from_end_mm=15.0), "window_place", Weight.CARE),
    (Body(window_from_end_mm=8.0), "fipple_proud", Weight.NOTE),
    (Body(grip_diameter_mm=61.0), "grip_too_wide", Weight.CARE),
    (Body(windway_flat_mm=3.175), "breath_short", Weight.CARE),
    (Body(mouthpiece_chamber_diameter_mm=22.0), "hollow_narrow", Weight.CARE),
])
def test_what_the_drawing_cannot_be_or_must_mind_is_said(body: Body, code: str, weight: Weight) -> None:
    plan = work_plan(harbour(body=body))
    assert code in codes(plan, weight)


@pytest.mark.parametrize(("stock", "code", "weight"), [
    (Stock(blank_width_mm=45.0), "blank_thin", Weight.REFUSE),
    (Stock(blank_width_mm=60.0, blank_height_mm=45.0), "blank_thin", Weight.REFUSE),
    (Stock(blank_width_mm=48.0), "blank_tight", Weight.CARE),
    (Stock(blank_length_mm=140.0), "blank_short", Weight.REFUSE),
    (Stock(bit_reach_mm=70.0), "bit_short", Weight.REFUSE),
    (Stock(bit_reach_mm=100.0), "both_ends", Weight.NOTE),
    (Stock(bit_diameter_mm=12.5), "bit_off", Weight.NOTE),
    (Stock(dowel_diameter_mm=12.8), "dowel_too_thick", Weight.CARE),
    (Stock(dowel_diameter_mm=12.69), "dowel_tight", Weight.NOTE),
    (Stock(dowel_diameter_mm=12.3), "dowel_loose", Weight.NOTE),
    (Stock(dowel_diameter_mm=12.0), "dowel_too_loose", Weight.CARE),
    (Stock(dowel_diameter_mm=12.6, dowel_across_mm=12.2), "dowel_oval", Weight.CARE),
    (Stock(dowel_wood="maple"), "wood_moves", Weight.NOTE),
])
def test_what_the_stock_cannot_give_or_must_mind_is_said(stock: Stock, code: str, weight: Weight) -> None:
    assert code in codes(work_plan(harbour(stock=stock)), weight)


def test_every_remark_is_one_sentence_that_calls_nothing_harmless() -> None:
    stock = Stock(blank_width_mm=45.0, bit_reach_mm=70.0, dowel_diameter_mm=12.8, dowel_wood="cherry")
    for units in ("mm", "inch"):
        remarks = work_plan(harbour(body=Body(diameter_mm=30.0, length_mm=120.0), stock=stock), units=units).remarks
        assert len(remarks) > 5
        for remark in remarks:
            assert remark.sentence.endswith((".", "?"))
            assert "\n" not in remark.sentence
            assert "safe" not in remark.sentence
            assert (" mm" in remark.sentence) <= (units == "mm"), remark.sentence


def test_the_gravest_remark_comes_first() -> None:
    weights = [remark.weight for remark in work_plan(harbour(body=Body(diameter_mm=37.0))).remarks]
    assert weights == sorted(weights, key=list(Weight).index)
    assert weights[0] is Weight.REFUSE


@pytest.mark.parametrize(("grip_mm", "grip"), [
    (40.0, Grip.COMFORTABLE), (40.1, Grip.WIDE), (60.0, Grip.WIDE), (60.1, Grip.TOO_WIDE),
])
def test_a_hand_finds_40_mm_comfortable_and_60_the_most(grip_mm: float, grip: Grip) -> None:
    assert work_plan(harbour(body=Body(grip_diameter_mm=grip_mm))).body.grip is grip


@pytest.mark.parametrize(("reach_mm", "drilling"), [
    (None, Drilling.UNKNOWN), (143.0, Drilling.ONE_END), (142.0, Drilling.BOTH_ENDS), (73.0, Drilling.TOO_DEEP),
])
def test_a_body_of_142_7_mm_is_drilled_from_where_the_bit_reaches(reach_mm: float | None, drilling: Drilling) -> None:
    assert work_plan(harbour(stock=Stock(bit_reach_mm=reach_mm))).body.drilling is drilling


def test_a_wall_is_never_written_thicker_and_a_need_never_smaller_than_it_is() -> None:
    for units in ("mm", "inch"):
        say = Lengths(units)
        for length_mm in (1.99, 2.449999, 3.05, 0.04):
            left, needed = (float_of(text) for text in (say.left(length_mm), say.needed(length_mm)))
            assert left <= length_mm + 1e-6
            assert needed >= length_mm - 1e-6
    assert Lengths("mm").left(3.9999999999) == "4 mm"  # rounding of the machine is not the maker's loss


def float_of(text: str) -> float:
    """The length in mm, read by hand rules: a fraction is inches."""
    number, unit = text.rsplit(" ", 1)
    parts = [int(a) / int(b) for a, b in (part.split("/") for part in number.split() if "/" in part)]
    whole = [float(part) for part in number.split() if "/" not in part]
    return (sum(parts) + sum(whole)) * (INCH_MM if unit == "in" else 1.0)


def test_graded_windows_have_one_intonation_number_and_equal_ones_let_the_lowest_jump_first() -> None:
    whistle = harbour()
    equal = work_plan(whistle)
    assert equal.breath.first_to_jump == "A"
    # derived by hand: under equal windows the number goes as 1 / f; F5 to D6 is 9 semitones, 2^(-9/12) = 0.5946
    assert equal.windows[3].intonation_ratio == pytest.approx(0.5946, abs=1e-4)
    graded = tuple(
        replace(chamber, window_height_mm=window.graded_height_mm)
        for chamber, window in zip(whistle.chambers, equal.windows, strict=True)
    )
    plan = work_plan(replace(whistle, chambers=graded))
    assert [window.intonation_ratio for window in plan.windows] == pytest.approx([1.0] * 4)
    assert "one_window" not in codes(plan)


def test_one_window_for_more_than_an_octave_is_to_be_minded_and_within_it_only_noted() -> None:
    assert "one_window" in codes(work_plan(harbour()), Weight.NOTE)
    wide = tuple(replace(c, target_hz=hz) for c, hz in zip(harbour().chambers, (700, 900, 1100, 1500), strict=True))
    assert "one_window" in codes(work_plan(harbour(chambers=wide)), Weight.CARE)


def test_four_eighth_inch_flats_take_a_hundred_square_millimetres_and_a_breath_of_one_second() -> None:
    """Worked by hand: a segment 3.175 high of a 12.7 circle is 24.8 mm2; 3 l through 99 mm2 at 28.9 m/s is 1.05 s."""
    breath = work_plan(harbour(body=Body(windway_flat_mm=3.175))).breath
    assert breath.area_mm2 == pytest.approx(99.1, abs=0.2)
    assert breath.lasts_s == pytest.approx(1.05, abs=0.02)


def test_what_earlier_whistles_taught_narrows_the_first_plugs() -> None:
    first, later = work_plan(harbour()), work_plan(harbour(), Priors(window_log_sd=0.05, window_own_sd=0.03))
    for plain, taught in zip(first.plugs, later.plugs, strict=True):
        assert taught.depth_sd_mm < 0.6 * plain.depth_sd_mm
        assert taught.rough_mm == pytest.approx(taught.depth_mm + 5.0)


def test_a_first_plug_is_at_least_two_standard_deviations_long() -> None:
    wide = tuple(replace(c, bore_mm=18.0, window_width_mm=6.0, window_height_mm=3.0) for c in harbour().chambers)
    for plug in work_plan(harbour(chambers=wide)).plugs:
        if plug.rough_mm is not None and plug.depth_mm is not None:
            assert plug.rough_mm == pytest.approx(min(127.0, plug.depth_mm + max(5.0, 2.0 * plug.depth_sd_mm)))


def test_first_plugs_lie_where_the_quarter_wave_rule_puts_them() -> None:
    """Derived by hand: air = c / 4f less the window's share, 2.3 a^2 / sqrt(W H) = 11.94 mm; 1 % for the wall."""
    for plug in work_plan(harbour()).plugs:
        air_mm = 343.4e3 * 0.99 / (4.0 * plug.target_hz) - 11.94
        assert plug.depth_mm == pytest.approx(130.0 - air_mm, abs=1.5)


def test_the_cut_list_counts_a_spare_of_each_and_a_cut_for_every_piece() -> None:
    plan = work_plan(harbour(stock=Stock(kerf_mm=1.5)))
    rod = plan.cuts.rods[0]
    assert (len(rod.plugs_mm), len(rod.fipples_mm), rod.letters) == (5, 5, "ABCD")
    assert rod.length_mm == pytest.approx(sum(rod.plugs_mm) + sum(rod.fipples_mm) + 10 * 1.5 + 100.0)
    assert max(rod.plugs_mm) == rod.plugs_mm[-1]


def test_unequal_bores_get_a_rod_and_a_bit_of_each_size() -> None:
    a, b, *others = harbour().chambers
    narrower = (replace(others[0], bore_mm=11.1), replace(others[1], bore_mm=11.1))
    plan = work_plan(harbour(chambers=(a, b, *narrower)))
    assert [(rod.diameter_mm, rod.letters) for rod in plan.cuts.rods] == [(12.7, "AB"), (11.1, "CD")]
    assert [bit.diameter_mm for bit in plan.cuts.bits] == [12.7, 11.1]


def test_a_maple_dowel_grows_by_the_wood_handbook() -> None:
    """Published: FPL-GTR-190, table 13-5, sugar maple 0.00165 and 0.00353 per percent; 12.7 mm over 4 percent."""
    moved = work_plan(harbour(stock=Stock(dowel_wood="Maple", dowel_diameter_mm=12.7))).cuts.movement
    assert moved is not None
    assert (moved.wood, moved.radial_mm, moved.tangential_mm) == (
        "sugar maple", pytest.approx(0.0838, abs=1e-4), pytest.approx(0.1793, abs=1e-4),
    )
    assert work_plan(harbour(stock=Stock(dowel_wood="driftwood"))).cuts.movement is None


def test_a_tenon_is_counted_when_the_circle_is_chosen() -> None:
    plan = work_plan(harbour(body=Body(diameter_mm=50.0, tenon_diameter_mm=46.0)))
    assert plan.body.tenon_wall_mm == pytest.approx(4.0)
    assert plan.holes[0].outside_mm == pytest.approx(6.0)
