"""Judge the first trial blow: whether the system's own voice processing spoils a steady note on its way in.

Conventions
-----------
Samples are mono, full scale 1.0; levels are mean squares in dBFS, so a full-scale sine has -3.01 dBFS.
The *tone* is the strongest line of the loudest stretch: which partial it is does not matter here.
A change over the note is last third minus first third, positive when louder or sharper at the end.

The reasoning
-------------
Noise suppression and automatic gain take a steady note for noise and turn it down within seconds, but they cannot
move its pitch. A weakening breath does: a chamber blown softer goes flat, by 4 cents a decibel in our prior (standard
deviation 2). So a fall in level *without* the fall in pitch that belongs to it was made by the system.
A threshold that names no source is common practice, no source.
"""
from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from acoustics.errors import OutOfRangeError, require_between

Array = NDArray[np.float64]

SHORTEST_SOUND_S: Final = 0.5
SHORTEST_NOTE_S: Final = 0.8
"""From less nothing at all is said."""
LONG_ENOUGH_S: Final = 3.0
"""A shorter note is never called good. The suppressors of two general sound libraries, measured in
`tests/microphone/test_system_suppressor.py`, turn a steady note down from 0.3 s and from 2.0 s after its onset."""
RIDDEN_DB: Final = 6.0
"""Change of level from which a note counts as turned down or up: about twice what a steady breath varies by."""
LEAST_SLOPE_CENTS_PER_DB: Final = 1.0
"""Less than this is no breath: 1.5 standard deviations below the prior of 4 +- 2 cents a decibel."""
STEADY_CENTS: Final = 25.0
"""A pitch that moves further than this through the note was not blown steadily."""
TOO_QUIET_ABOVE_FLOOR_DB: Final = 15.0
TOO_QUIET_DBFS: Final = -60.0
GATED_FLOOR_DBFS: Final = -95.0
"""No microphone in a room is so quiet, but a closed gate is: one 16-bit step is -90 dBFS."""
HOLE_DB: Final = 20.0
LONGEST_HOLE_S: Final = 0.25
"""A mouth needs longer than this to begin a second blow."""
CLIFF_DB: Final = 20.0
"""Fall of the noise around a band edge; a microphone's own slope there is a few decibels."""
CLIFF_EDGES_HZ: Final = (4000.0, 8000.0)
"""Half the sample rates of narrow and wide band speech (8 and 16 kHz: ITU-T G.711 and G.722)."""
LINE_DB: Final = 15.0
"""How far the strongest line stands over the median of the spectrum around it, to be called a note."""
LOWEST_HZ: Final = 150.0
HIGHEST_HZ: Final = 3600.0
HOP_S: Final = 0.01
WINDOW_S: Final = 0.04
EDGE_S: Final = 0.1
"""Left out at both ends of the note: speaking and dying away."""
NOTHING_DBFS: Final = -200.0
"""Stands for the level of exact zeros."""


class TrialVerdict(StrEnum):
    """What to say about the trial blow."""

    GOOD = "good"
    NO_NOTE = "no_note"
    CLIPPED = "clipped"
    TURNED_DOWN = "turned_down"  # steady pitch, falling level: noise suppression or automatic gain
    TURNED_UP = "turned_up"  # steady pitch, rising level: automatic gain
    GATED = "gated"  # the sound is switched off between or within notes
    TOO_QUIET = "too_quiet"
    UNSTEADY = "unsteady"  # the breath moved the pitch, with or without the level
    NARROW = "narrow"  # nothing above 4 or 8 kHz: a headset or voice processing
    TOO_SHORT = "too_short"  # nothing else is wrong, as far as so short a note can tell


@dataclass(frozen=True)
class TrialFinding:
    """What the trial blow showed.

    verdict : the weightiest; `others` are those that hold as well, in order of weight
    level_dbfs : of the tone, over its loudest third of a second; None without a note
    floor_dbfs : of the sound outside the note; None when there is less than 0.2 s of it
    band_limit_hz : where the sound ends, if it ends early
    """

    verdict: TrialVerdict
    others: tuple[TrialVerdict, ...] = ()
    heard_hz: float | None = None
    note_s: float = 0.0
    level_dbfs: float | None = None
    floor_dbfs: float | None = None
    level_change_db: float | None = None
    pitch_change_cents: float | None = None
    band_limit_hz: float | None = None


