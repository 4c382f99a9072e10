"""Bores in a body, checked by another construction: complex numbers, and circles sampled point by point."""
import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from acoustics.errors import OutOfRangeError
from acoustics.layout import (
    body_diameter_mm,
    bores_on_circle,
    divider_chords_mm,
    drift_allowed_mm,
    drifted,
    pitch_radius_mm,
    walls,
)

N_BORES = st.integers(2, 6)
BORE_MM = st.floats(6.0, 20.0)
WALL_MM = st.floats(1.0, 8.0)


def rim(bore, points=720):
    turn = [cmath.exp(2j * math.pi * k / points) for k in range(points)]
    return [complex(bore.x_mm, bore.y_mm) + 0.5 * bore.diameter_mm * t for t in turn]


@given(N_BORES, BORE_MM, WALL_MM)
def test_smallest_body_leaves_just_the_wall_everywhere(n_bores, bore_mm, wall_mm):
    bores = bores_on_circle([bore_mm] * n_bores, pitch_radius_mm([bore_mm] * n_bores, wall_mm))
    left = walls(bores, body_diameter_mm([bore_mm] * n_bores, wall_mm))
    assert left.least_mm == pytest.approx(wall_mm, abs=1e-9)
    assert left.outside_mm == pytest.approx([wall_mm] * n_bores, abs=1e-9)


@given(N_BORES, st.data(), WALL_MM)
def test_unequal_bores_never_have_less_than_the_wall(n_bores, data, wall_mm):
    bores_mm = data.draw(st.lists(BORE_MM, min_size=n_bores, max_size=n_bores))
    bores = bores_on_circle(bores_mm, pitch_radius_mm(bores_mm, wall_mm))
    assert min(walls(bores, body_diameter_mm(bores_mm, wall_mm)).outside_mm) >= wall_mm - 1e-9
    assert walls(bores, body_diameter_mm(bores_mm, wall_mm)).least_mm >= wall_mm - 1e-9


@pytest.mark.parametrize("n_bores", [2, 3, 4, 5, 6])
def test_walls_are_what_points_on_the_rims_say(n_bores):
    bores = bores_on_circle([12.7] * n_bores, 13.0)
    left = walls(bores, 46.0)
    nearest = min(abs(p - q) for p in rim(bores[0]) for q in rim(bores[1]))
    assert left.between_mm[0] == pytest.approx(nearest, abs=0.01)
    assert left.outside_mm[0] == pytest.approx(23.0 - max(abs(p) for p in rim(bores[0])), abs=1e-3)


def test_a_is_the_first_bore_clockwise_from_the_mark():
    a, b, *_ = bores_on_circle([10.0] * 4, 10.0)
    assert a.x_mm > 0  # right of the mark,
    assert a.y_mm > 0  # above the middle
    assert b.x_mm > 0
    assert b.y_mm < 0


def test_drift_outward_takes_just_as_much_of_the_outside_wall():
    bores = bores_on_circle([12.7] * 4, 11.8)
    before, after = walls(bores, 44.0), walls([drifted(bores[0], 0.7), *bores[1:]], 44.0)
    assert before.outside_mm[0] - after.outside_mm[0] == pytest.approx(0.7)  # derived by hand
    assert after.between_mm[1:3] == pytest.approx(before.between_mm[1:3])


def test_drift_clockwise_narrows_the_wall_to_the_next_and_widens_that_to_the_last():
    bores = bores_on_circle([12.7] * 4, 11.8)
    before, after = walls(bores, 44.0), walls([drifted(bores[0], 0.0, 0.5), *bores[1:]], 44.0)
    assert after.between_mm[0] < before.between_mm[0]
    assert after.between_mm[3] > before.between_mm[3]


def test_holes_that_break_into_each_other_have_a_negative_wall():
    assert walls(bores_on_circle([12.7] * 6, 10.0), 44.0).least_mm < 0.0


@pytest.mark.parametrize(("n_bores", "count"), [(2, 1), (3, 1), (4, 2), (5, 2), (6, 3)])
def test_divider_chords_are_the_distances_between_the_centres(n_bores, count):
    bores = bores_on_circle([8.0] * n_bores, 12.5)
    chords = divider_chords_mm(n_bores, 12.5)
    assert len(chords) == count
    for step, chord_mm in enumerate(chords, 1):
        apart = abs(complex(bores[0].x_mm, bores[0].y_mm) - complex(bores[step].x_mm, bores[step].y_mm))
        assert chord_mm == pytest.approx(apart)


def test_six_on_a_circle_step_round_it_by_its_own_radius():
    assert divider_chords_mm(6, 12.5)[0] == pytest.approx(12.5)  # Euclid, Elements IV.15


def test_allowed_drift_is_what_the_wall_has_over_the_least():
    assert drift_allowed_mm(4.0, 2.5) == pytest.approx(1.5)
    assert drift_allowed_mm(2.0, 2.5) == 0.0


def test_one_bore_is_no_whistle():
    with pytest.raises(OutOfRangeError, match="bores are 1"):
        pitch_radius_mm([12.7], 4.0)


def test_a_body_table_of_the_trade_is_met():
    """Diameters in mm for walls of 3 and 4 mm; worked out by hand from the circle's geometry."""
    table = {3: (37, 40), 4: (41, 44), 5: (45, 49), 6: (50, 54)}
    for n_bores, wanted in table.items():
        assert [round(body_diameter_mm([12.7] * n_bores, w)) for w in (3.0, 4.0)] == list(wanted)
