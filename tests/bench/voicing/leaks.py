"""First plugs of invented whistles, some of them leaking: which are suspected from their first blows alone.

Pitch and scatter are the invented world's. Level and breath are drawn here and as invented: a chamber's own hiss lies
between -30 and -18 dB, a blow's level is good to 1.8 dB; the room favours one note over another by 3 dB; a leak costs 2
to 6 dB of level and adds 6 to 12 dB of hiss.
"""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from acoustics.heard import Verdict
from acoustics.remedies import Symptom
from acoustics.speech import Expected, VoiceBlow
from acoustics.tuning import Priors, fit
from acoustics.voicing import voice_of
from tests.bench.tuning.bench_hand import Hand, hand_for
from tests.simulation.world import (
    BREATH_SD_DB,
    HISS_DB,
    LEAK_BREATHIER_DB,
    ROOM_SD_DB,
    Customs,
    Maker,
    Pattern,
    Whistle,
)

WAYS = ("pitch alone, as a surprise", "pitch and scatter", "pitch, scatter, level and breath")
LEAK_LEVEL_DB = (2.0, 6.0)


@dataclass(frozen=True)
class Judged:
    """One first plug: whether it leaks, and which of the ways suspected it."""

    leaks: bool
    suspected: tuple[bool, ...]


def judged(n_whistles: int, seed: int, n_blows: int, leaking_share: float = 0.2) -> Iterator[Judged]:
    """Every first plug, after `n_blows` on one seating."""
    rng = np.random.default_rng(seed)
    for _ in range(n_whistles):
        customs = Customs(leaking_share=leaking_share)
        whistle = Whistle.draw(rng, Pattern.draw(rng), Maker.draw(rng), customs)
        yield from _whistle(hand_for(whistle), rng, n_blows)


def _whistle(hand: Hand, rng: np.random.Generator, n_blows: int) -> Iterator[Judged]:
    """First blows of all chambers; then plug after plug, each chamber's belief that of all before it."""
    hiss_db = {letter: float(rng.uniform(*HISS_DB)) for letter in hand.whistle.chambers}
    heard: list[VoiceBlow] = []
    for letter in hand.whistle.chambers:
        hand.begin_set()
        hand.put(letter, hand.whistle.finger(), 0.0, 0.0)
        hand.blow(letter, 2)
        hand.blow(letter, 1, reseat=True)
        heard += _voice_blows(hand, rng, 3, hiss_db[letter], leaks=False)
        del hand.closures[letter], hand.seats[letter]
    for at, letter in enumerate(hand.whistle.chambers):
        goal_mm = fit(hand.plan, hand.observations, Priors()).chambers[at].target_depth_mm or 0.0
        hand.begin_set()
        hand.put_plug(letter, goal_mm + 1.0, cut=True)
        hand.blow(letter, n_blows)
        leaks = hand.seats[letter].leak_cents > 0.0
        heard += _voice_blows(hand, rng, n_blows, hiss_db[letter], leaks)
        yield Judged(leaks, _suspected(hand, letter, heard))
        hand.seats[letter].leak_cents = 0.0  # found and sealed: it misleads no later chamber
        hand.observations = [o for o in hand.observations if not (leaks and o.closure == hand.closures[letter])]


def _voice_blows(hand: Hand, rng: np.random.Generator, n: int, hiss_db: float, leaks: bool) -> list[VoiceBlow]:
    weaker_db = float(rng.uniform(*LEAK_LEVEL_DB)) if leaks else 0.0
    breathier_db = float(rng.uniform(*LEAK_BREATHIER_DB)) if leaks else 0.0
    room_db = float(rng.normal(0.0, ROOM_SD_DB))
    return [
        VoiceBlow(o.letter, o.closure.id, o.set_id, "s/0", Verdict.STEADY, (), True, o.frequency_hz,
                  -22.0 - weaker_db + room_db + float(rng.normal(0.0, 1.8)),
                  hiss_db + breathier_db - room_db + float(rng.normal(0.0, BREATH_SD_DB)), 45.0)
        for o in hand.observations[-n:]
    ]


def _suspected(hand: Hand, letter: str, heard: list[VoiceBlow]) -> tuple[bool, ...]:
    belief = fit(hand.plan, hand.observations, Priors())
    face_id = hand.closures[letter].id
    surprise_sd = belief.readings[face_id].surprise_sd
    expected = Expected(surprise_sd, belief.blow_sd_cents)
    bare = [replace(blow, level_dbfs=None, breath_db=None) for blow in heard]
    found = (voice_of(letter, face_id, blows, expected).findings for blows in (bare, heard))
    return (surprise_sd > 3.0, *(any(f.symptom is Symptom.LEAKS for f in each) for each in found))