def judge_trial(samples: NDArray[np.float32], sample_rate_hz: int) -> TrialFinding:
    """Judge a trial blow of a few seconds, with a little of the room before and after.

    Parameters
    ----------
    samples : mono, full scale 1.0, shape=(n,), at least half a second
    sample_rate_hz : from 8000 to 192000

    Returns
    -------
    TrialFinding
        Every verdict that holds is told, in the order of `TrialVerdict`; without a note, or with less than 0.8 s of
        it, nothing else is judged. Ask for a blow of about 4 s.

    Raises
    ------
    OutOfRangeError
        If the rate or the length is out of range, or a sample is not finite.
    """
    require_between("sample rate in Hz", sample_rate_hz, 8_000, 192_000)
    require_between("length of the trial in s", len(samples) / sample_rate_hz, SHORTEST_SOUND_S, 600.0)
    if not np.isfinite(samples).all():
        raise OutOfRangeError("The trial holds samples that are no numbers.")
    sound = samples.astype(np.float64)
    power = _spectrogram(sound, sample_rate_hz)
    step_hz = sample_rate_hz / (2.0 * (power.shape[1] - 1))
    tone_hz = _tone_hz(power, step_hz)
    if tone_hz is None:
        return TrialFinding(TrialVerdict.NO_NOTE)
    track = _follow(power, step_hz, tone_hz)
    first, last = _note_hops(track.tone_dbfs)
    note_s = (last - first) * HOP_S
    if note_s < SHORTEST_NOTE_S:
        return TrialFinding(TrialVerdict.TOO_SHORT, heard_hz=tone_hz, note_s=note_s)
    return _judge_note(sound, sample_rate_hz, power, track, first, last)


@dataclass(frozen=True)
class _Track:
    """The tone and the whole sound, hop by hop."""

    tone_dbfs: Array
    whole_dbfs: Array
    frequency_hz: Array


def _judge_note(
    sound: Array, sample_rate_hz: int, power: Array, track: _Track, first: int, last: int
) -> TrialFinding:
    floor_dbfs = _floor_dbfs(track.whole_dbfs, first, last)
    level_dbfs = float(np.sort(track.tone_dbfs[first:last])[-round(0.33 / HOP_S) :].mean())
    heard_hz = float(np.median(track.frequency_hz[first:last]))
    level_change_db, pitch_change_cents = _changes(track, first, last)
    band_limit_hz = _band_limit_hz(power[first:last].mean(axis=0), sample_rate_hz)
    slope_cents_per_db = pitch_change_cents / level_change_db if level_change_db else 0.0
    ridden = abs(level_change_db) >= RIDDEN_DB
    by_breath = ridden and slope_cents_per_db >= LEAST_SLOPE_CENTS_PER_DB
    holds = {
        TrialVerdict.CLIPPED: _is_clipped(sound, sample_rate_hz / heard_hz),
        TrialVerdict.TURNED_DOWN: ridden and not by_breath and level_change_db < 0.0,
        TrialVerdict.TURNED_UP: ridden and not by_breath and level_change_db > 0.0,
        TrialVerdict.GATED: _has_holes(track.whole_dbfs[first:last])
        or (floor_dbfs is not None and floor_dbfs < GATED_FLOOR_DBFS),
        TrialVerdict.TOO_QUIET: level_dbfs < TOO_QUIET_DBFS
        or (floor_dbfs is not None and level_dbfs - floor_dbfs < TOO_QUIET_ABOVE_FLOOR_DB),
        TrialVerdict.UNSTEADY: by_breath or abs(pitch_change_cents) > STEADY_CENTS,
        TrialVerdict.NARROW: band_limit_hz is not None,
        TrialVerdict.TOO_SHORT: (last - first) * HOP_S < LONG_ENOUGH_S,
    }
    verdict, *others = [name for name, held in holds.items() if held] or [TrialVerdict.GOOD]
    return TrialFinding(
        verdict, tuple(others), heard_hz, (last - first) * HOP_S, level_dbfs, floor_dbfs,
        level_change_db, pitch_change_cents, band_limit_hz,
    )


def _spectrogram(sound: Array, sample_rate_hz: int) -> Array:
    """One-sided power, shape=(hops, bins), scaled so that a hop's sum is its mean square."""
    n_window = round(WINDOW_S * sample_rate_hz)
    n_padded = 2 ** int(np.ceil(np.log2(2 * n_window)))
    window = np.hanning(n_window + 1)[:-1]
    frames = np.lib.stride_tricks.sliding_window_view(sound, n_window)[:: round(HOP_S * sample_rate_hz)]
    power: Array = np.square(np.abs(np.fft.rfft(frames * window, n_padded)))
    power[:, 1:-1] *= 2.0
    scaled: Array = power / (n_padded * float(np.square(window).sum()))
    return scaled


def _dbfs(power: Array) -> Array:
    level: Array = 10.0 * np.log10(np.maximum(power, 10.0 ** (NOTHING_DBFS / 10.0)))
    return level


