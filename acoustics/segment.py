"""Where in a stretch of sound the blow lies, and its steady part: nothing here knows what a good note is."""
from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from acoustics.attack import rise_s
from acoustics.pitch import HIGHEST_HZ, LOWEST_HZ
from acoustics.spectrum import (
    FRAME_HOPS,
    HOP_S,
    LOBE_BINS,
    Array,
    Line,
    frame_power,
    frames_of,
    hop_length,
    lines_of,
    local_level,
    resampled,
)

END_BELOW = 10**-1.2  # a tone 12 dB under its usual level has ended
BRIDGED_HOPS = 6  # a dropout this long does not end a blow
LOUDEST_LINE_HZ = 3.0 * HIGHEST_HZ
LONGEST_STEADY_S = 3.0
FINE_FRAME_S = 0.1
ENOUGH_QUIET = 5  # frames from which a floor may be learned
OVER_HELD = 4.0  # a line the floor held already counts when it has grown by this


@dataclass(frozen=True)
class Shape:
    """A blow found in a stretch of sound.

    start_s, end_s : of the tone
    sound_start_s : of anything above the floor; earlier than `start_s` when breath came first
    attack_s : from `sound_start_s` until the tone is within 3 dB of its usual level
    steady : first and last sample of the steady part
    body : mean power spectrum of the steady part
    floor : power spectrum before the blow (or after, when there was no before), or None
    bin_hz : step of both
    lines : of the steady part, from longer frames, strongest first, less what the floor already held
    level_track : the main line's power by hop, from start to end
    fade_s : from the last hop within 3 dB of the usual level to the end
    rise_s : how fast its strongest line swung up, or None
    lead_s : of what was heard before it
    quiet_before : whether the sound came out of the floor, and not out of noise of its own kind
    """

    start_s: float
    end_s: float
    sound_start_s: float
    attack_s: float
    steady: tuple[int, int]
    body: Array
    floor: Array | None
    bin_hz: float
    lines: tuple[Line, ...]
    level_track: Array
    heard_before: bool
    heard_after: bool
    fade_s: float
    rise_s: float | None
    lead_s: float
    quiet_before: bool


def find_shape(samples: NDArray[np.floating], sample_rate_hz: int, noise_power: Array | None) -> Shape | None:
    """The longest blow in `samples`, or None when no line stands out."""
    hop = hop_length(sample_rate_hz)
    power = frame_power(frames_of(samples, FRAME_HOPS * hop, hop), sample_rate_hz)
    if len(power) < 4:
        return None
    bin_hz = sample_rate_hz / (FRAME_HOPS * hop)
    floor = None if noise_power is None else resampled(noise_power, power.shape[1])
    track = _main_track(power, floor, bin_hz)
    run = _longest_run(track) if track is not None else None
    if track is None or run is None:
        return None
    first, last = run
    before, after = power[: max(0, first - 4)], power[last + 4 :]
    quiet = before if len(before) >= ENOUGH_QUIET else after
    if floor is None and len(quiet) >= ENOUGH_QUIET:
        floor = np.mean(quiet, axis=0)
    usual = float(np.median(track[first : last + 1]))
    centre_s = FRAME_HOPS * hop / 2 / sample_rate_hz
    start_s = max(0.0, first * HOP_S + centre_s + 0.010)  # a sharp edge crosses -12 dB some 10 ms before the centre
    end_s = min(len(samples) / sample_rate_hz, last * HOP_S + centre_s - 0.010)
    speaking = first + int(np.argmax(track[first : last + 1] > 0.5 * usual))
    sound_first = _sound_first(power, floor, first)
    steady = _steady_hops(first, last, speaking, track)
    part = slice(steady[0] * hop, (steady[1] + FRAME_HOPS) * hop)
    lines = tuple(fine_spectrum(samples[part], sample_rate_hz, floor).lines())
    return Shape(
        start_s=start_s,
        end_s=max(end_s, start_s),
        sound_start_s=max(0.0, min(start_s, sound_first * HOP_S + centre_s + 0.010)),
        attack_s=max(0.0, (speaking - min(sound_first, first)) * HOP_S),
        steady=(part.start, min(part.stop, len(samples))),
        body=np.mean(power[steady[0] : steady[1] + 1], axis=0),
        floor=floor,
        bin_hz=bin_hz,
        lines=lines,
        level_track=track[first : last + 1],
        heard_before=first > 1,
        heard_after=last < len(power) - 3,
        fade_s=int(np.argmax(track[first : last + 1][::-1] > 0.5 * usual)) * HOP_S,
        rise_s=rise_s(samples, sample_rate_hz, lines[0].frequency_hz, start_s) if lines else None,
        lead_s=first * HOP_S,
        quiet_before=first > 1 and sound_first > 0,
    )


