"""The last few tones, by which a machine gives itself away: nobody blows the same twice to a tenth of a cent."""
from __future__ import annotations

from collections import deque
from math import log2

from acoustics.heard import Blow

KEPT = 6
ALIKE_CENTS, MOST_ALIKE_CENTS = 0.1, 0.2  # and twice the standard error, to no more; blows scatter by 2 to 5 cents
ALIKE_DB = 0.15  # blows scatter by a decibel or so
ALIKE_S = 0.03  # of length


class Lately:
    """Remembers tones, whatever they were taken for."""

    def __init__(self) -> None:
        self._tones: deque[tuple[float, float, float]] = deque(maxlen=KEPT)

    def again(self, blow: Blow) -> bool:
        """Whether this very tone has sounded lately: same pitch, same level, same length. It is remembered now."""
        if blow.heard_hz is None or blow.level_dbfs is None:
            return False
        length_s = blow.end_s - blow.start_s
        within_cents = min(MOST_ALIKE_CENTS, ALIKE_CENTS + 2.0 * (blow.standard_error_cents or 0.0))
        found = any(
            abs(1200.0 * log2(blow.heard_hz / heard_hz)) < within_cents
            and abs(blow.level_dbfs - level_dbfs) < ALIKE_DB
            and abs(length_s - other_s) < ALIKE_S
            for heard_hz, level_dbfs, other_s in self._tones
        )
        self._tones.append((blow.heard_hz, blow.level_dbfs, length_s))
        return found
