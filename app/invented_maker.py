"""An invented maker of Tidewick: hands, breath and warm air, doing what the walk asks with errors nobody is told.

Every spread is one standard deviation. Bench time runs in the maker's own account (a cut takes minutes), so that the
chamber's air cools and drifts between tasks however fast the sound is made.
"""
from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import numpy as np

from acoustics.synthesis import BlowRecipe, breathy, overblown
from app.invented import HiddenWhistle
from app.invented_chord import draw_pulls, in_one_breath

AIR_SHARE, AIR_SHARE_SD, AIR_MEMORY_S = 0.6, 0.1, 180.0  # of the routine's warmth that a chamber holds, and its drift
COOLING_S = 1500.0
WARMING_PER_BLOW = 0.45
TASK_S = {"blow": 4.0, "reseat": 10.0, "set_stop": 20.0, "cut": 300.0, "trim": 150.0, "slide": 8.0, "mark": 10.0,
          "repair": 300.0, "rest": 60.0, "chord": 6.0, "glue": 60.0}
CENTS_PER_DB = 4.0


@dataclass(frozen=True)
class Habits:
    """What is true of one maker and stays so. Shares are chances per plug (leak) or per blow."""

    finger_mm: float = 0.6  # bulge of the pad into the bore, as a length
    blow_sd_cents: float = 3.5
    warmth_c: float = 2.5  # of the chamber's air over the room after the routine
    level_dbfs: float = -22.0
    cut_sd_mm: float = 0.15
    seat_sd_mm: float = 0.15
    slug_sd_mm: float = 0.10
    line_sd_mm: float = 0.05
    caliper_sd_mm: float = 0.05
    unsquare_sd_mm: float = 0.1  # longest less shortest length of a plug; calipers find the longest
    leak_share: float = 0.0
    creep_sd_mm: float = 0.1  # of a plug in its glue
    seam_share: float = 0.03  # of glued plugs whose glue leaves a way for air
    overblow_share: float = 0.0
    wrong_bore_share: float = 0.0


def draw_habits(rng: np.random.Generator, **fixed: float) -> Habits:
    """A maker out of the measuring world; `fixed` sets any habit by name."""
    drawn = Habits(
        finger_mm=max(0.1, float(rng.normal(0.6, 0.3))), blow_sd_cents=float(rng.uniform(2.5, 5.0)),
        warmth_c=float(rng.uniform(0.0, 5.0)), level_dbfs=float(rng.uniform(-28.0, -18.0)),
    )
    return replace(drawn, **fixed)


@dataclass
class BoreEnd:
    """What closes one bore now, as it truly is."""

    plug_mm: float | None = None  # depth of the plug's inner face when seated home
    seat_mm: float = 0.0
    unsquare_mm: float = 0.0
    leak_cents: float = 0.0
    leaked: bool = False  # whether any plug that was put in let air by
    slid: bool = False  # a tailed plug that stands at a mark on its tail
    lined: bool = False  # and has a knife line at the bore's mouth
    asked_mm: float = 0.0  # that mark
    slug_mm: float | None = None
    slug_asked_mm: float = 0.0
    press: float = 1.0  # of the finger, this time
    blows: int = 0
    cuts: int = 0  # saw and abrasive: what cannot be undone
    slides: int = 0


@dataclass(frozen=True)
class ChamberTruth:
    """How one chamber really ended, in the maker's usual breath and warmth."""

    letter: str
    target_hz: float
    frequency_hz: float
    deviation_cents: float  # from the target
    interval_cents: float  # from the interval to the lowest chamber
    window_mm: float
    plug_mm: float | None  # None: no plug was ever fitted
    blows: int
    cuts: int
    slides: int
    chord_interval_cents: float  # the same in a blow of the whole whistle, as the plugs sit
    leaked: bool = False  # a plug that was put in let air by
    leaks: bool = False  # and still does: `frequency_hz` is without it


