"""What a maker does without a model, on the same whistles: ruler and ear, and the proportional trim."""
from __future__ import annotations

import math
import statistics

from scipy.optimize import brentq

from tests.bench.tuning.bench_hand import Hand
from tests.simulation.world import Seat

SPEED_M_PER_S = 343.2
EAR_SD_CENTS = 10.0  # interval just noticeable to musicians: Hill and Summers 2007, J. Acoust. Soc. Am. 121, 2376
MOST_CUTS = 8


def ruler_and_ear(hand: Hand) -> None:
    """Quarter wave less 0.82 of the bore, plug 4 mm long, then 2, 1 or 0.5 mm off until it sounds right."""
    for letter, chamber in hand.whistle.chambers.items():
        air_mm = 250.0 * SPEED_M_PER_S / chamber.target_hz - 0.82 * chamber.bore_mm
        depth_mm = max(chamber.measured_length_mm - air_mm + 4.0, 1.0)
        hand.begin_set()
        hand.put_plug(letter, depth_mm, cut=True)
        for trim_mm in (2.0, 2.0, 1.0, 1.0, 0.5, 0.5, 0.5, 0.5):
            heard_hz = statistics.median(hand.blow(letter, 3))
            sharp_cents = 1200.0 * math.log2(heard_hz / chamber.target_hz) + hand.whistle.rng.normal(0.0, EAR_SD_CENTS)
            worth_cents = 1731.234 / (250.0 * SPEED_M_PER_S / chamber.target_hz)
            if sharp_cents < 0.5 * 0.5 * worth_cents:
                break
            step_mm = next((mm for mm in (2.0, 1.0, 0.5) if mm <= trim_mm and mm * worth_cents <= sharp_cents), 0.5)
            depth_mm -= step_mm
            hand.put_plug(letter, depth_mm, cut=True)


def perfect_listener(hand: Hand) -> None:
    """The floor: the true note is known before and after every cut; only the landing of the cut is left to chance."""
    for letter, chamber in hand.whistle.chambers.items():
        def off_cents(depth_mm: float, letter: str = letter) -> float:
            return hand.whistle.true_cents(letter, Seat(depth_mm, "plug"))

        right_mm = brentq(off_cents, -30.0, chamber.length_mm - 20.0, xtol=1e-3)
        for _ in range(MOST_CUTS):
            hand.put_plug(letter, right_mm, cut=True)
            if abs(off_cents(hand.seats[letter].depth_mm)) <= 5.0:
                break


def proportional_trim(hand: Hand) -> None:
    """Finger blow, quarter waves, plug 1.5 mm long; then each trim is in proportion to the last reading."""
    for letter, chamber in hand.whistle.chambers.items():
        hand.begin_set()
        if chamber.overblows_bare:
            hand.put_slug(letter, 15.0)
        else:
            hand.put(letter, hand.whistle.finger(), 0.0, 0.0)
        first_hz = statistics.median(hand.blow(letter, 3))
        acoustic_mm = 250.0 * SPEED_M_PER_S / first_hz + hand.closures[letter].depth_mm
        depth_mm = acoustic_mm - 250.0 * SPEED_M_PER_S / chamber.target_hz + 1.5
        for _ in range(MOST_CUTS):
            hand.put_plug(letter, depth_mm, cut=True)
            cents = 1200.0 * math.log2(statistics.median(hand.blow(letter, 3)) / chamber.target_hz)
            if cents <= 5.0:
                break
            depth_mm -= 250.0 * SPEED_M_PER_S / chamber.target_hz * cents / 1731.234
