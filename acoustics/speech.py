"""What is told of how a chamber speaks, as plain frozen data. `acoustics.voicing` makes it."""
from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from acoustics.heard import Finding, Verdict
from acoustics.level_slope import LevelSlope
from acoustics.remedies import Remedy, Symptom

GOOD_BLOWS: Final = 3  # and nothing amiss: it speaks well
NOT_ALONE: Final = (Verdict.SEVERAL, Verdict.OPEN_NEIGHBOUR)


@dataclass(frozen=True)
class VoiceBlow:
    """One blow, as far as it tells how its chamber speaks."""

    letter: str
    face_id: str  # what stopped the bore
    set_id: str
    place_id: str  # of the microphone
    verdict: Verdict
    findings: tuple[Finding, ...]
    usable: bool
    frequency_hz: float | None
    level_dbfs: float | None
    breath_db: float | None
    attack_ms: float | None
    neighbours_shut: bool = True
    mouthpiece_on: bool = True

    @property
    def good(self) -> bool:
        """Whether it tells how the chamber speaks when nothing is amiss."""
        return self.usable and self.verdict is Verdict.STEADY

    @property
    def alone(self) -> bool:
        """Whether what was heard can have come from this chamber only."""
        return self.neighbours_shut and self.verdict not in NOT_ALONE


@dataclass(frozen=True)
class Expected:
    """What the tuning model says of the same blows.

    surprise_sd : pitch less what all other blows foretell, in standard deviations; None where it has no opinion
    blow_sd_cents : this maker's usual scatter
    """

    surprise_sd: float | None = None
    blow_sd_cents: float = 3.8


@dataclass(frozen=True)
class Shown:
    """The evidence of one finding; a figure is None where it plays no part."""

    n_showing: int
    n_blows: int
    attack_ms: float | None = None
    breath_db: float | None = None
    margin_db: float | None = None  # softest overblown blow over the loudest good one
    level_apart_db: float | None = None  # from the other chambers, or from this one stopped otherwise
    breath_apart_db: float | None = None
    surprise_sd: float | None = None
    scatter_ratio: float | None = None  # over the maker's usual


@dataclass(frozen=True)
class VoiceFinding:
    """One thing amiss, what shows it, and where to look."""

    symptom: Symptom
    shown: Shown
    remedies: tuple[Remedy, ...]  # in order, what takes wood last


@dataclass(frozen=True)
class JumpMargin:
    """How far the blows are from jumping to the twelfth."""

    n_overblown: int
    margin_db: float | None  # softest overblown over loudest good blow; None: none overblew
    tried_db: float  # loudest good blow over the usual one


@dataclass(frozen=True)
class Voice:
    """How one chamber speaks on its present face."""

    letter: str
    n_blows: int
    n_good: int  # steady, and nothing amiss
    attack_ms: float | None = None
    breath_db: float | None = None
    level_dbfs: float | None = None
    slope: LevelSlope | None = None
    jump: JumpMargin | None = None
    findings: tuple[VoiceFinding, ...] = ()

    @property
    def speaks_well(self) -> bool:
        """Enough good blows and nothing amiss; what only the other chambers show holds nothing up."""
        compared = (Symptom.WEAKER, Symptom.BREATHIER)
        return self.n_good >= GOOD_BLOWS and all(found.symptom in compared for found in self.findings)
