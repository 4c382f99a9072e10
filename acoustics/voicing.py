"""How a chamber speaks: what its blows show, each finding with its evidence and with what to look at, in order.

Conventions
-----------
A finding says what was heard and how often; it never names a cause. Levels are compared only between blows that the
microphone heard from one place, breath and leaks only where the chamber sounded alone. Every threshold is common
practice without a source, unless said.
"""
from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Sequence
from statistics import median, variance
from typing import Final

from acoustics.heard import Finding, Verdict
from acoustics.level_slope import Group, level_slope
from acoustics.remedies import Symptom, remedies_for
from acoustics.speech import Expected, JumpMargin, Shown, Voice, VoiceBlow, VoiceFinding

RECENT_BLOWS: Final = 8  # older ones say how it spoke, not how it speaks
LEAST_SHOWING: Final = 2  # one blow is the blower's, two are the chamber's
LEAK_BLOWS: Final = 3
HISSY_DB: Final = -14.0  # of breath to tone; the reader's own bound
WEAKER_DB, BREATHIER_DB = -8.0, 10.0  # against the middle of the other chambers
LEAST_OTHERS: Final = 2
# Signs of a leak; two of the three make it suspected. A leaking stopper is sharp, weak and unsteady in the organ and
# flute trade; the sizes are common practice, no source. Weak and breathy are one sign: a room that swallows this one
# note makes both at once.
SHARP_SD: Final = 1.5  # of what all other blows foretell
LEAK_BREATH_DB, LEAK_LEVEL_DB = 5.0, -4.0  # against this chamber otherwise stopped
LEAK_SCATTER_RATIO: Final = 1.6  # over the maker's usual
SCATTER_BLOWS: Final = 4
LEAK_SIGNS: Final = 2


def voice_of(letter: str, face_id: str, blows: Sequence[VoiceBlow], expected: Expected) -> Voice:
    """How a chamber speaks.

    Parameters
    ----------
    letter, face_id : the chamber, and what stops its bore now
    blows : sequence of VoiceBlow
        Of the whole whistle in order of time, each of its chamber's present voice; usable or not.
    expected : Expected

    Returns
    -------
    Voice
        Findings the gravest first; none until two blows show the same thing, and never one about breath or leaks
        from blows with an open neighbour, nor about leaks with the mouthpiece off.

    Notes
    -----
    A symptom holds while more than half of the last eight blows on this face show it. Order and remedies: fipple and
    organ trade (`acoustics.remedies`).
    """
    own = [blow for blow in blows if blow.letter == letter]
    here = [blow for blow in own if blow.face_id == face_id]
    recent, good = here[-RECENT_BLOWS:], [blow for blow in here[-RECENT_BLOWS:] if blow.good]
    if not recent:
        return Voice(letter, 0, 0)
    found = [*_shown_by_most(recent), *_leak(own, here, blows, expected), *_compared(good, blows)]
    order = list(Symptom)
    return Voice(
        letter, len(recent), sum(not _is_amiss(blow) for blow in good),
        attack_ms=_middle(good, lambda b: b.attack_ms), breath_db=_middle(good, lambda b: b.breath_db),
        level_dbfs=_middle(good, lambda b: b.level_dbfs), slope=level_slope(_groups(own)),
        jump=_jump_margin(own, recent[-1].place_id),
        findings=tuple(sorted(found, key=lambda each: order.index(each.symptom))),
    )


def _finding(symptom: Symptom, shown: Shown) -> VoiceFinding:
    return VoiceFinding(symptom, shown, remedies_for(symptom, shown.n_showing))


# ---- what most of its blows show -----------------------------------------------------------------------------------
def _shows(blow: VoiceBlow, symptom: Symptom) -> bool:
    match symptom:
        case Symptom.SILENT:
            return blow.verdict is Verdict.BREATHY and not blow.usable
        case Symptom.OVERBLOWS:
            return blow.verdict is Verdict.OVERBLOWN
        case Symptom.HISSY:
            hissing = blow.breath_db is not None and blow.breath_db > HISSY_DB
            return hissing or blow.verdict is Verdict.BREATHY or Finding.HISSY in blow.findings
        case Symptom.WAVERS:
            return blow.verdict is Verdict.UNSTEADY or Finding.WAVERS in blow.findings
        case Symptom.CHIRPS:
            return Finding.CHIRPS_FIRST in blow.findings
        case Symptom.SLOW:
            return Finding.SLOW_TO_SPEAK in blow.findings
    return False


