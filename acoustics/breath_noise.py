"""The noise that comes with a tone: how much, how far over the room, and what that says of breath."""
from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from acoustics.pitch import Tone
from acoustics.segment import Shape
from acoustics.spectrum import Array

BAND_HZ = (300.0, 8000.0)
TOGETHER = 8  # bins: the logarithm of one bin's mean leans, that of several hardly
TRIMMED_ERROR = 1.07  # of the mean of the middle three fifths of a normal law, over that of the plain mean
ROOM_DRIFT_DB = 0.1  # a room's noise is steady to about this; judgement, no source
USUAL_BREATH_DB, FAINTER_DB, HEAVIEST_BREATH_DB = -30.0, 12.0, 6.0  # about a tone; judgement, no source
NOISY_MACHINES = 0.2  # of machines bring noise of their own, up to `LOUDEST_MACHINE_DB` over the room
LOUDEST_MACHINE_DB = 40.0
RIDDEN_DB = -0.5  # less, and the error, cannot come of a room
CLEAR_RISE_DB, CLEAR_ERRORS, CLEAR_ODDS = 2.0, 4.0, 1.2  # noise that clearly came with it speaks for breath, if faint
LEAST_ODDS, MOST_ODDS = -2.5, 1.5
UNLIKELY = 1e-6


@dataclass(frozen=True)
class Breath:
    """The noise that comes with the tone.

    relative_db : to the tone, the room's noise taken off
    rise_db : of all noise over the floor; None when no floor is known
    rise_error_db : standard error of `rise_db`, from how the bands differ
    audible_db : of all noise to the tone: breath far under this would not have been heard
    """

    relative_db: float
    rise_db: float | None
    rise_error_db: float
    audible_db: float


def breath_of(shape: Shape, tone: Tone, sample_rate_hz: int) -> Breath:
    """Broadband noise between the lines of the tone, from 300 Hz to 8 kHz."""
    frequency_hz = np.arange(len(shape.body)) * shape.bin_hz
    off = np.abs(frequency_hz / tone.frequency_hz - np.round(frequency_hz / tone.frequency_hz)) * tone.frequency_hz
    low_hz, top_hz = BAND_HZ[0], min(BAND_HZ[1], 0.45 * sample_rate_hz)
    between = (off > min(100.0, 0.3 * tone.frequency_hz)) & (frequency_hz > low_hz) & (frequency_hz < top_hz)
    if not np.any(between):
        return Breath(-99.0, None, 0.0, -99.0)
    body = float(np.median(shape.body[between]))
    floor = 0.0 if shape.floor is None else float(np.median(shape.floor[between]))
    tone_power = max(sum(tone.line_power), 1e-300)
    relative = max(body - floor, 0.01 * body) * (top_hz - low_hz) / tone_power
    audible = max(body, 1e-300) * (top_hz - low_hz) / tone_power
    rise_db, error_db = (None, 0.0) if shape.floor is None else _rise(shape.body[between], shape.floor[between])
    return Breath(_db(relative), rise_db, error_db, _db(audible))


def _rise(body: Array, floor: Array) -> tuple[float, float]:
    """Middle rise of bands of several bins, and its standard error from the bands' own scatter."""
    n = max(1, len(body) // TOGETHER)
    sums = [np.array([float(np.sum(part)) for part in np.array_split(power, n)]) for power in (body, floor)]
    rise = 10.0 * np.log10(np.maximum(sums[0], 1e-300) / np.maximum(sums[1], 1e-300))
    spread = 1.4826 * float(np.median(np.abs(rise - np.median(rise))))  # a normal law's standard deviation
    middle = np.sort(rise)[n // 5 : n - n // 5]  # strange lines lie at the ends
    return float(np.mean(middle)), TRIMMED_ERROR * spread / float(np.sqrt(n))


def breath_odds(breath: Breath) -> float:
    """Log odds of the rise that was heard: a blown tone's breath against a machine in an unchanged room.

    A breath too faint to be heard in this room says little against a whistle; a room in which any usual breath would
    have been heard, and was not, says much.
    """
    if breath.rise_db is None or ridden(breath):
        return 0.0
    sd_db = float(np.hypot(breath.rise_error_db, ROOM_DRIFT_DB))
    breath_db = np.arange(-70.0, HEAVIEST_BREATH_DB + 0.5, 1.0)
    share = np.exp(-0.5 * (np.minimum(breath_db - USUAL_BREATH_DB, 0.0) / FAINTER_DB) ** 2)
    room_db = breath.audible_db - breath.rise_db
    expected_db = 10.0 * np.log10(1.0 + 10.0 ** ((breath_db - room_db) / 10.0))
    blown = float(share @ _likely(breath.rise_db, expected_db, sd_db)) / float(np.sum(share))
    machine_db = np.arange(0.0, LOUDEST_MACHINE_DB, 0.5)
    quiet, noisy = (_likely(breath.rise_db, rise_db, sd_db) for rise_db in (np.zeros(1), machine_db))
    machine = (1.0 - NOISY_MACHINES) * float(quiet[0]) + NOISY_MACHINES * float(np.mean(noisy))
    odds = float(np.log((blown + UNLIKELY) / (machine + UNLIKELY)))
    bearable = breath.audible_db < HEAVIEST_BREATH_DB + 3.0  # more is breath that found no note
    clear = bearable and breath.rise_db > max(CLEAR_RISE_DB, CLEAR_ERRORS * sd_db)
    return min(MOST_ODDS, max(odds, CLEAR_ODDS if clear else LEAST_ODDS))


def ridden(breath: Breath) -> bool:
    """Whether the room seems to grow quieter under the tone: the sound system turned the gain down."""
    return breath.rise_db is not None and breath.rise_db < RIDDEN_DB - breath.rise_error_db


def _likely(heard_db: float, expected_db: Array, sd_db: float) -> Array:
    likely: Array = np.exp(-0.5 * ((heard_db - expected_db) / sd_db) ** 2)
    return likely


def _db(power: float) -> float:
    return 10.0 * float(np.log10(max(power, 1e-300)))
