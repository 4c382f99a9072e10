"""What a turner may look at when a chamber speaks badly: cheapest and reversible first, wood last.

A remedy is a place to look, never a cause: sound cannot show whether a lip is blunt or a windway too high. The order of
each list follows how fipple makers and organ voicers go about it (common practice, no source).
"""
from __future__ import annotations

from enum import StrEnum
from typing import Final

WOOD_AFTER_BLOWS: Final = 3  # a symptom must show in so many blows before anything that takes wood is named at all


class Symptom(StrEnum):
    """How a chamber may speak badly, the gravest first."""

    SILENT = "no_note"
    LEAKS = "leak_suspected"
    OVERBLOWS = "overblows"
    HISSY = "hissy"
    WAVERS = "wavers"
    CHIRPS = "chirps_first"
    SLOW = "slow_to_speak"
    WEAKER = "weaker_than_others"
    BREATHIER = "breathier_than_others"


class Remedy(StrEnum):
    """One thing to look at, or to try."""

    BLOW_SOFTER = "blow_softer"
    BLOW_EVENLY = "blow_evenly"
    CLOSE_END = "close_end"
    RESEAT = "reseat"
    PRESS_OVER_STOP = "press_over_stop"
    SHORTER_BORE = "shorter_bore"
    DRY_WINDWAY = "dry_windway"
    CLEAR_WINDWAY = "clear_windway"
    LOOSE_FIPPLE = "loose_fipple"
    SLIDE_FIPPLE = "slide_fipple"
    SIGHT_LIP = "sight_lip"
    SEAL_SIDES = "seal_sides"
    SEAL_STOP = "seal_stop"
    MEASURE_FIT = "measure_fit"
    LOOK_FOR_SPLIT = "look_for_split"
    COMPARE_WAY_IN = "compare_way_in"
    COMPARE_FLATS = "compare_flats"
    SHIM_WINDWAY = "shim_windway"
    NEW_FIPPLE = "new_fipple"
    EASE_FLAT = "ease_flat"
    CHAMFER_EXIT = "chamfer_exit"
    PARE_LIP = "pare_lip"
    LENGTHEN_WINDOW = "lengthen_window"

    @property
    def takes_wood(self) -> bool:
        """Whether it cannot be undone."""
        return self in (Remedy.EASE_FLAT, Remedy.CHAMFER_EXIT, Remedy.PARE_LIP, Remedy.LENGTHEN_WINDOW)


REMEDIES: Final[dict[Symptom, tuple[Remedy, ...]]] = {
    Symptom.SILENT: (
        Remedy.CLOSE_END, Remedy.DRY_WINDWAY, Remedy.CLEAR_WINDWAY, Remedy.SLIDE_FIPPLE, Remedy.SIGHT_LIP,
        Remedy.SEAL_SIDES, Remedy.NEW_FIPPLE, Remedy.EASE_FLAT,
    ),
    Symptom.LEAKS: (
        Remedy.PRESS_OVER_STOP, Remedy.RESEAT, Remedy.SEAL_STOP, Remedy.MEASURE_FIT, Remedy.LOOK_FOR_SPLIT,
    ),
    Symptom.OVERBLOWS: (
        Remedy.BLOW_SOFTER, Remedy.SHORTER_BORE, Remedy.CLEAR_WINDWAY, Remedy.SHIM_WINDWAY, Remedy.NEW_FIPPLE,
        Remedy.LENGTHEN_WINDOW,
    ),
    Symptom.HISSY: (
        Remedy.CLEAR_WINDWAY, Remedy.SLIDE_FIPPLE, Remedy.SEAL_SIDES, Remedy.SHIM_WINDWAY, Remedy.NEW_FIPPLE,
        Remedy.PARE_LIP,
    ),
    Symptom.WAVERS: (
        Remedy.BLOW_EVENLY, Remedy.CLOSE_END, Remedy.DRY_WINDWAY, Remedy.CLEAR_WINDWAY, Remedy.LOOSE_FIPPLE,
    ),
    Symptom.CHIRPS: (
        Remedy.BLOW_SOFTER, Remedy.CLEAR_WINDWAY, Remedy.SLIDE_FIPPLE, Remedy.SHIM_WINDWAY, Remedy.NEW_FIPPLE,
        Remedy.CHAMFER_EXIT,
    ),
    Symptom.SLOW: (
        Remedy.DRY_WINDWAY, Remedy.CLEAR_WINDWAY, Remedy.SLIDE_FIPPLE, Remedy.SHIM_WINDWAY, Remedy.NEW_FIPPLE,
        Remedy.CHAMFER_EXIT,
    ),
    Symptom.WEAKER: (
        Remedy.CLOSE_END, Remedy.CLEAR_WINDWAY, Remedy.COMPARE_WAY_IN, Remedy.COMPARE_FLATS, Remedy.SEAL_SIDES,
        Remedy.NEW_FIPPLE, Remedy.EASE_FLAT,
    ),
    Symptom.BREATHIER: (
        Remedy.CLEAR_WINDWAY, Remedy.SLIDE_FIPPLE, Remedy.COMPARE_FLATS, Remedy.SHIM_WINDWAY, Remedy.NEW_FIPPLE,
        Remedy.PARE_LIP,
    ),
}


def remedies_for(symptom: Symptom, n_showing: int) -> tuple[Remedy, ...]:
    """What to look at, in order; what takes wood only once `n_showing` blows show the symptom.

    Parameters
    ----------
    symptom : Symptom
    n_showing : int
        Blows that show it.

    Returns
    -------
    tuple of Remedy
        Never empty, and never one that takes wood before one that does not.
    """
    return tuple(r for r in REMEDIES[symptom] if not r.takes_wood or n_showing >= WOOD_AFTER_BLOWS)
