"""Whistles to be planned: a plain one, and any that a document may hold."""
from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from acoustics.notes import chord_hz, chord_named, note_hz
from app.body import Body, Stock
from app.remark import Weight
from app.whistle import LETTERS, Chamber, Whistle, checked, whistle_of
from app.whole_plan import WorkPlan

INCH_MM = 25.4
WALL_CODES = {"breaks_out", "bores_meet", "thin_wall", "drifted_out", "drifted_together"}


def harbour(**changes: object) -> Whistle:
    """Four half-inch bores, a major sixth on F5."""
    notes_hz = chord_hz(chord_named("major sixth"), note_hz("F5"))
    whistle = whistle_of("Tidewick", notes_hz, ("F5", "A5", "C6", "D6"), bore_mm=12.7, bore_length_mm=130.0,
                         window_width_mm=9.5, window_height_mm=6.35)
    return checked(replace(whistle, **changes))


def codes(plan: WorkPlan, *weights: Weight) -> set[str]:
    return {remark.code for remark in plan.remarks if not weights or remark.weight in weights}


def maybe(strategy: st.SearchStrategy[float]) -> st.SearchStrategy[float | None]:
    return st.none() | strategy


@st.composite
def whistles(draw: st.DrawFn) -> Whistle:
    """Any whistle that a document may hold, many of them impossible."""
    n_chambers = draw(st.integers(2, 6))
    lowest_hz, step_cents = draw(st.floats(250.0, 1000.0)), draw(st.integers(100, 400))
    bore_mm, length_mm = draw(st.floats(6.0, 20.0)), draw(st.floats(40.0, 200.0))
    chambers = tuple(
        Chamber(
            LETTERS[i], bore_mm if draw(st.booleans()) else draw(st.floats(6.0, 20.0)), length_mm,
            5.0, draw(st.floats(2.0, 10.0)), min(2400.0 + i, lowest_hz * 2.0 ** (i * step_cents / 1200.0)), "",
            None, draw(maybe(st.floats(-6.0, 6.0))), draw(maybe(st.floats(-6.0, 6.0))),
        )
        for i in range(n_chambers)
    )
    return checked(Whistle(
        id="6e09eb5e-f97a-4d0e-b32e-9abe96dc02ff", name="Any", chambers=chambers, wall_mm=draw(st.floats(1.0, 8.0)),
        body=Body(
            diameter_mm=draw(maybe(st.floats(20.0, 90.0))), circle_radius_mm=draw(maybe(st.floats(5.0, 30.0))),
            tenon_diameter_mm=draw(maybe(st.floats(20.0, 60.0))), length_mm=draw(maybe(st.floats(60.0, 260.0))),
        ),
        stock=Stock(
            blank_width_mm=draw(maybe(st.floats(30.0, 80.0))), blank_length_mm=draw(maybe(st.floats(60.0, 300.0))),
            bit_reach_mm=draw(maybe(st.floats(40.0, 200.0))),
        ),
    ))
