"""Whistles and blows for the tests of the tuning model, made without the program's own bore."""
import math

from acoustics.tuning import ChamberPlan, Closure, Observation, Plan, Stop

TARGETS_HZ = {"A": 587.33, "B": 740.0, "C": 880.0, "D": 987.77}
BORE_LENGTH_MM, BORE_MM, WINDOW_MM, SPEED_M_PER_S = 145.0, 12.7, 13.0, 340.0


def plan(letters: str = "ABCD") -> Plan:
    return Plan(tuple(ChamberPlan(x, BORE_MM, BORE_LENGTH_MM, 10.0, 6.0, TARGETS_HZ[x]) for x in letters))


def note_hz(depth_mm: float, window_mm: float = WINDOW_MM) -> float:
    """A crude whistle: a quarter wave in slow air, good to some tens of cents."""
    return 250.0 * SPEED_M_PER_S / (BORE_LENGTH_MM - depth_mm + window_mm)


def true_depth_mm(letter: str) -> float:
    return BORE_LENGTH_MM + WINDOW_MM - 250.0 * SPEED_M_PER_S / TARGETS_HZ[letter]


def shifted(frequency_hz: float, cents: float) -> float:
    return frequency_hz * 2.0 ** (cents / 1200.0)


def off_cents(frequency_hz: float, letter: str) -> float:
    return 1200.0 * math.log2(frequency_hz / TARGETS_HZ[letter])


def plug(letter: str, depth_mm: float, name: str = "plug", depth_sd_mm: float = 0.05) -> Closure:
    return Closure(f"{letter}-{name}", Stop.PLUG, depth_mm, depth_sd_mm)


def slug(letter: str, depth_mm: float) -> Closure:
    return Closure(f"{letter}-slug-{depth_mm:g}", Stop.SLUG, depth_mm, 0.1)


FINGER = {letter: Closure(f"{letter}-finger", Stop.FINGER, 0.0, 0.0) for letter in TARGETS_HZ}


def blows(
    letter: str, closure: Closure, cents: tuple[float, ...] = (-3.0, 2.0, 0.0, 1.0), set_id: str = "",
    seatings: int = 2, window_mm: float = WINDOW_MM,
) -> list[Observation]:
    """Blows on one closure, `cents` away from the crude whistle's note, spread over `seatings`."""
    depth_mm = closure.depth_mm + (0.6 if closure.stop is Stop.FINGER else 0.0)
    note = note_hz(depth_mm, window_mm)
    return [
        Observation(letter, closure, set_id or f"set-{closure.id}", i * seatings // len(cents), shifted(note, off), 0.2)
        for i, off in enumerate(cents)
    ]
