"""Ten minutes of a workshop in which nobody blows: machines, talk, knocks and the wireless, one over another."""
from __future__ import annotations

import numpy as np

from tests.bench.reading import machines, nothing
from tests.bench.reading.invented import Recording, Rng, Sound, coloured

RATE_HZ = 48000
PIECE_S = 20.0
FADE_S = 0.4
VOICES = {
    "lathe": (nothing.machine, 0.7), "talk": (nothing.speech, 0.5), "knocks": (nothing.knocks, 0.5),
    "wireless": (machines.organ, 0.3), "band": (nothing.music, 0.2), "compressor": (machines.compressor, 0.4),
    "extractor": (machines.fans, 0.4), "hum": (nothing.hum, 0.3), "beeper": (machines.beeper, 0.15),
    "phone": (machines.phone, 0.1), "bearing": (machines.squeak, 0.2), "kettle": (machines.kettle, 0.15),
    "relay": (machines.relay, 0.2), "singing": (nothing.sung, 0.15),
}


def workshop(seconds: float, rng: Rng) -> Recording:
    """One recording; each voice is there in a share of the pieces, at a level of its own."""
    n = round(seconds * RATE_HZ)
    whole = coloured(rng, n, 0.8) * 10 ** (-58.0 / 20.0)
    for at_s in np.arange(0.0, seconds, PIECE_S):
        for make, share in VOICES.values():
            if rng.random() < share:
                first = round(at_s * RATE_HZ)
                piece = _faded(make(rng, PIECE_S)) * 10 ** (rng.uniform(-12.0, 3.0) / 20.0)
                whole[first : first + len(piece)] += piece[: n - first]
    return Recording("workshop", whole.astype(np.float32), RATE_HZ, 0.0, 0.0, None, nothing.any_range(rng), 0.0)


def _faded(piece: Sound) -> Sound:
    """No piece begins or ends with a step of its own."""
    ramp = np.minimum(1.0, np.arange(len(piece)) / (FADE_S * RATE_HZ))
    return piece * ramp * ramp[::-1]
