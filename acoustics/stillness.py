"""How much more likely a tone's level wanders as breath does than that it stands as still as a machine's line.

A lung cannot hold a level; a motor, a relay or a loudspeaker holds it to what the noise about the line alone explains.
"""
from __future__ import annotations

import numpy as np

from acoustics.spectrum import Array

WANDER_DB = np.array([0.06, 0.12, 0.25, 0.5, 1.0])  # standard deviations a breath may have; judgement, no source
WANDER_SHARE = np.array([0.15, 0.25, 0.3, 0.2, 0.1])
BREATH_BELOW_HZ, NOISE_ABOVE_HZ = 4.0, 6.0
FLAT_BELOW_HZ = 0.5  # above it a breath's wander falls off
FEWEST = 8, 3  # of frames, and of components that tell the noise
LEAST_VARIANCE = 1e-8  # of a level in dB: no sound card is quieter


def wander_odds(level_db: Array, step_s: float) -> float:
    """Natural logarithm of the odds that a level wanders as breath does, against a line that stands still.

    Parameters
    ----------
    level_db : of one line, in frames that share hardly a sample
    step_s : from frame to frame

    Returns
    -------
    The log odds; 0 when there is too little to say. Long and clean stretches give large figures, noisy ones small.

    Notes
    -----
    The level's cosine components are independent. Those above `NOISE_ABOVE_HZ` tell how large noise alone makes
    them; those below `BREATH_BELOW_HZ` are larger if the level wanders. The noise is known from as many components as
    there are, so the comparison is of Student's kind and cannot be bolder than the stretch is long.
    """
    n = len(level_db)
    if n < FEWEST[0]:
        return 0.0
    place = np.pi * (np.arange(n) + 0.5) / n
    component = np.cos(np.outer(np.arange(1, n), place)) @ (level_db - np.mean(level_db)) * np.sqrt(2.0 / n)
    n_slow = max(1, int(2.0 * n * step_s * BREATH_BELOW_HZ))
    fast = component[max(n_slow + 1, int(2.0 * n * step_s * NOISE_ABOVE_HZ)) :]
    if len(fast) < FEWEST[1]:
        return 0.0
    slow = component[:n_slow] ** 2
    frequency_hz = np.arange(1, n_slow + 1) / (2.0 * n * step_s)
    share = 1.0 / np.maximum(frequency_hz, FLAT_BELOW_HZ)
    variance = max(float(np.mean(fast**2)), LEAST_VARIANCE)
    noise = variance * len(fast)
    grown = 1.0 + n * np.outer(WANDER_DB**2, share / np.sum(share)) / variance
    left = np.sum(slow / grown, axis=1) + noise
    freedom = 0.5 * (n_slow + len(fast))
    odds = -0.5 * np.sum(np.log(grown), axis=1) - freedom * np.log(left / (np.sum(slow) + noise))
    best = float(np.max(odds))
    return best + float(np.log(np.sum(WANDER_SHARE * np.exp(odds - best))))