def _tone_hz(power: Array, step_hz: float) -> float | None:
    """Frequency of the strongest line in the loudest third of a second, or None if nothing stands out."""
    low, high = round(LOWEST_HZ / step_hz), round(HIGHEST_HZ / step_hz)
    band = power[:, low:high]
    n_hops = min(len(band), round(0.33 / HOP_S))
    sums = np.convolve(band.sum(axis=1), np.ones(n_hops), "valid")
    start = int(sums.argmax())
    spectrum = band[start : start + n_hops].mean(axis=0)
    peak = int(spectrum.argmax())
    around = spectrum[max(0, (peak + low) // 2 - low) : 2 * (peak + low) - low]
    if spectrum[peak] <= 10.0 ** (LINE_DB / 10.0) * float(np.median(around)):
        return None
    return (low + peak) * step_hz


def _follow(power: Array, step_hz: float, tone_hz: float) -> _Track:
    half_hz = max(2.5 / WINDOW_S, 0.04 * tone_hz)  # the window's main lobe, or a change of 70 cents
    low = max(1, round((tone_hz - half_hz) / step_hz))
    band = power[:, low : round((tone_hz + half_hz) / step_hz) + 1]
    rows = np.arange(len(band))
    peak = np.clip(band.argmax(axis=1), 1, band.shape[1] - 2)
    before, at, after = (_dbfs(band[rows, peak + shift]) for shift in (-1, 0, 1))
    bend = before - 2.0 * at + after
    shift = np.where(bend < 0.0, 0.5 * (before - after) / np.where(bend < 0.0, bend, 1.0), 0.0)
    return _Track(_dbfs(band.sum(axis=1)), _dbfs(power.sum(axis=1)), (low + peak + shift) * step_hz)


def _note_hops(tone_dbfs: Array) -> tuple[int, int]:
    """First and last hop (exclusive) of the longest note, short holes bridged."""
    quiet_dbfs = float(np.percentile(tone_dbfs, 5))
    sounding = np.flatnonzero(tone_dbfs > max(tone_dbfs.max() - 26.0, min(quiet_dbfs + 6.0, tone_dbfs.max() - 6.0)))
    breaks = np.flatnonzero(np.diff(sounding) > LONGEST_HOLE_S / HOP_S)
    starts = sounding[np.r_[0, breaks + 1]]
    ends = sounding[np.r_[breaks, len(sounding) - 1]] + 1
    longest = int((ends - starts).argmax())
    return int(starts[longest]), int(ends[longest])


def _floor_dbfs(whole_dbfs: Array, first: int, last: int) -> float | None:
    margin = round(0.15 / HOP_S)
    outside = np.r_[whole_dbfs[: max(0, first - margin)], whole_dbfs[last + margin :]]
    return float(np.median(outside)) if len(outside) >= 0.2 / HOP_S else None


def _changes(track: _Track, first: int, last: int) -> tuple[float, float]:
    """Level in dB and pitch in cents, last third less first, of the hops that sound."""
    edge = round(EDGE_S / HOP_S)
    level_db, frequency_hz = track.tone_dbfs[first + edge : last - edge], track.frequency_hz[first + edge : last - edge]
    third = len(level_db) // 3
    early_hz, late_hz = float(np.median(frequency_hz[:third])), float(np.median(frequency_hz[-third:]))
    level_change_db = float(np.median(level_db[-third:]) - np.median(level_db[:third]))
    return level_change_db, 1200.0 * float(np.log2(late_hz / early_hz))


def _has_holes(whole_dbfs: Array) -> bool:
    """Whether the sound drops out and comes back within the note."""
    return bool((whole_dbfs < float(np.median(whole_dbfs)) - HOLE_DB)[3:-3].any())


def _is_clipped(sound: Array, period_samples: float) -> bool:
    """Whether the crests are cut flat: a twentieth of a period within a thousandth of the largest, five times."""
    size = np.abs(sound)
    largest = float(size.max())
    if largest < 0.1:  # below, the steps of the converter themselves look flat
        return False
    run = max(3, round(0.05 * period_samples))
    flat = np.convolve(size >= 0.999 * largest, np.ones(run), "valid") >= run - 0.5
    return int(np.count_nonzero(np.diff(flat.astype(np.int8)) == 1)) >= 5


def _band_limit_hz(spectrum: Array, sample_rate_hz: int) -> float | None:
    """The edge above which the noise between the partials falls away, or half a low sample rate."""
    step_hz = sample_rate_hz / (2.0 * (len(spectrum) - 1))

    def noise_dbfs(low_hz: float, high_hz: float) -> float:
        return float(np.median(_dbfs(spectrum[round(low_hz / step_hz) : round(high_hz / step_hz)])))

    for edge_hz in CLIFF_EDGES_HZ:
        if sample_rate_hz <= 2.0 * edge_hz:
            return sample_rate_hz / 2.0
        if 1.25 * edge_hz < 0.48 * sample_rate_hz:
            fall_db = noise_dbfs(0.75 * edge_hz, 0.9 * edge_hz) - noise_dbfs(1.1 * edge_hz, 1.25 * edge_hz)
            if fall_db >= CLIFF_DB:
                return edge_hz
    return None
