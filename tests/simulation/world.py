"""An invented turner of Tidewick and invented whistles, with physics of their own.

Nothing here comes from the program: the wall of the bore is the exact solution with Bessel functions, the window an
inertance that grows with frequency, the root is bracketed and bisected. Every spread is one standard deviation; those
without a source are common practice.
"""
from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import brentq
from scipy.special import jv

# Air at 20 degC, 50 % humidity and one atmosphere, from a real-gas library (CoolProp 8, humid air).
SPEED_20_C_M_PER_S, DENSITY_KG_PER_M3, VISCOSITY_PA_S, PRANDTL, GAMMA = 343.963, 1.1989, 1.8171e-5, 0.7106, 1.4011
MAJOR_SIXTH_CENTS = (0.0, 400.0, 700.0, 900.0)
HISS_DB = (-30.0, -18.0)  # of a chamber's breath to its tone
LEAK_BREATHIER_DB = (6.0, 12.0)
ROOM_SD_DB, BREATH_SD_DB = 3.0, 1.0  # of one note in the room: it changes the tone and not the hiss; of one blow


def cents(frequency_hz: float, reference_hz: float) -> float:
    return 1200.0 * math.log2(frequency_hz / reference_hz)


@dataclass(frozen=True)
class Customs:
    """How exactly things are done in this world."""

    slug_sd_mm: float = 0.10
    cut_sd_mm: float = 0.15
    seat_sd_mm: float = 0.15
    caliper_sd_mm: float = 0.05
    bore_length_sd_mm: float = 0.3
    leaking_share: float = 0.0  # of plugs
    overblown_share: float = 0.0  # of blows, told from the others by the reader
    wrong_bore_per_whistle: float = 0.0  # chance that one plug's first set is blown on another bore


@dataclass(frozen=True)
class Pattern:
    """What all whistles of one drawing and one shop have in common."""

    window_ratio: float  # window's share over 2.3 a^2 / sqrt(W H)
    wall_loss: float  # over the smooth wall's
    window_growth: float  # of the inertance with frequency: 1 + growth (k delta)^2

    @staticmethod
    def draw(rng: np.random.Generator) -> Pattern:
        return Pattern(math.exp(rng.normal(0.0, 0.15)), rng.uniform(1.0, 1.5), rng.normal(0.0, 0.15))


@dataclass(frozen=True)
class Maker:
    finger_mm: float
    blow_sd_cents: float
    warm_c: float  # of the chamber's air above the room when blown warm
    measures: bool  # every plug with calipers

    @staticmethod
    def draw(rng: np.random.Generator) -> Maker:
        finger_mm = max(rng.normal(0.6, 0.3), 0.05)
        return Maker(finger_mm, rng.uniform(2.5, 5.0), rng.uniform(0.0, 5.0), bool(rng.random() < 0.5))


ROUTINE_WARMTH = 0.6  # of the maker's full warmth: the state in which a note counts as right


@dataclass(frozen=True)
class Chamber:
    letter: str
    bore_mm: float
    length_mm: float  # true, to the plug end
    measured_length_mm: float
    window_width_mm: float
    window_height_mm: float
    window_mm: float  # true share of the length at low frequency
    target_hz: float
    overblows_bare: bool  # jumps to the twelfth when nothing but a finger stops it


@dataclass
class Seat:
    """A face in a bore, seated for the moment."""

    depth_mm: float  # true, on average over seatings
    kind: str  # "finger", "slug", "plug"
    leak_cents: float = 0.0
    leak_breath_db: float = 0.0
    room_db: float | None = None  # of this note, once it was blown
    offset_cents: float = 0.0  # of this seating or press
    seated: bool = False


