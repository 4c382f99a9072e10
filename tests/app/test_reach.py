"""How low a bore can go is told before any wood is cut."""
from __future__ import annotations

from dataclasses import replace

import pytest

from acoustics.air import Air
from acoustics.notes import note_hz
from acoustics.tuning import Priors
from acoustics.units import shift_hz
from app.reach import Verdict, reach, reaches, share_log_sd, too_wide
from app.whistle import Chamber, whistle_of

AIR = Air(20.0)
BORE = Chamber("A", 12.7, 140.0, 10.0, 6.0, 698.456, "F5")


def at(target_hz: float, note: str) -> Verdict:
    return reach(replace(BORE, target_hz=target_hz, note=note), AIR).verdict


def test_the_full_bore_speaks_near_its_quarter_wave_with_the_window_added() -> None:
    # derived by hand: share 2.3 x 6.35^2 / sqrt(60) = 12.0 mm; 343.2 / (4 x 0.152) = 564 Hz, less 1 % for the wall
    assert reach(BORE, AIR).lowest_hz == pytest.approx(564 * 0.99, rel=0.01)


def test_lower_notes_go_from_in_reach_to_out_of_reach_and_never_back() -> None:
    order = [Verdict.IN_REACH, Verdict.LITTLE_PLUG, Verdict.SHORT, Verdict.TOO_SHORT]
    seen = [order.index(at(hz, "x")) for hz in range(2480, 300, -10)]
    assert seen == sorted(seen)
    assert set(seen) == set(range(4))


def test_a_note_below_the_bore_is_refused_with_value_limit_and_likely_mistake() -> None:
    found = reach(replace(BORE, target_hz=349.228, note="F4"), AIR)
    assert found.verdict is Verdict.TOO_SHORT
    assert "140 mm" in found.sentence
    assert "F4 cannot be reached" in found.sentence
    assert found.sentence.endswith("?")


def test_a_note_that_would_leave_hardly_any_air_is_told_so() -> None:
    wide = Chamber("A", 20.0, 140.0, 4.0, 3.0, 1500.0, "F#6")
    found = reach(wide, AIR)
    assert found.verdict is Verdict.TOO_HIGH
    assert f"{found.highest_note} is about the highest, or is it a note an octave too high?" in found.sentence


@pytest.mark.parametrize("a4_hz", [415.0, 440.0, 466.0])
@pytest.mark.parametrize(("bore_mm", "width_mm", "height_mm"), [(20.0, 4.0, 3.0), (20.0, 12.0, 18.0), (18.0, 3.0, 2.0)])
def test_the_highest_note_that_is_named_is_not_too_high_and_the_next_one_is(
    bore_mm: float, width_mm: float, height_mm: float, a4_hz: float
) -> None:
    wide = Chamber("A", bore_mm, 140.0, width_mm, height_mm, 2400.0, "D7")
    highest_hz = note_hz(reach(wide, AIR, a4_hz).highest_note, a4_hz)
    assert reach(replace(wide, target_hz=highest_hz), AIR, a4_hz).verdict is Verdict.IN_REACH
    assert reach(replace(wide, target_hz=shift_hz(highest_hz, 100.0)), AIR, a4_hz).verdict is Verdict.TOO_HIGH


def test_a_higher_note_takes_more_plug() -> None:
    whistle = whistle_of("Tidewick", (698.5, 880.0, 1046.5), ("F5", "A5", "C6"), bore_mm=12.7, bore_length_mm=140,
                         window_width_mm=10, window_height_mm=6)
    plugs_mm = [one.plug_mm for one in reaches(whistle)]
    assert plugs_mm == sorted(plugs_mm)
    assert plugs_mm[0] > 0


def test_one_window_for_more_than_an_octave_is_remarked_on_and_graded_windows_are_not() -> None:
    wide = whistle_of("Tidewick", (600.0, 1300.0), ("D5", "E6"), bore_mm=12.7, bore_length_mm=150, window_width_mm=10,
                      window_height_mm=6)
    assert "lowest chamber" in too_wide(wide)
    graded = replace(wide, chambers=(replace(wide.chambers[0], window_height_mm=8.0), wide.chambers[1]))
    assert too_wide(graded) == ""


def test_an_inch_maker_is_told_in_inches() -> None:
    sentence = reach(BORE, AIR, units="inch").sentence
    assert "full bore of 5 5/8 in" in sentence  # derived by hand: 140 / 25.4 = 5.51, up to the next eighth
    assert "mm" not in sentence


def test_what_earlier_whistles_taught_moves_the_reach_and_narrows_what_only_may_be() -> None:
    # 5 % of share in place of 20 %: a note 45 cents under the full bore is out of reach, not in doubt
    doubtful = replace(BORE, target_hz=reach(BORE, AIR).lowest_hz * 2.0 ** (-45.0 / 1200.0), note="x")
    assert reach(doubtful, AIR).verdict is Verdict.SHORT
    taught = Priors(window_log_sd=0.04, window_own_sd=0.03)
    assert reach(doubtful, AIR, priors=taught).verdict is Verdict.TOO_SHORT
    longer_share = reach(BORE, AIR, priors=Priors(window_log=0.2))
    assert longer_share.lowest_hz < reach(BORE, AIR).lowest_hz


def test_pattern_and_chamber_spread_add_as_squares() -> None:
    assert share_log_sd(Priors(window_log_sd=0.03, window_own_sd=0.04)) == pytest.approx(0.05)  # derived by hand


def test_a_plug_whose_face_would_lie_under_the_window_is_no_plug() -> None:
    # derived by hand: both windows have a share of 2.3 x 81 / sqrt(100) = 18.6 mm, which at 2450 Hz leaves
    # (pi / 2 - atan(44.9 x 0.0186)) / 44.9 = 19.5 mm of air, a little less with the wall
    wide = replace(BORE, bore_mm=18.0, target_hz=2450.0, note="x")
    assert reach(replace(wide, window_width_mm=10.0, window_height_mm=10.0), AIR).verdict is Verdict.IN_REACH
    long_window = reach(replace(wide, window_width_mm=5.0, window_height_mm=20.0), AIR)
    assert long_window.verdict is Verdict.TOO_HIGH
    assert "the window long" in long_window.sentence
