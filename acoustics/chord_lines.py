"""Where in a blow all chambers speak steadily, and which line of the sound belongs to which chamber."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from acoustics.spectrum import (
    FRAME_HOPS,
    HOP_S,
    Array,
    Line,
    frame_power,
    frames_of,
    hann,
    hop_length,
    lines_of,
    local_level,
)

END_BELOW = 10**-1.2  # 12 dB under its usual level the blow has ended
SPEAKING = 10**-0.6  # 6 dB under its usual level a chamber has begun to speak
AUDIBLE = 0.01  # of the loudest chamber's power: a fainter one is not waited for
BRIDGED_HOPS = 10  # two near tones may beat the level down for this long
# Dropped at the ends, from where the sound is 12 dB down: the mean then runs from 150 ms after the first sound to
# 100 ms before the last. The attack takes 20 to 100 ms (from memory).
ATTACK_S, RELEASE_S = 0.13, 0.04
LONGEST_S, SHORTEST_S = 6.0, 0.25
FINE_FRAME_S = 0.35  # tells lines 6 Hz apart; a longer one would split a wavering line
WEAKEST_LINE = 10**-3.5  # of the strongest line's power
BEFORE_S, BEFORE_ONSET_S = 0.20, 0.05  # what is looked at before the blow, and how long before it that ends
HELD_BEFORE = 0.25  # of a line's power: with this much of it there before, it is the room's
SILENT_COST = 12.0  # of a chamber without a line, in squared standard deviations of the guess
SLACK_CENTS = 10.0  # a guess at the very end of its reach must not lose its line to the rounding of a spectrum
DB_COST = 0.35  # for each decibel that a line is under the strongest


@dataclass(frozen=True)
class Span:
    """The steady stretch of a blow, and where the blow begins: places of samples."""

    onset: int
    first: int
    last: int


def steady_span(
    samples: NDArray[np.floating], sample_rate_hz: int, bands_hz: Sequence[tuple[float, float]]
) -> Span | None:
    """The stretch in which every chamber that speaks does so steadily; None when nothing speaks for long enough.

    bands_hz : where each chamber's fundamental may lie
    """
    hop = hop_length(sample_rate_hz)
    power = frame_power(frames_of(samples, FRAME_HOPS * hop, hop), sample_rate_hz)
    if len(power) < round(SHORTEST_S / HOP_S):
        return None
    bin_hz = sample_rate_hz / (FRAME_HOPS * hop)
    bands = [slice(max(1, int(low / bin_hz)), int(high / bin_hz) + 2) for low, high in bands_hz]
    tracks = _over_the_room(np.array([np.sum(power[:, band], axis=1) for band in bands]))
    run = _longest_run(np.sum(tracks, axis=0))
    if run is None:
        return None
    first, last = run
    loudest = np.max(np.mean(tracks, axis=1))
    spoken = max(_speaks_from(track[first:last + 1]) for track in tracks if np.mean(track) > AUDIBLE * loudest)
    length = last - first + 1
    begin = first + min(max(round(ATTACK_S / HOP_S), spoken + 2), length // 3)
    end = last - min(round(RELEASE_S / HOP_S), length // 6)
    spare = end - begin - round(LONGEST_S / HOP_S)
    if spare > 0:
        begin, end = begin + spare // 2, end - (spare - spare // 2)
    middle = FRAME_HOPS * hop // 2
    span = Span(first * hop + middle, begin * hop + middle, end * hop + middle)
    return span if span.last - span.first >= SHORTEST_S * sample_rate_hz else None


def _over_the_room(tracks: Array) -> Array:
    """Each band's power over what was there in its quietest tenth of a second: a machine's hum is no part of a blow.

    Where that would take away most of the sound there was no quiet moment, and the bands are left as they are.
    """
    quietest = np.min(sliding_window_view(tracks, 10, axis=1).mean(axis=2), axis=1)
    over = np.maximum(tracks - 1.5 * quietest[:, None], 0.0)
    kept = np.max(np.sum(over, axis=0)) > 0.5 * np.max(np.sum(tracks, axis=0))
    return np.asarray(over if kept else tracks)


def _longest_run(track: Array) -> tuple[int, int] | None:
    smooth = np.convolve(track, np.ones(10) / 10.0, mode="same")
    loud = track[smooth > 0.1 * np.max(smooth)]
    up = np.flatnonzero(track > END_BELOW * np.median(loud)) if len(loud) and np.any(loud) else np.zeros(0, dtype=int)
    if len(up) == 0:
        return None
    breaks = np.flatnonzero(np.diff(up) > BRIDGED_HOPS)
    starts, ends = np.concatenate([[0], breaks + 1]), np.concatenate([breaks, [len(up) - 1]])
    best = int(np.argmax(up[ends] - up[starts]))
    return int(up[starts[best]]), int(up[ends[best]])


def _speaks_from(track: Array) -> int:
    return int(np.argmax(track > SPEAKING * np.median(track)))


def fine_lines(samples: NDArray[np.floating], sample_rate_hz: int, low_hz: float, high_hz: float) -> list[Line]:
    """Lines of a steady stretch that stand out, strongest first."""
    frame = min(round(FINE_FRAME_S * sample_rate_hz), len(samples) // 2)
    rows = frames_of(samples, frame, max(1, frame // 4))
    power = np.mean(frame_power(rows, sample_rate_hz), axis=0)
    bin_hz = sample_rate_hz / frame
    level = local_level(power, max(4, round(120.0 / bin_hz)))
    found = lines_of(power, level, bin_hz, low_hz, high_hz, 4.0 + 8.0 / np.sqrt(len(rows) / 2.0))
    return [line for line in found if line.power > WEAKEST_LINE * found[0].power]


def not_there_before(lines: Sequence[Line], before: NDArray[np.floating], sample_rate_hz: int) -> list[Line]:
    """The lines without those that a machine made already before the blow; all of them when too little was heard."""
    frame = round(BEFORE_S * sample_rate_hz)
    last = len(before) - round(BEFORE_ONSET_S * sample_rate_hz)
    if last < frame or not lines:
        return list(lines)
    turn = 2.0 * np.pi * np.array([line.frequency_hz for line in lines]) / sample_rate_hz
    window = hann(frame) / np.sum(hann(frame))
    held = 2.0 * np.exp(-1j * np.outer(turn, np.arange(frame))) @ (window * before[last - frame:last])
    return [line for line, a in zip(lines, held, strict=True) if abs(a) ** 2 / 2.0 < HELD_BEFORE * line.power]


def assign(lines: Sequence[Line], near_hz: Sequence[float], within_cents: Sequence[float]) -> list[Line | None]:
    """Give each chamber, lowest first, the line it most likely makes, or none; the lines keep the chambers' order.

    The cheapest of all orderly ways: a line costs the square of its distance in standard deviations of the guess (half
    of `within_cents`) and what it lacks in level.
    """
    ordered = sorted(lines, key=lambda line: line.frequency_hz)
    strongest = max((line.power for line in lines), default=1.0)

    def cost(chamber: int, line: Line) -> float:
        cents = 1200.0 * float(np.log2(line.frequency_hz / near_hz[chamber]))
        if abs(cents) > within_cents[chamber] + SLACK_CENTS:
            return float("inf")
        return (2.0 * cents / within_cents[chamber]) ** 2 + DB_COST * 10.0 * float(np.log10(strongest / line.power))

    @cache
    def best(chamber: int, start: int) -> tuple[float, tuple[int, ...]]:
        """Cheapest way for the chambers from `chamber` on, with the lines from `start` on; -1 is no line."""
        if chamber == len(near_hz):
            return 0.0, ()
        rest_cost, rest = best(chamber + 1, start)
        choices = [(SILENT_COST + rest_cost, (-1, *rest))]
        for at in range(start, len(ordered)):
            own = cost(chamber, ordered[at])
            if own < float("inf"):
                rest_cost, rest = best(chamber + 1, at + 1)
                choices.append((own + rest_cost, (at, *rest)))
        return min(choices)

    return [None if at < 0 else ordered[at] for at in best(0, 0)[1]]
