"""The Cramér-Rao bound of a harmonic series in white noise."""
from __future__ import annotations

import numpy as np

from tests.bench.reading.invented import Recording


def bound_cents(made: Recording) -> float:
    """Least standard deviation an unbiased reader of the steady part could have.

    References: Rife & Boorstyn 1974 for one line; for a harmonic series eta becomes the sum of l**2 eta_l (Nehorai &
    Porat 1986). The noise here is coloured, so the bound of white noise of the same power is a yardstick, not a limit.
    """
    length_s = max(0.1, min(3.0, made.end_s - made.start_s - 0.25))
    n = length_s * made.rate_hz
    power = 10 ** (np.asarray(made.line_db) / 10.0)
    number = np.arange(1, len(power) + 1)
    eta = made.tone_to_noise * float(np.sum(number**2 * power) / np.sum(power))
    sd_hz = made.rate_hz / (2 * np.pi) * np.sqrt(12.0 / (eta * n * (n * n - 1.0)))
    return 1200.0 / np.log(2.0) * float(sd_hz) / (made.true_hz or 1.0)
