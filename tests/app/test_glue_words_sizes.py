"""How far a plug moved in the glue is said to the nearest step of the maker's scale, and never as nothing."""
from __future__ import annotations

import pytest

from app.glue_compare import Moved, Why
from app.glue_remedies import moved_sentence, size_text


@pytest.mark.parametrize(("moved_mm", "units", "said"), [
    # by hand: 1/64 in is 0.397 mm
    (0.3, "mm", "0.3 mm"), (-0.3, "mm", "0.3 mm"), (0.3, "both", "0.3 mm"), (0.04, "mm", "a little"),
    (0.3, "inch", "1/64 in"), (0.7, "inch", "1/32 in"), (0.15, "inch", "a little"), (None, "inch", "a little"),
    (0.0, "mm", "a little"),
])
def test_size_of_what_moved(moved_mm, units, said):
    assert size_text(moved_mm, units) == said


def test_no_plug_went_in_by_nothing():
    assert moved_sentence(Moved("B", Why.PUSHED_IN, 8.0, 1.0, 0.3), "inch") == "Plug B went in 1/64 in"
    assert moved_sentence(Moved("B", Why.DRAWN_OUT, -4.0, 1.0, -0.15), "inch") == "Plug B came out a little"
    assert moved_sentence(Moved("B", Why.PUSHED_IN, 8.0, 1.0, 0.3), "inch", short=True) == "1/64 in in"
