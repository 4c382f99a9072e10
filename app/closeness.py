"""How close is close enough, and how bold a cut may be: what stands behind the maker's words."""
from __future__ import annotations

import math
from enum import StrEnum
from typing import Final

from acoustics.air import Air, speed_of_sound_m_per_s
from acoustics.constants import CENTS_PER_OCTAVE
from acoustics.tuning import Policy
from app.settings import Settings


class Boldness(StrEnum):
    CAREFUL = "careful"
    EVEN = "even"
    BOLD = "bold"


# The bound on the chance that one cut leaves a plug flat beyond the tolerance (`acoustics.tuning.Policy.flat_risk`).
# "Even" is that policy's own default, found on the bench; the outer two are a choice, a step of 3 to either side.
_EVEN_RISK: Final = Policy().flat_risk
FLAT_RISK: Final[dict[Boldness, float]] = {
    Boldness.CAREFUL: _EVEN_RISK / 3.0, Boldness.EVEN: _EVEN_RISK, Boldness.BOLD: _EVEN_RISK * 3.0,
}

BOLDNESS_WORDS: Final[dict[Boldness, str]] = {
    Boldness.CAREFUL: "Careful: smaller cuts, and more of them",
    Boldness.EVEN: "Even: a few cuts to each plug",
    Boldness.BOLD: "Bold: fewer cuts, and now and then a plug is spoilt",
}


def tolerance_mm(tolerance_cents: float, target_hz: float, temperature_c: float = 20.0) -> float:
    """How much plug the tolerance is worth at that note: a quarter wave changes by its own share of an octave."""
    quarter_wave_mm = 1e3 * speed_of_sound_m_per_s(Air(temperature_c)) / (4.0 * target_hz)
    return quarter_wave_mm * math.log(2.0) * tolerance_cents / CENTS_PER_OCTAVE


def policy_of(settings: Settings) -> Policy:
    """What the maker chose, as the advice takes it."""
    return Policy(tolerance_cents=settings.tolerance_cents, flat_risk=FLAT_RISK[Boldness(settings.boldness)])
