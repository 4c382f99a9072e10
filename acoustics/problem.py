"""The blows of a whistle as arrays: which unknowns there are, how wide each is at first, and which blow each touches.

Conventions
-----------
Readings are in cents against each chamber's own target. An unknown is named by its kind and whose it is.
"""
from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from acoustics.belief import Unknown, Vector
from acoustics.evidence import ChamberPlan, Closure, Observation, Plan, Priors, Stop
from acoustics.faces import Face, Faces, Tones, faces_of, tones_of
from acoustics.units import cents_between

_FAULT_SD_CENTS = 30.0
_SEATED = (Stop.SLUG, Stop.PLUG, Stop.CAP)
_EXACT_DEPTH_MM = 1e-6
_UNSTOPPED_BY_WOOD = Closure("", Stop.FLAT, 0.0, 0.0)


@dataclass(frozen=True)
class Problem:
    """The blows as arrays, and which unknowns touch each.

    Seatings stand last among the unknowns. Each blow has just one of them, so that they can be eliminated one by one
    and the systems to be solved stay small.
    """

    plan: Plan
    priors: Priors
    blows: tuple[Observation, ...]
    chamber_of: dict[str, ChamberPlan]
    index: dict[Unknown, int]
    prior_sd: Vector
    heard_cents: Vector
    noise_cents: Vector  # standard deviation of each blow about its seating
    seated: Vector  # one row for each seating, 1 for its blows
    fixed_rows: Vector  # slopes that do not depend on the unknowns: air, set, level, faults; without the seatings
    faces: Faces  # one entry for every different closure in one air
    face_of_blow: NDArray[np.int64]
    own_at: NDArray[np.int64]  # for each face, where its chamber's window stands among the unknowns
    depth_at: NDArray[np.int64]  # and the error of its depth; -1 where there is none


def pooled_blow_sd_cents(blows: Sequence[Observation], priors: Priors) -> float:
    """Scatter of this maker's blows about their seating, shrunk towards the prior.

    Notes
    -----
    ``(nu0 s0^2 + sum d^2) / (nu0 + sum (n - 1))``, d from the seating's median and clipped at 3 s0, so that one wrong
    note does not pass for a clumsy maker.
    """
    groups: dict[Unknown, list[float]] = {}
    for blow in blows:
        groups.setdefault(seating_of(blow), []).append(cents_between(blow.frequency_hz, 440.0))
    limit = 3.0 * priors.blow_sd_cents
    squares = priors.blow_sd_weight * priors.blow_sd_cents**2
    weight = priors.blow_sd_weight
    for cents in groups.values():
        middle = statistics.median(cents)
        squares += sum(min(abs(each - middle), limit) ** 2 for each in cents)
        weight += len(cents) - 1
    return math.sqrt(squares / weight)


def seating_of(blow: Observation) -> Unknown:
    """Which seating a blow belongs to: a plug stays put between sets, what is held by hand is put down anew."""
    held = "" if blow.closure.stop in _SEATED else blow.set_id
    return "seating", f"{blow.letter}/{blow.closure.id}/{blow.seating}/{held}"


def problem_of(
    plan: Plan, blows: tuple[Observation, ...], priors: Priors, blow_sd_cents: float, faults: tuple[str, ...]
) -> Problem:
    """Arrange the blows; closures named in `faults` get an offset of their own."""
    chamber_of = {chamber.letter: chamber for chamber in plan.chambers}
    places: dict[Face, int] = {}
    for blow in blows:
        places.setdefault((chamber_of[blow.letter], blow.closure, blow.temperature_c), len(places))
    face_of_blow = [places[chamber_of[blow.letter], blow.closure, blow.temperature_c] for blow in blows]
    faces = faces_of(plan, list(places), priors)
    seating_sds, sds = _seating_sds(blows, priors, faces, face_of_blow), _prior_sds(plan, blows, priors)
    sds |= {("fault", name): _FAULT_SD_CENTS for name in faults} | seating_sds
    index = {unknown: at for at, unknown in enumerate(sds)}
    heard_cents = np.array([cents_between(o.frequency_hz, chamber_of[o.letter].target_hz) for o in blows])
    errors_cents = np.array([_bounded(o.standard_error_cents, 0.0, 20.0, 20.0) for o in blows])
    return Problem(
        plan, priors, blows, chamber_of, index, np.array(list(sds.values())), heard_cents,
        np.hypot(blow_sd_cents, errors_cents), _seated(blows, list(seating_sds)),
        _fixed_rows(blows, index, len(index) - len(seating_sds), faults), faces,
        np.array(face_of_blow, dtype=np.int64),
        np.array([index["own", chamber.letter] for chamber, _, _ in places], dtype=np.int64),
        np.array([index.get(("depth", closure.id), -1) for _, closure, _ in places], dtype=np.int64),
    )


