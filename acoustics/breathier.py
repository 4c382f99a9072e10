"""How much breathier a plug blows than its chamber otherwise does, and what that says of a leak.

Conventions
-----------
Breath is the power of the noise over that of the tone, in dB; being a ratio it does not depend on how loud the
microphone hears, so blows of all sets are compared.

Notes
-----
A leak damps the chamber: by side-hole theory a hole that sharpens by 20 cents costs a third of the resonance
(docs/acoustics.md, "Leak at a plug"), 3.5 dB of the tone; organ and flute makers call a leaking pipe weak and breathy.
A room moves the tone and not the noise: in a wholly diffuse field a tone's level has a standard deviation of
(10 / ln 10) pi / sqrt(6) = 5.6 dB from note to note (Schroeder 1954, Acustica 4, 594, from memory), two notes 7.9 dB
apart; near the whistle it is less. Sizes of a real leak have not been measured, hence the wide spreads.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from acoustics.evidence import Observation

_ROOM_SD_DB = 4.0  # between two notes of one chamber; half of a wholly diffuse field's, common practice, no source
_BLOW_SD_DB = 2.0  # from blow to blow, common practice, no source
_LEAK_DB, _LEAK_SD_DB = 5.0, 4.0  # theory's 3.5 dB and more; common practice, no source
_DOF = 4.0  # of Student's t: the odd room, the odd voice
_LEAST_OTHERWISE = 2
MOST_TIMES = 4.0  # likelier or less likely: from 1 leak in 20 to 1 in 5, which is too little to be sealed


@dataclass(frozen=True)
class Breathier:
    """Noise over tone of a plug's blows, less that of its chamber otherwise stopped."""

    breathier_db: float
    n_blows: int
    n_otherwise: int


def breathier_of(blows: Sequence[Observation], letter: str, closure_id: str) -> Breathier | None:
    """Compare one closure with the same chamber stopped otherwise, or with a finger over the plug.

    Parameters
    ----------
    blows : sequence of Observation
        Of the whole whistle; those without `breath_db` do not count.
    letter, closure_id : the chamber and what stops it

    Returns
    -------
    Breathier or None
        Difference of the medians; None with no such blow on the closure or fewer than two otherwise.
    """
    told = [blow for blow in blows if blow.letter == letter and blow.breath_db is not None]
    here = [blow for blow in told if blow.closure.id == closure_id and not blow.covered]
    if not here:
        return None
    stop = here[0].closure.stop  # an earlier face of this plug leaked the same way
    otherwise = [
        blow for blow in told
        if blow.closure.stop is not stop or blow.closure.id == closure_id and blow.covered
    ]
    if len(otherwise) < _LEAST_OTHERWISE:
        return None
    breathier_db = _middle_db(here) - _middle_db(otherwise)
    return Breathier(breathier_db, len(here), len(otherwise))


def leak_times(breathier: Breathier | None) -> float:
    """How many times likelier so much breath is with a leak than without, 1 / `MOST_TIMES` to `MOST_TIMES`."""
    if breathier is None:
        return 1.0
    sound_db = math.hypot(_ROOM_SD_DB, _BLOW_SD_DB * math.sqrt(1.0 / breathier.n_blows + 1.0 / breathier.n_otherwise))
    leak_db = math.hypot(sound_db, _LEAK_SD_DB)
    ratio = _student(breathier.breathier_db - _LEAK_DB, leak_db) / _student(breathier.breathier_db, sound_db)
    return min(max(ratio, 1.0 / MOST_TIMES), MOST_TIMES)


def _student(off_db: float, scale_db: float) -> float:
    """Student's density but for a constant."""
    return float((1.0 + (off_db / scale_db) ** 2 / _DOF) ** (-0.5 * (_DOF + 1.0)) / scale_db)


def _middle_db(blows: Sequence[Observation]) -> float:
    return median(blow.breath_db for blow in blows if blow.breath_db is not None)
