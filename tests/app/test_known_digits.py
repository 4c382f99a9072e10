"""What is believed is said in no finer step than it is known, and a spread never smaller than it is."""
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from acoustics.tuning import Action, Advice, Why
from acoustics.units import MM_PER_INCH
from app.events import Request, Task
from app.wording import known_text, rounded_uncertainty_mm, too_long_text, why_text, wish_text, within_text

LOOSE = Advice(
    "B", Action.TRIM, Why.HALF_ON_PURPOSE, 880.0, heard_hz=900.0, deviation_cents=15.0, deviation_sd_cents=6.0,
    full_amount_mm=1.27, held_back_mm=0.8, amount_mm=0.47, uncertainty_mm=0.5, depth_mm=20.0, stop_at_depth_mm=19.53,
    target_depth_mm=18.7, more_blows=2,
)


@pytest.mark.parametrize(("length_mm", "sd_mm", "units", "said"), [
    (1.27, 0.1, "mm", "1.3 mm"),
    (1.27, 0.49, "mm", "1.3 mm"),
    (1.27, 0.5, "mm", "1.5 mm"),
    (1.2, 0.5, "mm", "1.0 mm"),
    (0.2, 0.5, "mm", "under 0.5 mm"),
    (3.4, 2.5, "mm", "3 mm"),
    (1.27, 0.1, "inch", "3/64 in"),  # by hand: 0.05 in is 3.2 64ths
    (1.27, 0.5, "inch", "1/16 in"),  # 1.6 32nds
    (0.2, 0.5, "inch", "under 1/32 in"),
])
def test_what_is_believed_is_said_as_closely_as_it_is_known(length_mm, sd_mm, units, said):
    assert known_text(length_mm, sd_mm, units) == said


@given(st.floats(0.01, 5.0))
def test_a_spread_is_never_said_smaller_than_it_is(sd_mm):
    assert rounded_uncertainty_mm(sd_mm) >= sd_mm - 1e-6
    assert float(within_text(sd_mm, "mm").removesuffix(" mm")) >= sd_mm - 1e-4
    whole, _, part = within_text(sd_mm, "inch").removesuffix(" in").rpartition(" ")
    over, _, under = part.partition("/")
    said_in = float(whole or 0) + float(over) / float(under or 1)
    assert said_in * MM_PER_INCH >= sd_mm - 1e-4


def test_the_sentence_shows_amount_and_spread_in_the_same_step():
    request = Request(1, Task.TRIM, "B", None, 19.5, 0.5)
    told = why_text(LOOSE, request, "A5", "mm", sliding=False)
    assert "1.5 mm too much plug, two times in three within 0.5 mm" in told
    assert too_long_text(LOOSE, "mm") == "1.5 mm long"
    assert too_long_text(replace(LOOSE, uncertainty_mm=0.2), "mm") == "1.3 mm long"


def test_an_estimate_is_said_as_one_and_a_rule_as_a_rule():
    asked = replace(LOOSE, action=Action.BLOW_AGAIN, why=Why.TOO_LOOSE, more_blows=5)
    assert wish_text(asked) == "some 5 more are likely to do"
    assert wish_text(replace(asked, more_blows=1)) == "1 more wanted"
    assert wish_text(replace(asked, why=Why.SUSPECT, more_blows=2)) == "2 more wanted"
    assert wish_text(replace(asked, heard_hz=None, more_blows=3)) == "3 more wanted"