def foretold(problem: Problem, mean: Vector) -> tuple[Vector, Vector]:
    """What every blow should have read in cents, and its slopes per unit of each unknown but the seatings."""
    index, at_blow = problem.index, problem.face_of_blow
    rows = problem.fixed_rows.copy()
    n_main = rows.shape[1]
    foretold_cents = rows @ mean[:n_main] + mean[n_main:] @ problem.seated
    foretold_cents += rows[:, index["level", ""]] * problem.priors.level_slope_cents_per_db
    if not len(at_blow):
        return foretold_cents, rows
    has_depth = problem.depth_at >= 0
    tones = tones_of(
        problem.faces, problem.priors, mean[index["window", ""]] + mean[problem.own_at],
        np.where(has_depth, mean[problem.depth_at], 0.0), float(mean[index["finger", ""]]),
    )
    blow = np.arange(len(at_blow))
    per_window_log = tones.per_window_log_cents[at_blow]
    rows[:, index["window", ""]] = per_window_log
    rows[:, index["finger", ""]] = tones.per_finger_log_cents[at_blow]
    rows[blow, problem.own_at[at_blow]] = per_window_log
    deep = has_depth[at_blow]
    rows[blow[deep], problem.depth_at[at_blow[deep]]] = tones.per_depth_cents_per_mm[at_blow[deep]]
    return foretold_cents + tones.deviation_cents[at_blow], rows


def _prior_sds(plan: Plan, blows: tuple[Observation, ...], priors: Priors) -> dict[Unknown, float]:
    """Prior standard deviation of every unknown but the seatings that some chamber or blow brings in."""
    sds: dict[Unknown, float] = {
        ("window", ""): priors.window_log_sd,
        ("finger", ""): priors.finger_log_sd,
        ("air", ""): priors.air_sd_cents,
        ("level", ""): priors.level_slope_sd_cents_per_db,
        ("breath", ""): priors.other_breath_sd_cents,
    }
    bare = faces_of(plan, [(chamber, _UNSTOPPED_BY_WOOD, None) for chamber in plan.chambers], priors)
    at_start = _at_prior(bare, priors)
    shares = priors.bore_length_sd_mm * at_start.per_depth_cents_per_mm / at_start.per_window_log_cents
    for chamber, length_share in zip(plan.chambers, shares, strict=True):
        sds["own", chamber.letter] = math.hypot(priors.window_own_sd, length_share)
    for blow in blows:
        if blow.closure.stop is not Stop.FINGER:
            sds["depth", blow.closure.id] = max(_bounded(blow.closure.depth_sd_mm, 0.0, 50.0, 1.0), _EXACT_DEPTH_MM)
        sds["set", blow.set_id] = priors.set_sd_cents
    return sds


def _seating_sds(
    blows: tuple[Observation, ...], priors: Priors, faces: Faces, face_of_blow: list[int]
) -> dict[Unknown, float]:
    """Prior standard deviation of every seating, in cents."""
    slopes = _at_prior(faces, priors).per_depth_cents_per_mm
    sds = {}
    for blow, face in zip(blows, face_of_blow, strict=True):
        seat_cents = priors.seat_sd_mm * float(slopes[face]) if blow.closure.stop in _SEATED else 0.0
        press_cents = priors.press_sd_cents if blow.closure.stop is Stop.FINGER else 0.0
        sds[seating_of(blow)] = math.hypot(math.hypot(seat_cents, press_cents), priors.seating_sd_cents)
    return sds


def _seated(blows: tuple[Observation, ...], seatings: list[Unknown]) -> Vector:
    seated, place = np.zeros((len(seatings), len(blows))), {seating: at for at, seating in enumerate(seatings)}
    for at, blow in enumerate(blows):
        seated[place[seating_of(blow)], at] = 1.0
    return seated


def _at_prior(faces: Faces, priors: Priors) -> Tones:
    nothing = np.zeros(len(faces.length_mm))
    return tones_of(faces, priors, nothing, nothing, 0.0)


def _fixed_rows(
    blows: tuple[Observation, ...], index: dict[Unknown, int], n_main: int, faults: tuple[str, ...]
) -> Vector:
    """Slopes that stay as they are while the solution moves, in cents per unit of each of the first unknowns."""
    rows = np.zeros((len(blows), n_main))
    levels: dict[Unknown, list[float]] = {}
    for blow in blows:
        if blow.level_dbfs is not None:
            levels.setdefault(seating_of(blow), []).append(blow.level_dbfs)
    for row, blow in zip(rows, blows, strict=True):
        row[index["air", ""]] = 1.0
        row[index["set", blow.set_id]] = 1.0
        row[index["breath", ""]] = 0.0 if blow.own_breath else 1.0
        if blow.closure.id in faults and not blow.covered:
            row[index["fault", blow.closure.id]] = 1.0
        if blow.level_dbfs is not None:
            row[index["level", ""]] = blow.level_dbfs - float(np.mean(levels[seating_of(blow)]))
    return rows


def _bounded(value: float, low: float, high: float, otherwise: float) -> float:
    """`value` within its limits; `otherwise` when it is not a number."""
    return otherwise if math.isnan(value) else min(max(value, low), high)