def _is_amiss(blow: VoiceBlow) -> bool:
    return any(_shows(blow, symptom) for symptom in Symptom)


def _shown_by_most(recent: Sequence[VoiceBlow]) -> list[VoiceFinding]:
    found = []
    for symptom in Symptom:
        about = [b for b in recent if b.alone] if symptom in (Symptom.SILENT, Symptom.HISSY) else recent
        showing = [blow for blow in about if _shows(blow, symptom)]
        if len(showing) < LEAST_SHOWING or 2 * len(showing) <= len(about):
            continue
        found.append(_finding(symptom, Shown(
            len(showing), len(about),
            attack_ms=_middle(showing, lambda b: b.attack_ms) if symptom is Symptom.SLOW else None,
            breath_db=_middle(showing, lambda b: b.breath_db) if symptom is Symptom.HISSY else None,
            margin_db=_margin(about) if symptom is Symptom.OVERBLOWS else None,
        )))
    return found


def _jump_margin(own: Sequence[VoiceBlow], place_id: str) -> JumpMargin | None:
    """Levels of one place of the microphone only; the tone's level stands for the breath behind it."""
    near = [blow for blow in own if blow.place_id == place_id and blow.alone]
    levels = [blow.level_dbfs for blow in near if blow.good and blow.level_dbfs is not None]
    if len(levels) < LEAST_SHOWING:
        return None
    n_overblown = sum(blow.verdict is Verdict.OVERBLOWN for blow in near)
    return JumpMargin(n_overblown, _margin(near), max(levels) - median(levels))


def _margin(blows: Sequence[VoiceBlow]) -> float | None:
    jumped = [b.level_dbfs for b in blows if b.verdict is Verdict.OVERBLOWN and b.level_dbfs is not None]
    stayed = [b.level_dbfs for b in blows if b.good and b.level_dbfs is not None]
    return min(jumped) - max(stayed) if jumped and stayed else None


def _groups(own: Sequence[VoiceBlow]) -> list[Group]:
    """Good blows by face, set and place, pitch against the first of each."""
    grouped: dict[tuple[str, str, str], list[tuple[float, float]]] = defaultdict(list)
    for blow in own:
        if blow.good and blow.alone and blow.level_dbfs is not None and blow.frequency_hz:
            pitch_cents = 1200.0 * math.log2(blow.frequency_hz)
            grouped[blow.face_id, blow.set_id, blow.place_id].append((blow.level_dbfs, pitch_cents))
    return [
        Group(tuple(level for level, _ in told), tuple(cents - told[0][1] for _, cents in told))
        for told in grouped.values()
    ]


# ---- against the other chambers, and against itself ----------------------------------------------------------------
def _compared(good: Sequence[VoiceBlow], blows: Sequence[VoiceBlow]) -> list[VoiceFinding]:
    good = [blow for blow in good if blow.alone]
    if len(good) < LEAST_SHOWING:
        return []
    level_db = _from_others(good, blows, lambda b: b.level_dbfs)
    breath_db = _from_others(good, blows, lambda b: b.breath_db)
    found = []
    if level_db is not None and level_db < WEAKER_DB:
        found.append(_finding(Symptom.WEAKER, Shown(len(good), len(good), level_apart_db=level_db)))
    if breath_db is not None and breath_db > BREATHIER_DB:
        found.append(_finding(Symptom.BREATHIER, Shown(len(good), len(good), breath_apart_db=breath_db)))
    return found


