"""Where in a recording a sound stands still: the longest stretch whose spectrum keeps its shape."""
from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from acoustics.spectrum import Array, frame_power, frames_of

FRAME_S, HOP_S = 0.12, 0.04
LOW_HZ, HIGH_HZ = 140.0, 4000.0
# Cosine between a frame's power spectrum and the mean of its run: one chord gives nearly 1, white noise 0.71 (derived:
# the mean of an exponential law over its root mean square). Notes that beat or waver need the lower ones, and what is
# noise is left to whoever looks for tones.
ALIKE = (0.90, 0.78, 0.65)
FADED = 0.05  # of the run's mean power: 13 dB under it, the run has ended
BRIDGED_HOPS = 3  # a beat may make a chord unlike itself for so long
QUIETER_RUN = 10**-1.5  # of the loudest run: hum between the sounds is steady too
SHORTEST_S, LONGEST_S = 0.4, 6.0
EDGE_S = 0.10  # left out at either end: attack, release
ROWS_AT_ONCE = 200


@dataclass(frozen=True)
class Run:
    """Frames from `first` to `last` that are alike; `power` is their mean, full scale squared per hertz."""

    first: int
    last: int
    power: float


def steady_stretch(samples: NDArray[np.floating], sample_rate_hz: int) -> tuple[int, int] | None:
    """First and last sample of the longest stretch that stands still; None when none lasts 0.4 s."""
    frame, hop = round(FRAME_S * sample_rate_hz), round(HOP_S * sample_rate_hz)
    spectra = _spectra(samples, sample_rate_hz, frame, hop)
    for alike in ALIKE:
        runs = [run for run in _runs(spectra, alike) if (run.last - run.first) * HOP_S >= SHORTEST_S]
        loudest = max((run.power for run in runs), default=0.0)
        loud = [run for run in runs if run.power > QUIETER_RUN * loudest]
        if loud:
            longest = max(loud, key=lambda run: run.last - run.first)
            return _within(longest.first * hop, longest.last * hop + frame, sample_rate_hz)
    return None


def _spectra(samples: NDArray[np.floating], sample_rate_hz: int, frame: int, hop: int) -> Array:
    band = slice(int(LOW_HZ * frame / sample_rate_hz), int(HIGH_HZ * frame / sample_rate_hz) + 1)
    rows = frames_of(samples, frame, hop)
    parts = [
        frame_power(rows[at:at + ROWS_AT_ONCE], sample_rate_hz)[:, band] for at in range(0, len(rows), ROWS_AT_ONCE)
    ]
    return np.vstack(parts) if parts else np.zeros((0, band.stop - band.start))


def _runs(spectra: Array, alike: float) -> list[Run]:
    """One run after the other, each as long as its frames are like the mean of those before."""
    power = np.sum(spectra, axis=1)
    shapes = spectra / np.maximum(np.linalg.norm(spectra, axis=1), 1e-300)[:, None]
    runs, first = [], 0
    while first < len(spectra):
        last, mean, total, at = first, shapes[first].copy(), power[first], first + 1
        while at < len(spectra) and at - last <= BRIDGED_HOPS:
            n_frames = last - first + 1
            if shapes[at] @ mean > alike * np.linalg.norm(mean) and power[at] > FADED * total / n_frames:
                mean += np.sum(shapes[last + 1:at + 1], axis=0)
                total += np.sum(power[last + 1:at + 1])
                last = at
            at += 1
        runs.append(Run(first, last, float(total / (last - first + 1))))
        first = last + 1
    return [run for run in runs if run.power > 0.0]


def _within(begin: int, end: int, sample_rate_hz: int) -> tuple[int, int]:
    """Without the edges, and the middle of what is very long."""
    edge = min(round(EDGE_S * sample_rate_hz), (end - begin) // 6)
    spare = max(0, end - begin - 2 * edge - round(LONGEST_S * sample_rate_hz)) // 2
    return begin + edge + spare, end - edge - spare
