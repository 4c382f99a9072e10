"""What one whistle teaches about the next of the same pattern, by the same maker."""
from __future__ import annotations

import dataclasses
import math

from acoustics.belief import Belief
from acoustics.evidence import Priors

_WHISTLE_SD = 0.05  # of the window's share from whistle to whistle of one drawing; common practice, no source
_FINGER_LOG_SD = 0.05  # of one maker's finger from day to day
_AIR_SD_CENTS = 2.0  # of one maker's routine from day to day
_BLOW_WEIGHT_LIMIT = 60.0  # an old memory of the scatter must still yield to new blows


def remember(belief: Belief) -> Priors:
    """Priors for the next whistle of this pattern and maker.

    Parameters
    ----------
    belief : Belief
        After the last blow of this whistle, fitted under what was remembered before it.

    Returns
    -------
    Priors
        Means moved to what was learned; spreads are what is still unknown of the pattern, widened by how much
        whistles of one pattern differ.

    Notes
    -----
    Each unknown is remembered by itself. Window and air offset trade against each other in one whistle's blows;
    their joint uncertainty is left out, which errs on the wide side.
    """
    priors, posterior = belief.priors, belief.posterior

    def spread(unknown: tuple[str, str], widening_sd: float, limit_sd: float) -> float:
        return min(math.hypot(posterior.sd({unknown: 1.0}), widening_sd), limit_sd)

    n_blows = sum(len(reading.deviations_cents) for reading in belief.readings.values())
    return dataclasses.replace(
        priors,
        window_log=priors.window_log + posterior.value(("window", "")),
        window_log_sd=spread(("window", ""), _WHISTLE_SD, priors.window_log_sd),
        finger_log=priors.finger_log + posterior.value(("finger", "")),
        finger_log_sd=spread(("finger", ""), _FINGER_LOG_SD, priors.finger_log_sd),
        air_cents=priors.air_cents + posterior.value(("air", "")),
        air_sd_cents=spread(("air", ""), _AIR_SD_CENTS, priors.air_sd_cents),
        blow_sd_cents=belief.blow_sd_cents,
        blow_sd_weight=min(priors.blow_sd_weight + 0.5 * n_blows, _BLOW_WEIGHT_LIMIT),
    )
