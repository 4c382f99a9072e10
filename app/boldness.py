"""How bold a cut may be: the maker's word for it, and the chance of a spoilt plug that stands behind the word."""
from __future__ import annotations

from enum import StrEnum
from typing import Final


class Boldness(StrEnum):
    CAREFUL = "careful"
    EVEN = "even"
    BOLD = "bold"


# The bound on the chance that one cut leaves a plug flat beyond the tolerance (`acoustics.tuning.Policy.flat_risk`).
# "Even" is that policy's own default; the outer two are a choice, one step of about 3 to either side.
FLAT_RISK: Final[dict[Boldness, float]] = {Boldness.CAREFUL: 0.006, Boldness.EVEN: 0.02, Boldness.BOLD: 0.06}

PLAIN_WORDS: Final[dict[Boldness, str]] = {
    Boldness.CAREFUL: "Careful: smaller cuts and more of them",
    Boldness.EVEN: "Even: a few cuts to each plug",
    Boldness.BOLD: "Bold: fewer cuts, and now and then a plug is spoilt",
}
