"""What the tuning model is given: the plan, what closed each bore, the blows, and what is believed before them."""
from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from acoustics.air import Air


class Stop(StrEnum):
    """What closes the far end."""

    FINGER = "finger"
    FLAT = "flat"  # a flat faced scrap held against the end
    SLUG = "slug"  # a reusable greased plug with a tail, pushed to a marked depth
    PLUG = "plug"
    CAP = "cap"


@dataclass(frozen=True)
class Closure:
    """The face that stops one bore, as it is set now. `id` is new whenever the face has moved or been trimmed."""

    id: str
    stop: Stop
    depth_mm: float  # inner face inside the plug end; 0 for finger, flat and cap
    depth_sd_mm: float  # 0.05 measured, 0.15 assumed, 0.10 a slug's mark


@dataclass(frozen=True)
class ChamberPlan:
    """One bore as it was laid out and measured, and the note it is meant to have."""

    letter: str
    bore_mm: float
    bore_length_mm: float  # fipple's inner face to the plug end of the body
    window_width_mm: float
    window_height_mm: float  # cut-up, along the bore
    target_hz: float


@dataclass(frozen=True)
class Plan:
    """A whistle and the room it is blown in."""

    chambers: tuple[ChamberPlan, ...]
    temperature_c: float = 20.0  # room
    relative_humidity: float = 0.5
    pressure_pa: float = 101_325.0

    def air(self, temperature_c: float | None = None) -> Air:
        """The room's air, at the plan's temperature unless another is given."""
        temperature_c = self.temperature_c if temperature_c is None else temperature_c
        return Air(temperature_c, self.relative_humidity, self.pressure_pa)


@dataclass(frozen=True)
class Observation:
    """One usable blow.

    Blows that share `closure.id` and `seating` are taken to share one seating of that face, also across sets; a finger
    is lifted between sets whatever `seating` says.
    """

    letter: str
    closure: Closure
    set_id: str  # blows of one set share one set effect
    seating: int  # goes up when the finger was lifted or the plug reseated
    frequency_hz: float
    standard_error_cents: float
    level_dbfs: float | None = None
    temperature_c: float | None = None  # room, when it differs from the plan
    at_s: float = 0.0  # by one clock over all sittings; sittings are an hour or more apart
    own_breath: bool = True  # False: another blower than the owner
    covered: bool = False  # with a finger pressed over the plug from outside, so that a leak is shut
    breath_db: float | None = None  # noise over tone; None unless the chamber sounded alone


@dataclass(frozen=True)
class Priors:
    """Mean and spread of everything unknown before the first blow; every `_sd` is one standard deviation.

    `docs/acoustics-model.md` gives the source of each. `window_log` is the natural logarithm of the window's share over
    `window_prior_mm`; `finger_log` that of the finger's bulge in mm.
    """

    window_log: float = 0.0
    window_log_sd: float = 0.18  # common to the pattern
    window_own_sd: float = 0.08  # of one chamber, as a fraction
    bore_length_sd_mm: float = 0.3  # cannot be told from the window's own part, so it is added to it
    finger_log: float = math.log(0.7)
    finger_log_sd: float = 0.5
    press_sd_cents: float = 2.0  # each time the finger is put down
    air_cents: float = 4.0  # chamber's air and wall together, against room air and `wall_loss`
    air_sd_cents: float = 4.0
    wall_loss: float = 1.25
    set_sd_cents: float = 1.2
    seating_sd_cents: float = 0.7  # each time the bore is taken up again, whatever closes it
    seat_sd_mm: float = 0.15  # each time a plug or slug is seated
    blow_sd_cents: float = 3.8
    blow_sd_weight: float = 8.0  # how many blows the value above is worth
    blow_t_dof: float = 8.0  # of Student's t; math.inf for a normal distribution
    level_slope_cents_per_db: float = 4.0
    level_slope_sd_cents_per_db: float = 2.0
    other_breath_sd_cents: float = 8.0  # another blower against the owner
