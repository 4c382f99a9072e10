"""The invented maker glues plugs, and the whistle lies over night: what moves in the glue, and another day's air.

How far a plug creeps in its glue, and how often glue leaves a leak, nobody has published: both are invented.
"""
from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.invented_maker import Maker

LEAST_LEAK_CENTS, MOST_LEAK_CENTS = 10.0, 25.0


def glue_in(
    maker: Maker, letter: str, creep_mm: float | None = None, leak_cents: float | None = None, off_mm: float = 0.0
) -> None:
    """Seat the plug at its line in wet glue, or put it back by `off_mm`; what is not told is drawn by the habits."""
    end, rng, habits = maker.ends[letter], maker.rng, maker.habits
    maker.pass_time("glue")
    if end.plug_mm is None:
        return
    if creep_mm is None:
        creep_mm = float(rng.normal(0.0, habits.creep_sd_mm))
    if leak_cents is None:
        leaks = rng.random() < habits.seam_share
        leak_cents = float(rng.uniform(LEAST_LEAK_CENTS, MOST_LEAK_CENTS)) if leaks else 0.0
    end.plug_mm, end.seat_mm = end.plug_mm + end.seat_mm + creep_mm - off_mm, 0.0
    end.leak_cents, end.lined = leak_cents, True


def lie_over_night(maker: Maker, warmer_c: float = 0.0) -> None:
    """The whistle cools through; the shop is another next morning."""
    maker.whistle = replace(maker.whistle, room_c=maker.whistle.room_c + warmer_c)
    maker.heat = 0.0
