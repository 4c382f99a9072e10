"""The invented maker blows the whole whistle: one breath, every chamber a little off from what it speaks alone.

How far chambers of one mouthpiece pull each other nobody has published for such whistles: the spread is invented.
"""
from __future__ import annotations

from dataclasses import replace

import numpy as np

from acoustics.synthesis import BlowRecipe

PULL_SD_CENTS = 2.5  # of one chamber between alone and together; it stays so
OWN_SD_CENTS = 0.8  # of one chamber from chord to chord, beside what the common breath does


def draw_pulls(letters: tuple[str, ...], rng: np.random.Generator) -> dict[str, float]:
    """Cents by which each chamber sounds other in the chord than alone."""
    return {letter: float(rng.normal(0.0, PULL_SD_CENTS)) for letter in letters}


def in_one_breath(
    alone: dict[str, BlowRecipe], notes_hz: dict[str, float], pulls_cents: dict[str, float],
    breath: tuple[float, float], rng: np.random.Generator,
) -> tuple[BlowRecipe, ...]:
    """Single blows made one: one length, one level, one push of pitch.

    notes_hz : where each chamber sounds in the maker's usual breath
    breath : level in dB and pitch in cents over the usual, the same for all
    """
    level_db, push_cents = breath
    first = next(iter(alone.values()))
    share_db = 10.0 * np.log10(len(alone))  # one breath feeds them all
    return tuple(
        replace(
            recipe, duration_s=first.duration_s, swell_db=first.swell_db, drift_cents_per_s=first.drift_cents_per_s,
            level_dbfs=recipe.level_dbfs + level_db - share_db, wander_cents=min(recipe.wander_cents, 1.5),
            frequency_hz=notes_hz[letter] * 2.0 ** (
                (push_cents + pulls_cents[letter] + float(rng.normal(0.0, OWN_SD_CENTS))) / 1200.0),
        )
        for letter, recipe in alone.items()
    )
