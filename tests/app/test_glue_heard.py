"""What the glue moved, heard: the invented maker's sound through finder, reader and walk, from dry chord to next day.

The whistle, its creep and its leak are invented and told to nobody; what is tested is that the program finds them.
"""
from __future__ import annotations

import copy
from datetime import timedelta

import pytest

from app.events import GlueChosen, GlueKind
from app.glue_compare import Moved, Why
from app.glue_stage import GLUED, NEXT_DAY, Glue, Word
from app.practice import Performer
from app.rehearsal import drive
from tests.app.glue_shop import LETTERS, RATE_HZ, Shop, glued_and_heard_next_day, named, shop_of


@pytest.fixture(scope="module")
def dried() -> Shop:
    return shop_of(31)


def only(glue: Glue) -> Moved:
    moved, = glue.moved
    return moved


@pytest.mark.parametrize("letter", ["A", "C"])
def test_a_creep_of_three_tenths_of_a_millimetre_is_named_by_its_sound(dried, letter):
    glue = glued_and_heard_next_day(dried, GlueKind.INSTANT, creep_mm={letter: 0.3}).state.place.glue
    moved = only(glue)
    assert (moved.letter, moved.why) == (letter, Why.PUSHED_IN)
    assert moved.shift_mm == pytest.approx(0.3, abs=0.2), "two standard deviations of two blows against two"


def test_a_leak_is_named_by_its_sound_and_its_hiss(dried):
    session = glued_and_heard_next_day(dried, GlueKind.WATER, leak_cents={"B": 14.0})
    assert named(session.state.place.glue) == {"B": Why.LEAKS}
    assert session.view().sentence[0] == "Plug B leaks"


def test_a_colder_shop_is_told_apart_and_blames_no_plug(dried):
    glue = glued_and_heard_next_day(dried, GlueKind.EPOXY, warmer_c=-6.0).state.place.glue
    assert glue.moved == ()
    assert glue.whole.warmer_c == pytest.approx(-6.0)
    assert glue.whole.shift_cents == pytest.approx(glue.whole.air_cents, abs=9.0), "the rest is the maker's breath"


def test_water_based_glue_is_blown_open_and_rested_until_next_day_by_sound_alone(dried):
    shop = copy.deepcopy(dried)
    session = shop.session()
    session.post(GlueChosen(GlueKind.WATER))
    drive(session, Performer(shop.maker, RATE_HZ), until=lambda: session.state.place.glue.word is Word.RESTING)
    glue = session.state.place.glue
    assert (glue.word, set(glue.glued)) == (Word.RESTING, set(LETTERS))
    assert [column.name for column in glue.columns] == ["before", GLUED]
    shop.now += timedelta(hours=20)
    again = shop.session()
    assert again.state.place.glue.round == NEXT_DAY
    assert again.state.place.glue.word is Word.CHORD