@dataclass
class Whistle:
    pattern: Pattern
    maker: Maker
    customs: Customs
    chambers: dict[str, Chamber]
    rng: np.random.Generator
    room_c: float = 20.0
    cache: dict[tuple[str, float], float] = field(default_factory=dict)
    breath_rng: np.random.Generator = field(init=False)  # of its own, so that breath changes no other chance
    hiss_db: dict[str, float] = field(init=False)

    def __post_init__(self) -> None:
        self.breath_rng = self.rng.spawn(1)[0]
        self.hiss_db = {letter: float(self.breath_rng.uniform(*HISS_DB)) for letter in self.chambers}

    @staticmethod
    def draw(rng: np.random.Generator, pattern: Pattern, maker: Maker, customs: Customs) -> Whistle:
        """A whistle of four equal bores for a major sixth."""
        bore_mm = rng.uniform(12.0, 14.0)
        lowest_hz = rng.uniform(560.0, 720.0)
        width_mm, height_mm = rng.uniform(0.65, 0.8) * bore_mm, rng.uniform(0.38, 0.5) * bore_mm
        whistle_ratio = pattern.window_ratio * math.exp(rng.normal(0.0, 0.05))
        drawn_mm = 2.3 * (bore_mm / 2.0) ** 2 / math.sqrt(width_mm * height_mm)
        shares_mm = [drawn_mm * whistle_ratio * math.exp(rng.normal(0.0, 0.08)) for _ in MAJOR_SIXTH_CENTS]
        quarter_mm = 1e3 * SPEED_20_C_M_PER_S / (4.0 * lowest_hz)
        body_mm = quarter_mm - drawn_mm * pattern.window_ratio + rng.uniform(14.0, 26.0)
        chambers = {}
        for letter, step_cents, share_mm in zip("ABCD", MAJOR_SIXTH_CENTS, shares_mm, strict=True):
            true_mm = body_mm + rng.normal(0.0, 0.2)
            chambers[letter] = Chamber(
                letter, bore_mm, true_mm, true_mm + rng.normal(0.0, customs.bore_length_sd_mm), width_mm, height_mm,
                share_mm, lowest_hz * 2.0 ** (step_cents / 1200.0), step_cents > 500.0 and bool(rng.random() < 0.5),
            )
        return Whistle(pattern, maker, customs, chambers, rng, rng.uniform(16.0, 24.0))

    # ---- what is true -------------------------------------------------------------------------------------------
    def note_hz(self, chamber: Chamber, depth_mm: float, air_c: float) -> float:
        """True note of a chamber whose face lies `depth_mm` inside, with air at `air_c`."""
        air_factor = math.sqrt((air_c + 273.15) / 293.15)
        key = (chamber.letter, round(depth_mm, 6))
        if key not in self.cache:
            self.cache[key] = self._note_at_20_c_hz(chamber, depth_mm)
        return self.cache[key] * air_factor

    def _note_at_20_c_hz(self, chamber: Chamber, depth_mm: float) -> float:
        length_m, window_m = (chamber.length_mm - depth_mm) * 1e-3, chamber.window_mm * 1e-3
        radius_m = chamber.bore_mm * 0.5e-3

        def phase(frequency_hz: float) -> float:
            k0 = 2.0 * math.pi * frequency_hz / SPEED_20_C_M_PER_S
            k = k0 + self.pattern.wall_loss * (wall_wavenumber(frequency_hz, radius_m) - k0)
            share_m = window_m * (1.0 + self.pattern.window_growth * (k0 * window_m) ** 2)
            return k * length_m + math.atan(k0 * share_m) - 0.5 * math.pi

        guess_hz = SPEED_20_C_M_PER_S / (4.0 * (length_m + window_m))
        return float(brentq(phase, 0.7 * guess_hz, 1.4 * guess_hz, xtol=1e-6))

    def true_cents(self, letter: str, seat: Seat, as_it_sits: bool = False) -> float:
        """Deviation from the target in the routine state, without any leak.

        A flush plug is judged where it lies on average over seatings, a slid one where it was last put: it is marked
        there.
        """
        chamber = self.chambers[letter]
        air_c = self.room_c + ROUTINE_WARMTH * self.maker.warm_c
        seated_cents = seat.offset_cents if as_it_sits else 0.0
        return cents(self.note_hz(chamber, seat.depth_mm, air_c), chamber.target_hz) + seated_cents

    # ---- what is done -------------------------------------------------------------------------------------------
    def new_set(self) -> float:
        """Chamber air of one set of blows."""
        return self.room_c + self.maker.warm_c * self.rng.uniform(0.4, 0.8)

    def finger(self) -> Seat:
        return Seat(0.0, "finger")

    def set_slug(self, depth_mm: float) -> Seat:
        return Seat(depth_mm + self.rng.normal(0.0, self.customs.slug_sd_mm), "slug")

    def cut_plug(self, depth_mm: float, before: Seat | None = None) -> Seat:
        """A plug cut to put its face at `depth_mm`; one that was there `before` leaks as it did."""
        leak_cents, leak_breath_db = (before.leak_cents, before.leak_breath_db) if before else (0.0, 0.0)
        if before is None and self.rng.random() < self.customs.leaking_share:
            leak_cents = self.rng.uniform(10.0, 25.0)
            leak_breath_db = self.breath_rng.uniform(*LEAK_BREATHIER_DB)
        return Seat(depth_mm + self.rng.normal(0.0, self.customs.cut_sd_mm), "plug", leak_cents, leak_breath_db)

    def measured_mm(self, seat: Seat) -> float:
        return seat.depth_mm + self.rng.normal(0.0, self.customs.caliper_sd_mm)

    def reseat(self, letter: str, seat: Seat) -> None:
        """Lift and press, or draw and seat again."""
        chamber = self.chambers[letter]
        depth_mm = seat.depth_mm
        if seat.kind == "finger":
            moved_mm = self.maker.finger_mm * self.rng.uniform(0.7, 1.3)
        else:
            moved_mm = self.rng.normal(0.0, self.customs.seat_sd_mm)
        here_hz = self.note_hz(chamber, depth_mm, 20.0)
        there_hz = self.note_hz(chamber, depth_mm + moved_mm, 20.0)
        seat.offset_cents = cents(there_hz, here_hz)
        seat.seated = True

    def blow_hz(self, letter: str, seat: Seat, set_air_c: float, covered: bool = False) -> float:
        """One blow as a perfect reader would read it; a finger over the plug from outside shuts a leak."""
        if not seat.seated:
            self.reseat(letter, seat)
        true_hz = self.note_hz(self.chambers[letter], seat.depth_mm, set_air_c)
        leak_cents = 0.0 if covered else seat.leak_cents
        scatter_cents = self.maker.blow_sd_cents * (1.5 if leak_cents else 1.0)
        off_cents = seat.offset_cents + leak_cents + self.rng.normal(0.0, scatter_cents)
        return true_hz * 2.0 ** (off_cents / 1200.0)

    def breath_db(self, letter: str, seat: Seat, covered: bool = False) -> float:
        """Noise over tone of one blow."""
        if seat.room_db is None:
            seat.room_db = float(self.breath_rng.normal(0.0, ROOM_SD_DB))
        leak_db = seat.leak_breath_db if seat.leak_cents and not covered else 0.0
        return self.hiss_db[letter] + leak_db - seat.room_db + float(self.breath_rng.normal(0.0, BREATH_SD_DB))


def wall_wavenumber(frequency_hz: float, radius_m: float) -> float:
    """Imaginary part of the propagation constant in a round tube, 1/m (Zwikker and Kosten 1949)."""
    w = 2.0 * math.pi * frequency_hz
    kv = np.sqrt(-1j * w * DENSITY_KG_PER_M3 / VISCOSITY_PA_S) * radius_m
    kt = kv * math.sqrt(PRANDTL)
    friction, heat = _f(kv), _f(kt)
    k0 = w / SPEED_20_C_M_PER_S
    return float((1j * k0 * np.sqrt((1.0 + (GAMMA - 1.0) * heat) / (1.0 - friction))).imag)


def _f(x: complex) -> complex:
    return 2.0 * jv(1, x) / (x * jv(0, x))
