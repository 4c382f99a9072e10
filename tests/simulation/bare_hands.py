"""The same invented whistles and makers without the program: ruler and ear, and the proportional trim.

Both hear the pitch of a blow without error, which flatters them: only breath, air, seats and cuts are left to chance.
"""
from __future__ import annotations

import math
import statistics

import numpy as np

from app.invented import invent_whistle
from app.invented_maker import ChamberTruth, Maker, draw_habits

SPEED_M_PER_S = 343.2
EAR_SD_CENTS = 10.0  # interval just noticeable to musicians: Hill and Summers 2007, J. Acoust. Soc. Am. 121, 2376
STEPS_MM = (2.0, 2.0, 1.0, 1.0, 0.5, 0.5, 0.5, 0.5)
MOST_CUTS = 8
SAFE_SLUG_MM = 15.0
OVERBLOWS_ABOVE_SEMITONES = 5.0


def quarter_wave_mm(frequency_hz: float) -> float:
    return 250.0 * SPEED_M_PER_S / frequency_hz


def ruler_and_ear(maker: Maker) -> None:
    """Quarter wave less 0.82 of the bore, plug 4 mm long, then 2, 1 or 0.5 mm off until it sounds right."""
    for chamber in maker.whistle.chambers:
        air_mm = quarter_wave_mm(chamber.target_hz) - 0.82 * chamber.bore_mm
        depth_mm = max(chamber.told_bore_length_mm - air_mm + 4.0, 1.0)
        maker.cut(chamber.letter, depth_mm)
        cents_per_mm = 1731.234 / quarter_wave_mm(chamber.target_hz)
        for most_mm in STEPS_MM:
            sharp_cents = _sharp_cents(maker, chamber.letter, chamber.target_hz) + maker.rng.normal(0.0, EAR_SD_CENTS)
            if sharp_cents < 0.25 * cents_per_mm:
                break
            depth_mm -= next((mm for mm in (2.0, 1.0, 0.5) if mm <= most_mm and mm * cents_per_mm <= sharp_cents), 0.5)
            maker.trim(chamber.letter, max(depth_mm, 0.0))


def proportional_trim(maker: Maker) -> None:
    """Finger blow, quarter waves, plug 1.5 mm long; then each trim is in proportion to the last reading."""
    for chamber in maker.whistle.chambers:
        letter, target_hz = chamber.letter, chamber.target_hz
        full_hz = maker.whistle.resonance_hz(letter, 0.0, maker.whistle.room_c)
        bare = 12.0 * math.log2(target_hz / full_hz) <= OVERBLOWS_ABOVE_SEMITONES
        stop, face_mm = ("finger", 0.0) if bare else ("slug", SAFE_SLUG_MM)
        first_hz = _first_hz(maker, letter, stop, face_mm)
        depth_mm = max(quarter_wave_mm(first_hz) + face_mm - quarter_wave_mm(target_hz) + 1.5, 0.5)
        maker.cut(letter, depth_mm)
        for _ in range(MOST_CUTS):
            sharp_cents = _sharp_cents(maker, letter, target_hz)
            if sharp_cents <= 5.0:
                break
            depth_mm -= quarter_wave_mm(target_hz) * sharp_cents / 1731.234
            maker.trim(letter, max(depth_mm, 0.0))


def _first_hz(maker: Maker, letter: str, stop: str, face_mm: float) -> float:
    """Median of three blows; one that jumped to its twelfth is heard as such and blown again."""
    true_hz = maker.whistle.resonance_hz(letter, face_mm, maker.whistle.room_c)
    heard: list[float] = []
    while len(heard) < 3:
        blow_hz = maker.blow(letter, stop, face_mm).frequency_hz
        if blow_hz < 2.0 * true_hz:
            heard.append(blow_hz)
    return statistics.median(heard)


def _sharp_cents(maker: Maker, letter: str, target_hz: float) -> float:
    heard_hz = statistics.median(maker.blow(letter, "plug", None).frequency_hz for _ in range(3))
    return 1200.0 * math.log2(heard_hz / target_hz)


METHODS = {"ruler and ear": ruler_and_ear, "proportional trim, no model": proportional_trim}


def tuned_by(method: str, seed: int) -> tuple[ChamberTruth, ...]:
    """The whistle and maker of that seed, tuned by that method; the truth at its end."""
    rng = np.random.default_rng(seed)
    maker = Maker(invent_whistle(rng), draw_habits(rng), rng)
    METHODS[method](maker)
    return maker.truth()
