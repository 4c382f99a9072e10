"""A bench for what the glue moves: one invented maker, one whistle, one journal, and a clock that is set by hand."""
from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

import numpy as np

from acoustics.tuning import Stop
from app.events import AirTold, GlueChosen, GlueKind, Key, Pressed, Route
from app.glue_compare import Why
from app.glue_stage import Glue, Word
from app.invented import invent_whistle
from app.invented_glue import glue_in, lie_over_night
from app.invented_maker import Habits, Maker
from app.practice import Performer, told_whistle
from app.rehearsal import drive
from app.session import Session
from app.settings import Settings
from app.source import SoundSource
from app.whistle import Whistle
from tests.app.test_chord_live import Records

RATE_HZ = 24_000
LETTERS = "ABCD"
NIGHT_AND_DAY = timedelta(hours=26)


@dataclass
class Shop:
    maker: Maker
    whistle: Whistle
    records: Records = field(default_factory=lambda: Records(()))
    now: datetime = datetime(2026, 5, 1, 10, 0, tzinfo=UTC)

    def session(self, source: SoundSource | None = None) -> Session:
        """The whistle laid on the bench."""
        settings = Settings(temperature_c=self.maker.whistle.room_c, tones=False, keep_sound=False)
        session = Session(self.records, self.whistle, settings, source, Route.SLIDE, Stop.FLAT, clock=lambda: self.now)
        if session.state.place.glue.kind is not None:
            session.post(AirTold(self.maker.whistle.room_c))
        return session


def tuned_shop(seed: int) -> Shop:
    """Every plug on its note, the dry chord still to be blown."""
    rng = np.random.default_rng(seed)
    habits = Habits(creep_sd_mm=0.0, seam_share=0.0)
    maker = Maker(invent_whistle(rng, lowest_hz=600.0, steps=(0, 4, 7, 9)), habits, rng)
    shop = Shop(maker, told_whistle(maker.whistle))
    session = shop.session()
    assert drive(session, Performer(maker, RATE_HZ)).finished
    return shop


def shop_of(seed: int) -> Shop:
    """Up to the good dry chord, and on to the glue."""
    shop = tuned_shop(seed)
    session = shop.session()
    assert drive(session, Performer(shop.maker, RATE_HZ), until=session.done).finished
    session.post(Pressed(Key.NEXT))
    return shop


def glue_all(session: Session, shop: Shop, kind: GlueKind) -> None:
    """Every plug into its glue at its line, blown while that is open where the glue allows."""
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


def lie(
    shop: Shop, creep_mm: Mapping[str, float] | None = None, leak_cents: Mapping[str, float] | None = None,
    warmer_c: float = 0.0,
) -> None:
    """It sets, when nobody looks; then another day."""
    for letter in LETTERS:
        glue_in(shop.maker, letter, (creep_mm or {}).get(letter, 0.0), (leak_cents or {}).get(letter, 0.0))
    lie_over_night(shop.maker, warmer_c)
    shop.now += NIGHT_AND_DAY


def glued_and_heard_next_day(
    dried: Shop, kind: GlueKind, creep_mm: Mapping[str, float] | None = None,
    leak_cents: Mapping[str, float] | None = None, warmer_c: float = 0.0,
) -> Session:
    """A copy of the dry whistle, glued, and blown next day until the walk has told what moved."""
    shop = copy.deepcopy(dried)
    glue_all(shop.session(), shop, kind)
    lie(shop, creep_mm, leak_cents, warmer_c)
    session = shop.session()
    if session.state.place.glue.word is Word.CURED:
        session.post(Pressed(Key.DONE))
    drive(session, Performer(shop.maker, RATE_HZ), until=session.glued)
    assert session.glued()
    return session


def named(glue: Glue) -> dict[str, Why]:
    return {moved.letter: moved.why for moved in glue.moved}
