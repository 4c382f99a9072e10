"""Where each plug's face belongs before any blow, and how long its first piece is sawn."""
from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from acoustics.tuning import ChamberBelief, Priors, fit
from app.reach import Reach, Verdict, reaches
from app.whistle import Chamber, Whistle, to_plan

LONGER_MM: Final = 5.0  # a first piece over what it should end at: common practice, no source
SURE_SD: Final = 2.0  # and never less than this many standard deviations


@dataclass(frozen=True)
class PlugPlan:
    """One plug, by geometry and what earlier whistles taught; the first blows will know better."""

    letter: str
    note: str
    target_hz: float
    lowest_note: str  # of the whole bore
    verdict: Verdict
    depth_mm: float | None  # where the face belongs, from the plug end; None when no plug gives the note
    depth_sd_mm: float  # one standard deviation
    rough_mm: float | None  # length of the piece to saw; pushed in flush it stays clear of the window
    sentence: str  # what its bore can reach


def plugs_of(whistle: Whistle, priors: Priors | None = None, units: str = "mm") -> tuple[PlugPlan, ...]:
    """Every plug; `priors` of earlier whistles of the pattern narrow the spread."""
    believed = fit(to_plan(whistle), (), priors or Priors())
    return tuple(
        _plug(reach, of_chamber, chamber)
        for reach, of_chamber, chamber in zip(
            reaches(whistle, units, priors), believed.chambers, whistle.chambers, strict=True
        )
    )


def _plug(reach: Reach, believed: ChamberBelief, chamber: Chamber) -> PlugPlan:
    depth_mm, sd_mm = believed.target_depth_mm, believed.target_depth_sd_mm
    if reach.verdict is Verdict.TOO_HIGH:
        depth_mm = None
    rough_mm = None
    if depth_mm is not None:
        clear_mm = max(depth_mm, chamber.bore_length_mm - chamber.window_height_mm)
        rough_mm = min(depth_mm + max(LONGER_MM, SURE_SD * sd_mm), clear_mm)
    return PlugPlan(
        reach.letter, reach.wanted_note, chamber.target_hz, reach.lowest_note, reach.verdict, depth_mm, sd_mm, rough_mm,
        reach.sentence,
    )