@dataclass(frozen=True)
class FineSpectrum:
    """Mean power spectrum of a steady stretch from longer frames, its local level, and the floor's lines."""

    power: Array
    level: Array
    bin_hz: float
    n_frames: int
    floor: Array | None
    floor_hz: float

    def lines(self) -> list[Line]:
        """Lines that the floor did not already hold, strongest first."""
        contrast = 4.0 + 8.0 / np.sqrt(self.n_frames)
        found = lines_of(self.power, self.level, self.bin_hz, LOWEST_HZ * 0.95, LOUDEST_LINE_HZ, contrast)
        return [line for line in found if line.power > OVER_HELD * self.held(line.frequency_hz)]

    def contrast(self, frequency_hz: float) -> float:
        """How far a line at this very frequency stands out; 0 when the floor held as much."""
        k = round(frequency_hz / self.bin_hz)
        lobe = float(np.sum(self.power[k - LOBE_BINS : k + LOBE_BINS + 1])) * self.bin_hz
        if lobe < OVER_HELD * self.held(frequency_hz):
            return 0.0
        return float(np.max(self.power[k - 1 : k + 2]) / max(self.level[k], 1e-300))

    def held(self, frequency_hz: float) -> float:
        """Power that a line's five bins would have from the floor alone, be it noise there or a line of its own."""
        if self.floor is None:
            return 0.0
        k = round(frequency_hz / self.floor_hz)
        return float(np.max(self.floor[max(0, k - 1) : k + 2])) * (2 * LOBE_BINS + 1) * self.bin_hz


def fine_spectrum(samples: NDArray[np.floating], sample_rate_hz: int, floor: Array | None) -> FineSpectrum:
    """Spectrum of a steady stretch, with frames of a tenth of a second where it is long enough."""
    frame = min(round(FINE_FRAME_S * sample_rate_hz), len(samples))
    rows = frames_of(samples, frame, max(1, frame // 2))
    power = np.asarray(np.mean(frame_power(rows, sample_rate_hz), axis=0))
    bin_hz = sample_rate_hz / frame
    floor_hz = sample_rate_hz / 2 / (len(floor) - 1) if floor is not None else bin_hz
    return FineSpectrum(power, local_level(power, max(4, round(150.0 / bin_hz))), bin_hz, len(rows), floor, floor_hz)


def _main_track(power: Array, floor: Array | None, bin_hz: float) -> Array | None:
    """Power by hop about the strongest line; None when no line stands out of the loud frames."""
    low, high = int(LOWEST_HZ * 0.95 / bin_hz), int(LOUDEST_LINE_HZ / bin_hz) + 1
    excess = power[:, low:high] if floor is None else np.maximum(power[:, low:high] - 3.0 * floor[low:high], 0.0)
    loudest = np.max(excess, axis=1)
    loud = loudest > 0.1 * np.quantile(loudest, 0.9)
    if not np.any(loud) or not np.any(loudest):
        return None
    mean = np.mean(power[loud], axis=0)
    above = mean if floor is None else np.maximum(mean - floor, 0.0)
    contrast = 4.0 + 8.0 / np.sqrt(np.count_nonzero(loud) / 2.0)
    found = lines_of(above, local_level(mean, 6), bin_hz, LOWEST_HZ * 0.95, LOUDEST_LINE_HZ, contrast)
    if not found:
        return None
    k = round(found[0].frequency_hz / bin_hz)
    band = slice(k - LOBE_BINS, k + LOBE_BINS + 1)
    track = np.sum(power[:, band], axis=1)
    if floor is not None:
        track = np.maximum(track - np.sum(floor[band]), 0.0)
    return np.asarray(track * bin_hz)


def _longest_run(track: Array) -> tuple[int, int] | None:
    """First and last hop of the longest stretch that stays up, short dropouts bridged."""
    loud = track[track > 0.1 * np.quantile(track, 0.95)]
    if len(loud) == 0:
        return None
    usual = float(np.median(loud))
    up = np.flatnonzero(track > END_BELOW * usual)
    if len(up) == 0:
        return None
    breaks = np.flatnonzero(np.diff(up) > BRIDGED_HOPS)
    starts = np.concatenate([[0], breaks + 1])
    ends = np.concatenate([breaks, [len(up) - 1]])
    best = int(np.argmax(up[ends] - up[starts]))
    return int(up[starts[best]]), int(up[ends[best]])


def _sound_first(power: Array, floor: Array | None, first: int) -> int:
    """First hop of the sound that leads without a gap into the tone at hop `first`."""
    if floor is None or first == 0:
        return first
    loud = np.mean(power[:first], axis=1) > 2.5 * np.mean(floor)
    quiet = np.flatnonzero(~loud)
    return int(quiet[-1]) + 1 if len(quiet) else 0


def _steady_hops(first: int, last: int, speaking: int, track: Array) -> tuple[int, int]:
    """First and last frame of the steady part: attack and release dropped, the evenest 3 s of what is left."""
    length = last - first + 1
    drop_in = max(speaking - first + 2, min(15, length // 4))
    start = first + min(drop_in, length // 2)
    stop = max(start + 2, last - 2 - min(8, length // 8))
    most = round(LONGEST_STEADY_S / HOP_S)
    if stop - start > most:
        level = np.log(track[start : stop + 1] + 1e-300)
        sums, squares = (np.concatenate([[0.0], np.cumsum(v)]) for v in (level, level**2))
        variance = (squares[most:] - squares[:-most]) / most - ((sums[most:] - sums[:-most]) / most) ** 2
        start += int(np.argmin(variance[:-1])) if len(variance) > 1 else 0
        stop = start + most
    return start, min(stop, len(track) - 1)