@dataclass
class Maker:
    """Does the walk's tasks on a hidden whistle. `rng` is the only chance; the same seed does the same deeds."""

    whistle: HiddenWhistle
    habits: Habits
    rng: np.random.Generator
    ends: dict[str, BoreEnd] = field(init=False)
    air_share: float = AIR_SHARE
    heat: float = 0.0  # 0 cold, 1 blown warm
    pulls_cents: dict[str, float] = field(default_factory=dict)  # drawn with the first chord

    def __post_init__(self) -> None:
        self.ends = {chamber.letter: BoreEnd() for chamber in self.whistle.chambers}

    def blow(
        self, letter: str, stop: str, depth_mm: float | None, reseat: bool = False, covered: bool = False
    ) -> BlowRecipe:
        """One blow of that chamber, closed as asked, after lifting or reseating when told to.

        `covered`: with a finger over the plug from outside, which shuts a leak beside it.
        """
        if self.rng.random() < self.habits.wrong_bore_share:
            letter = str(self.rng.choice(list(self.ends)))
        end = self.ends[letter]
        if reseat:
            self.pass_time("reseat")
            self._reseat(end)
        if stop == "slug" and (end.slug_mm is None or (depth_mm is not None and depth_mm != end.slug_asked_mm)):
            self.set_slug(letter, depth_mm or 0.0)
        end.blows += 1
        self.heat += WARMING_PER_BLOW * (1.0 - self.heat)
        recipe = self._recipe(letter, stop, covered)
        self.pass_time("blow")
        return recipe

    def blow_chord(self) -> tuple[BlowRecipe, ...]:
        """All chambers in one breath, as their plugs sit."""
        self.pulls_cents = self.pulls_cents or draw_pulls(tuple(self.ends), self.rng)
        self.heat += WARMING_PER_BLOW * (1.0 - self.heat)
        alone = {letter: self._recipe(letter, "plug") for letter in self.ends}
        air_c = self.whistle.room_c + self.air_share * self.heat * self.habits.warmth_c
        notes_hz = {letter: self._sitting_hz(letter, air_c) for letter in self.ends}
        level_db, push_cents = self._breath(1.0)
        self.pass_time("chord")
        return in_one_breath(alone, notes_hz, self.pulls_cents, (level_db, push_cents), self.rng)

    def _sitting_hz(self, letter: str, air_c: float) -> float:
        """Where a chamber sounds with its plug just as it sits; open where it has none."""
        face_mm, end = self._face_mm(letter, "plug"), self.ends[letter]
        if face_mm is None:
            return self.whistle.open_hz(letter, air_c)
        return self.whistle.resonance_hz(letter, face_mm, air_c) * 2.0 ** (end.leak_cents / 1200.0)

    def set_slug(self, letter: str, depth_mm: float) -> None:
        self.pass_time("set_stop")
        end = self.ends[letter]
        end.slug_mm, end.slug_asked_mm = depth_mm + self._error(self.habits.slug_sd_mm), depth_mm

    def cut(self, letter: str, depth_mm: float) -> None:
        """Saw a plug for that depth and push it home."""
        self.ends[letter].slid = self.ends[letter].lined = False
        self._fit_plug(letter, depth_mm + self._error(self.habits.cut_sd_mm), depth_mm, "cut")

    def trim(self, letter: str, depth_mm: float) -> None:
        """Sand until the calipers read the wanted length: lands about there, and never puts wood back."""
        present_mm = self.ends[letter].plug_mm
        landed_mm = depth_mm + self._error(self.habits.cut_sd_mm)
        self._fit_plug(letter, landed_mm if present_mm is None else min(present_mm, landed_mm), depth_mm, "trim")

    def slide(self, letter: str, depth_mm: float) -> None:
        """Move the tailed plug to a mark on its tail."""
        self.pass_time("slide")
        self._push(letter, depth_mm)
        self.ends[letter].slides += 1

    def fit_tailed(self, letter: str, depth_mm: float) -> None:
        """Make a plug with a tail, once, and push it to a depth: it can still be moved both ways."""
        self.pass_time("cut")
        self._push(letter, depth_mm)
        self.ends[letter].cuts += 1
        if self.habits.leak_share > 0.0:
            self._may_leak(self.ends[letter], self._drawn_leak_cents())

    def mark(self, letter: str) -> None:
        """Knife a line at the bore's mouth: from now on "home" is where the plug sits, as well as the line shows it."""
        self.pass_time("mark")
        end = self.ends[letter]
        if end.plug_mm is not None:
            end.plug_mm, end.seat_mm = end.plug_mm + end.seat_mm + self._error(self.habits.line_sd_mm), 0.0
            end.lined = True

    def repair(self, letter: str, depth_mm: float | None) -> None:
        """Seal the plug; with a depth, glue on a disc that brings the face there."""
        self.pass_time("repair")
        end = self.ends[letter]
        end.leak_cents = 0.0
        if depth_mm is not None:
            end.plug_mm, end.asked_mm = depth_mm + self._error(self.habits.cut_sd_mm), depth_mm
            end.cuts += 1
        self._reseat(end)

    def caliper_mm(self, letter: str) -> float | None:
        """The plug's length off the calipers, to their tenth of a millimetre."""
        end = self.ends[letter]
        if end.plug_mm is None:
            return None
        return round(end.plug_mm + end.unsquare_mm / 2.0 + self._error(self.habits.caliper_sd_mm), 1)

    def pass_time(self, task: str) -> None:
        """Let the chamber's air cool and drift for as long as the task takes at a bench."""
        seconds = TASK_S.get(task, 1.0)
        self.heat *= math.exp(-seconds / COOLING_S)
        kept = math.exp(-seconds / AIR_MEMORY_S)
        self.air_share = AIR_SHARE + kept * (self.air_share - AIR_SHARE) + self._error(
            AIR_SHARE_SD * math.sqrt(1.0 - kept**2))

    def truth(self) -> tuple[ChamberTruth, ...]:
        """Every chamber as a great many blows in the maker's usual state would show it, plugs seated home."""
        found_hz = {chamber.letter: self._usual_hz(chamber.letter) for chamber in self.whistle.chambers}
        lowest = self.whistle.chambers[0]
        home_cents = _cents(found_hz[lowest.letter], lowest.target_hz)
        in_chord_cents = self._in_chord_cents()
        return tuple(
            ChamberTruth(
                c.letter, c.target_hz, found_hz[c.letter], _cents(found_hz[c.letter], c.target_hz),
                _cents(found_hz[c.letter], c.target_hz) - home_cents, c.window_mm, self.ends[c.letter].plug_mm,
                self.ends[c.letter].blows, self.ends[c.letter].cuts, self.ends[c.letter].slides,
                in_chord_cents[c.letter] - in_chord_cents[lowest.letter], self.ends[c.letter].leaked,
                self.ends[c.letter].leak_cents > 0.0,
            )
            for c in self.whistle.chambers
        )

    def _in_chord_cents(self) -> dict[str, float]:
        """Off their targets in the chord, all by the same breath."""
        air_c = self.whistle.room_c + AIR_SHARE * self.habits.warmth_c
        return {
            c.letter: _cents(self._sitting_hz(c.letter, air_c), c.target_hz) + self.pulls_cents.get(c.letter, 0.0)
            for c in self.whistle.chambers
        }

    def toot_hz(self, letter: str | None) -> float:
        """The note of the sign for "done": whatever the bore in hand gives."""
        return self._usual_hz(letter if letter in self.ends else self.whistle.chambers[0].letter)

    def _error(self, sd: float) -> float:
        return float(self.rng.normal(0.0, sd)) if sd > 0.0 else 0.0

    def _push(self, letter: str, depth_mm: float) -> None:
        end = self.ends[letter]
        end.plug_mm, end.asked_mm = depth_mm + self._error(self.habits.slug_sd_mm), depth_mm
        end.seat_mm, end.slid, end.lined = 0.0, True, False

    def _fit_plug(self, letter: str, landed_mm: float, asked_mm: float, task: str) -> None:
        self.pass_time(task)
        end = self.ends[letter]
        end.plug_mm, end.asked_mm = max(landed_mm, 0.0), asked_mm
        end.unsquare_mm = abs(self._error(self.habits.unsquare_sd_mm))
        end.cuts += 1
        leak_cents = self._drawn_leak_cents()
        if task == "cut":  # sanding its face leaves the sides of a plug as they were
            self._may_leak(end, leak_cents)
        self._reseat(end)

    def _may_leak(self, end: BoreEnd, leak_cents: float) -> None:
        end.leak_cents, end.leaked = leak_cents, end.leaked or leak_cents > 0.0

    def _drawn_leak_cents(self) -> float:
        """How sharp a new plug makes its chamber by leaking; mostly it does not."""
        leaks = self.rng.random() < self.habits.leak_share
        return float(np.clip(self.rng.normal(17.0, 4.0), 10.0, 25.0)) if leaks else 0.0

    def _reseat(self, end: BoreEnd) -> None:
        """Put back what closes the bore: never quite where it was."""
        end.press = float(self.rng.uniform(0.7, 1.3))
        if end.slid and not end.lined:
            end.plug_mm = end.asked_mm + self._error(self.habits.slug_sd_mm)
        else:
            end.seat_mm = self._error(self.habits.line_sd_mm if end.lined else self.habits.seat_sd_mm)
        if end.slug_mm is not None:
            end.slug_mm = end.slug_asked_mm + self._error(self.habits.slug_sd_mm)

    def _face_mm(self, letter: str, stop: str) -> float | None:
        """Where the closing face truly is; None when nothing closes the bore."""
        end = self.ends[letter]
        if stop == "plug" or (stop == "cap" and end.plug_mm is not None):
            return None if end.plug_mm is None else end.plug_mm + end.seat_mm
        if stop == "finger":
            return self.habits.finger_mm * end.press
        return end.slug_mm if stop == "slug" else 0.0

    def _usual_hz(self, letter: str) -> float:
        air_c = self.whistle.room_c + AIR_SHARE * self.habits.warmth_c
        return self.whistle.resonance_hz(letter, self.ends[letter].plug_mm or 0.0, air_c)

    def _recipe(self, letter: str, stop: str, covered: bool = False) -> BlowRecipe:
        chamber, rng, habits = self.whistle.chamber(letter), self.rng, self.habits
        air_c = self.whistle.room_c + self.air_share * self.heat * habits.warmth_c
        face_mm = self._face_mm(letter, stop)
        leak_cents = self.ends[letter].leak_cents if stop == "plug" and not covered else 0.0
        if face_mm is None:
            note_hz, modes_hz = self.whistle.open_hz(letter, air_c), None
        else:
            modes_hz = tuple(self.whistle.resonance_hz(letter, face_mm, air_c, mode) for mode in (1, 2, 3))
            note_hz = modes_hz[0]
        level_db, scatter_cents = self._breath(1.8 if leak_cents else 1.0)
        recipe = BlowRecipe(
            frequency_hz=note_hz * 2.0 ** ((scatter_cents + leak_cents) / 1200.0),
            duration_s=float(np.clip(rng.normal(1.25, 0.15), 0.9, 1.8)), level_dbfs=habits.level_dbfs + level_db,
            breath_db=chamber.breath_db + float(rng.normal(0.0, 1.0)), resonances_hz=modes_hz,
            attack_ms=chamber.attack_ms * float(rng.uniform(0.8, 1.3)), wander_cents=float(rng.uniform(0.5, 2.5)),
            drift_cents_per_s=float(rng.normal(0.0, 2.0)), swell_db=float(rng.uniform(0.2, 1.5)),
        )
        if leak_cents:
            recipe = breathy(recipe, recipe.breath_db + 10.0)
        if modes_hz and rng.random() < self._overblow_chance(chamber.target_hz, note_hz):
            recipe = overblown(recipe, modes_hz[1] / modes_hz[0])
        return recipe

    def _breath(self, looseness: float) -> tuple[float, float]:
        """Level over the usual and pitch over the usual; a quarter of the scatter's power comes from the level."""
        scatter_cents = looseness * self.habits.blow_sd_cents
        level_db = self._error(0.5 * scatter_cents / CENTS_PER_DB)
        return level_db, CENTS_PER_DB * level_db + self._error(math.sqrt(0.75) * scatter_cents)

    def _overblow_chance(self, target_hz: float, note_hz: float) -> float:
        """A chamber voiced for a note more than five semitones higher jumps easily (invented slope)."""
        steps = 12.0 * math.log2(target_hz / note_hz)
        return float(np.clip((steps - 5.0) / 6.0, self.habits.overblow_share, 0.8))


def _cents(frequency_hz: float, reference_hz: float) -> float:
    return 1200.0 * math.log2(frequency_hz / reference_hz)