def _from_others(
    mine: Sequence[VoiceBlow], blows: Sequence[VoiceBlow], value: Callable[[VoiceBlow], float | None]
) -> float | None:
    """Middle of these less the middle of the other chambers, heard from one place in one state."""
    last = mine[-1]
    near = _heard_alike(blows, last)
    here = _middle(_heard_alike(mine, last), value)
    theirs = []
    for letter in sorted({b.letter for b in near} - {last.letter}):
        told = [b for b in near if b.letter == letter and b.good][-RECENT_BLOWS:]
        middle = _middle(told, value) if len(told) >= LEAST_SHOWING else None
        if middle is not None:
            theirs.append(middle)
    return here - median(theirs) if here is not None and len(theirs) >= LEAST_OTHERS else None


def _heard_alike(blows: Sequence[VoiceBlow], last: VoiceBlow) -> list[VoiceBlow]:
    return [b for b in blows if b.place_id == last.place_id and b.mouthpiece_on == last.mouthpiece_on and b.alone]


def _leak(
    own: Sequence[VoiceBlow], here: Sequence[VoiceBlow], blows: Sequence[VoiceBlow], expected: Expected
) -> list[VoiceFinding]:
    """Two signs of three. The model's pitch counts only where every blow behind it was a chamber alone."""
    told = [blow for blow in here if blow.usable]
    sure = [blow for blow in told if blow.alone and blow.mouthpiece_on]
    if len(sure) < LEAK_BLOWS or here[-1] is not sure[-1]:
        return []
    surprise_sd = expected.surprise_sd if len(sure) == len(told) else None
    recent = sure[-RECENT_BLOWS:]
    breath_db = _otherwise(own, recent, lambda b: b.breath_db)
    level_db = _otherwise(own, recent, lambda b: b.level_dbfs)
    bounds = (LEAK_BREATH_DB, LEAK_LEVEL_DB)
    if breath_db is None:
        breath_db, level_db = (_from_others(recent, blows, f) for f in (lambda b: b.breath_db, lambda b: b.level_dbfs))
        bounds = (BREATHIER_DB, WEAKER_DB)
    scatter_ratio = _scatter_ratio(recent, expected.blow_sd_cents)
    dull = (breath_db is not None and breath_db > bounds[0]) or (level_db is not None and level_db < bounds[1])
    signs = (
        surprise_sd is not None and surprise_sd > SHARP_SD, dull,
        scatter_ratio is not None and scatter_ratio > LEAK_SCATTER_RATIO,
    )
    if sum(signs) < LEAK_SIGNS:
        return []
    figures = (level_db, breath_db, surprise_sd, scatter_ratio)
    return [_finding(Symptom.LEAKS, Shown(len(recent), len(recent), None, None, None, *figures))]


def _otherwise(
    own: Sequence[VoiceBlow], here: Sequence[VoiceBlow], value: Callable[[VoiceBlow], float | None]
) -> float | None:
    """Against the same chamber stopped by something else, from the same place."""
    last = here[-1]
    other = [b for b in own if b.face_id != last.face_id and b.place_id == last.place_id and b.good and b.alone]
    here_middle, other_middle = _middle([b for b in here if b.place_id == last.place_id], value), _middle(other, value)
    if len(other) < LEAST_SHOWING or here_middle is None or other_middle is None:
        return None
    return here_middle - other_middle


def _scatter_ratio(here: Sequence[VoiceBlow], blow_sd_cents: float) -> float | None:
    """Scatter within sets over the maker's usual."""
    squares_cents2, n_free = 0.0, 0
    for set_id in {blow.set_id for blow in here}:
        cents = [1200.0 * math.log2(b.frequency_hz) for b in here if b.set_id == set_id and b.frequency_hz]
        if len(cents) >= 2:
            squares_cents2 += variance(cents) * (len(cents) - 1)
            n_free += len(cents) - 1
    return math.sqrt(squares_cents2 / n_free) / blow_sd_cents if n_free >= SCATTER_BLOWS - 1 else None


def _middle(blows: Sequence[VoiceBlow], value: Callable[[VoiceBlow], float | None]) -> float | None:
    values = [each for each in map(value, blows) if each is not None]
    return median(values) if values else None
