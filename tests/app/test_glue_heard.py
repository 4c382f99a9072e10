"""What the glue moved, heard: the invented maker's sound through finder, reader and walk, from dry chord to next day.

The whistle, its creep and its leak are invented and told to nobody; what is tested is that the program finds them.
"""
from __future__ import annotations

import copy
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from acoustics.tuning import Stop
from app.events import AirTold, GlueChosen, GlueKind, Key, Pressed, Route
from app.glue_compare import Moved, Why
from app.glue_stage import GLUED, NEXT_DAY, Glue, Word
from app.invented import invent_whistle
from app.invented_glue import glue_in, lie_over_night
from app.invented_maker import Habits, Maker
from app.practice import Performer, told_whistle
from app.rehearsal import drive
from app.session import Session
from app.settings import Settings
from tests.app.test_chord_live import Records

RATE_HZ = 24_000
LETTERS = "ABCD"


@dataclass
class Shop:
    """One maker, one whistle, one journal, and a clock that is set by hand."""

    maker: Maker
    records: Records = field(default_factory=lambda: Records(()))
    now: datetime = datetime(2026, 5, 1, 10, 0, tzinfo=UTC)

    def session(self) -> Session:
        """The whistle laid on the bench."""
        settings = Settings(temperature_c=self.maker.whistle.room_c)
        session = Session(self.records, told_whistle(self.maker.whistle), settings, None, Route.SLIDE, Stop.FLAT,
                          clock=lambda: self.now)
        if session.state.place.glue.kind is not None:
            session.post(AirTold(self.maker.whistle.room_c))
        return session


def shop_of(seed: int) -> Shop:
    """Up to the good dry chord, and on to the glue."""
    rng = np.random.default_rng(seed)
    habits = Habits(creep_sd_mm=0.0, seam_share=0.0)
    maker = Maker(invent_whistle(rng, lowest_hz=600.0, steps=(0, 4, 7, 9)), habits, rng)
    shop = Shop(maker)
    session = shop.session()
    assert drive(session, Performer(maker, RATE_HZ), until=session.done).finished
    session.post(Pressed(Key.NEXT))
    return shop


@pytest.fixture(scope="module")
def dried() -> Shop:
    return shop_of(31)


def glued_and_heard_next_day(
    dried: Shop, kind: GlueKind, creep_mm: dict[str, float] | None = None, leak_cents: dict[str, float] | None = None,
    warmer_c: float = 0.0,
) -> Session:
    shop = copy.deepcopy(dried)
    session = shop.session()
    session.post(GlueChosen(kind))
    performer = Performer(shop.maker, RATE_HZ)
    while (glue := session.state.place.glue).word in (Word.SET, Word.OPEN_BLOW, Word.PUT_BACK):
        if glue.word is Word.SET:
            glue_in(shop.maker, glue.letter, 0.0, 0.0)
            session.post(Pressed(Key.DONE))
        elif glue.word is Word.PUT_BACK:
            session.post(Pressed(Key.NEXT))
        else:
            drive(session, performer, until=lambda: session.state.place.glue.word is not Word.OPEN_BLOW)
    for letter in LETTERS:  # while it sets, when nobody looks
        glue_in(shop.maker, letter, (creep_mm or {}).get(letter, 0.0), (leak_cents or {}).get(letter, 0.0))
    lie_over_night(shop.maker, warmer_c)
    shop.now += timedelta(hours=26)
    session = shop.session()
    if session.state.place.glue.word is Word.CURED:
        session.post(Pressed(Key.DONE))
    drive(session, Performer(shop.maker, RATE_HZ), until=session.glued)
    assert session.glued()
    return session


def named(glue: Glue) -> dict[str, Why]:
    return {moved.letter: moved.why for moved in glue.moved}


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
