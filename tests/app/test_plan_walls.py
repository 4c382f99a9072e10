"""What the plan says of walls and blank: who is to blame, and the size that would do."""
from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings

from app.body import Body, Stock
from app.remark import Weight
from app.whistle import Whistle
from app.work_plan import work_plan
from tests.app.plan_cases import WALL_CODES, codes, harbour, whistles


@pytest.mark.parametrize(("body", "blamed"), [
    (Body(diameter_mm=44.4, tenon_diameter_mm=43.0),
     "the tenon of 43 mm holds the bores in, and four bores with walls of 4 mm need a tenon of 44.4 mm, or none."),
    (Body(diameter_mm=44.0, tenon_diameter_mm=43.0), "need a tenon and body of 44.4 mm."),
    (Body(diameter_mm=43.0), ": four bores with walls of 4 mm need a body of 44.4 mm."),
    # derived by hand: (12.7 + 4) / (2 sin 45) = 11.809, written 11.9; 2 (11.9 + 6.35 + 4) = 44.5
    (Body(diameter_mm=50.0, circle_radius_mm=11.0),
     "need a circle of radius 11.9 mm, and round it a body of 44.5 mm."),
])
def test_a_thin_wall_is_blamed_on_what_holds_the_bores_where_they_are(body: Body, blamed: str) -> None:
    remarks = [one for one in work_plan(harbour(body=body)).remarks if one.code in ("under_wanted_wall", "thin_wall")]
    assert len(remarks) == 1
    assert remarks[0].sentence.endswith(blamed)
    none = Body(diameter_mm=body.diameter_mm)
    assert codes(work_plan(harbour(body=none))).isdisjoint({"under_wanted_wall"}) == (body.diameter_mm >= 44.4)


def test_every_bore_that_breaks_out_or_came_out_is_named() -> None:
    broken = work_plan(harbour(body=Body(diameter_mm=30.0, circle_radius_mm=11.8))).refusals[0].sentence
    assert broken.startswith("Bores A, B, C and D break through the outside of a body of 30 mm: ")
    a, b, *others = harbour().chambers
    out = (replace(a, drift_outward_mm=4.5), replace(b, drift_outward_mm=5.0), *others)
    assert work_plan(harbour(chambers=out)).refusals[0].sentence.startswith("Bores A and B came out through")
    assert work_plan(harbour(chambers=(out[0], b, *others))).refusals[0].sentence.startswith("Bore A came out through")
    unequal = work_plan(harbour(chambers=(replace(a, bore_mm=18.0), b, *others),
                                body=Body(diameter_mm=40.0, circle_radius_mm=11.8)))
    assert unequal.refusals[0].sentence.startswith("Bore A breaks through")


@given(whistles())
@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_the_body_circle_and_tenon_that_a_remark_names_are_enough(whistle: Whistle) -> None:
    """What is read in the sentence, put into the document, leaves the walls that the sentence promises."""
    whistle = replace(whistle, chambers=tuple(
        replace(chamber, drift_outward_mm=None, drift_clockwise_mm=None) for chamber in whistle.chambers
    ))  # a bore that was drilled stays where it is
    for remark in work_plan(whistle).remarks:
        if remark.code not in ("breaks_out", "bores_meet", "thin_wall", "under_wanted_wall", "tenon_wall"):
            continue
        before = work_plan(whistle)
        after = work_plan(replace(whistle, body=replace(whistle.body, **named(remark.sentence))))
        if remark.code == "tenon_wall":
            assert not codes(after) & (WALL_CODES | {"tenon_wall"}) - codes(before), remark
            assert after.body.tenon_wall_mm >= after.body.least_wall_mm - 1e-6
        else:
            assert after.body.thinnest_mm >= whistle.wall_mm - 1e-6, remark


def named(sentence: str) -> dict[str, float]:
    """The last size that a sentence gives to each part of the body."""
    parts = {"tenon": "tenon_diameter_mm", "body": "diameter_mm", "circle of radius": "circle_radius_mm"}
    found: dict[str, float] = {}
    asked = sentence.rpartition("is the least: ")[2] if "Turned down" in sentence else sentence.partition(" need ")[2]
    if "Turned down" in sentence:
        asked = asked.partition(", or")[0]
    for words, key in parts.items():
        for size in re.findall(rf"{words} of ([0-9.]+) mm|{words} ([0-9.]+) mm", asked):
            found[key] = float("".join(size))
    if "tenon and body" in asked:
        found["tenon_diameter_mm"] = found["diameter_mm"]
    return found


@pytest.mark.parametrize(("side_mm", "wall_mm", "ending"), [
    # derived by hand: 44.4 and 1/8 in is 47.575; 45 gives 41.825, which holds three with walls of 4 mm (40 mm)
    (45.0, 4.0, ": a blank of 47.6 mm, thinner walls, or no more than three such bores with walls of 4 mm."),
    (36.0, 4.0, ": a blank of 47.6 mm, thinner walls, or narrower bores with walls of 4 mm."),
])
def test_a_thin_blank_is_told_what_it_holds_and_how_thick_it_should_be(
    side_mm: float, wall_mm: float, ending: str
) -> None:
    refused = work_plan(harbour(stock=Stock(blank_width_mm=side_mm), wall_mm=wall_mm)).refusals[0]
    assert refused.sentence.endswith(ending)
    three = harbour(stock=Stock(blank_width_mm=45.0), chambers=harbour().chambers[:3])
    assert codes(work_plan(three), Weight.REFUSE) == codes(work_plan(harbour(stock=Stock(blank_width_mm=47.6)))) - {
        "one_window", "grip_wide", "blank_tight"} == set()


def test_a_body_drawn_thicker_than_its_blank_is_told_to_be_thinner_and_not_to_have_fewer_bores() -> None:
    drawn = work_plan(harbour(body=Body(diameter_mm=50.0), stock=Stock(blank_width_mm=45.0))).refusals[0]
    assert drawn.sentence.endswith("this one needs 50 mm: a blank of 53.2 mm, or a thinner body.")
