"""How well any listener could do in this world: a seat that no measurement removes, and perfect books on one number.

The bookkeeper knows every spread of the world, starts from the spread that the fit has before its first cut, keeps
exact account of one normal belief a chamber, and follows the program's own outlook: what a better fit could add then.
"""
from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from acoustics.outlook import Outlook, Stakes, outlook
from tests.simulation.world import Customs

Vector = NDArray[np.float64]
CENTS_PER_MM = {"A": 12.9, "B": 16.2, "C": 19.3, "D": 21.7}  # middle of the world: 640 Hz and a major sixth on it
BREATH_CENTS = (2.8, 3.75, 4.7)  # thirds of 2.5 to 5
SET_CENTS = 0.98  # 2.95 cents a degree, a uniform 0.4 to 0.8 of a uniform 0 to 5 degrees
# What the fit believes of each chamber before its first cut, mean over 80 whistles; by slug after five blows at three
# depths, one more than the walk asks for now.
FIRST_SD_CENTS = {
    "finger": (5.0, 5.0, 4.6, 4.7), "slug": (2.5, 2.7, 2.9, 3.2),
    "slug+9": (1.3, 1.4, 1.5, 1.6),  # nine slug blows more, each at a depth of its own, before anything is cut
}
FIRST_BLOWS = {"finger": 3.6, "slug": 5.0, "slug+9": 14.0}
STATED_MM = (0.05, 0.15)  # plugs measured, or assumed
TOLERANCE_CENTS, FLAT_RISK, MOST_BLOWS, SET_BLOWS = 5.0, 0.12, 12, 5
STAKES = ((15.0, 0.08), (30.0, 0.08), (45.0, 0.08), (60.0, 0.05), (60.0, 0.02))  # a miss and a blow, in cuts
N_EACH = 150


def floors_table(seed: int) -> str:
    lines = ["", "seat alone: heard without error, within 5 c of its mean place after so many seatings, %",
             "seatings " + "  ".join(f"{letter:>5s}" for letter in CENTS_PER_MM) + "    all"]
    for n_seatings in (1, 2, 3, 4):
        shares = [seat_share(slope, n_seatings) for slope in CENTS_PER_MM.values()]
        shares.append(float(np.mean(shares)))
        lines.append(f"{n_seatings:8d} " + "  ".join(f"{100 * share:5.1f}" for share in shares))
    lines += ["", "perfect books: the frontier by what a miss and a blow are held to cost, in cuts",
              "route   miss  blow   cuts  p95  3 or more %  4 or more %  blows  within 5 c %"]
    for route in FIRST_SD_CENTS:
        for miss_cost, blow_cost in STAKES:
            lines.append(frontier_line(route, miss_cost, blow_cost, seed))
    lines += ["", "perfect books by finger, miss 30, blow 0.08: where cuts and misses come from",
              "chamber  plugs     cuts  3 or more %  4 or more %  blows  within 5 c %"]
    for at, letter in enumerate(CENTS_PER_MM):
        lines += [chamber_line(letter, FIRST_SD_CENTS["finger"][at], stated_mm, seed) for stated_mm in STATED_MM]
    return "\n".join(lines)


def chamber_line(letter: str, first_sd_cents: float, stated_mm: float, seed: int) -> str:
    rng, words = np.random.default_rng(seed), "measured" if stated_mm < Customs().cut_sd_mm else "assumed"
    ends = [Books(CENTS_PER_MM[letter], first_sd_cents, breath, stated_mm, 30.0, 0.08, rng).run()
            for breath in BREATH_CENTS]
    cuts, blows, true = (np.concatenate(parts) for parts in zip(*ends, strict=True))
    three, four, within = (100 * np.mean(so) for so in (cuts >= 3, cuts >= 4, np.abs(true) <= TOLERANCE_CENTS))
    return (f"{letter:8s} {words:8s} {cuts.mean():5.2f} {three:12.1f} {four:12.1f} "
            f"{blows.mean() + FIRST_BLOWS['finger']:6.1f} {within:13.1f}")


def seat_share(cents_per_mm: float, n_seatings: int) -> float:
    """Of a plug put where the mean of so many seatings sounded right: only the seat is left to chance."""
    sd_cents = Customs().seat_sd_mm * cents_per_mm / math.sqrt(n_seatings)
    return math.erf(TOLERANCE_CENTS / sd_cents / math.sqrt(2.0))


def frontier_line(route: str, miss_cost: float, blow_cost: float, seed: int) -> str:
    rng = np.random.default_rng(seed)
    ends = [
        Books(slope, first_sd, breath, stated, miss_cost, blow_cost, rng).run()
        for slope, first_sd in zip(CENTS_PER_MM.values(), FIRST_SD_CENTS[route], strict=True)
        for breath in BREATH_CENTS for stated in STATED_MM
    ]
    cuts, blows, true = (np.concatenate(parts) for parts in zip(*ends, strict=True))
    p95, blow_mean = np.quantile(cuts, 0.95, method="higher"), blows.mean() + FIRST_BLOWS[route]
    three, four, within = (100 * np.mean(so) for so in (cuts >= 3, cuts >= 4, np.abs(true) <= TOLERANCE_CENTS))
    return (f"{route:7s} {miss_cost:4.0f} {blow_cost:5.2f} {cuts.mean():6.2f} {p95:4.0f} {three:12.1f} {four:12.1f} "
            f"{blow_mean:6.1f} {within:13.1f}")


@dataclass
class _State:
    """Many chambers at once: truth, mean and variance of the note, and of the set it is blown in."""

    true: Vector
    mean: Vector
    variance: Vector
    set_true: Vector
    set_mean: Vector
    set_variance: Vector
    shared: Vector
    cuts: Vector
    blows: Vector
    on_face: Vector
    in_set: Vector


class Books:
    """The bookkeeper at one note, breath and caliper, on `N_EACH` chambers."""

    def __init__(
        self, cents_per_mm: float, first_sd_cents: float, breath_cents: float, stated_mm: float, miss_cost: float,
        blow_cost: float, rng: np.random.Generator,
    ) -> None:
        self.rng, self.measured = rng, stated_mm < Customs().cut_sd_mm
        self.landing, self.stated = Customs().cut_sd_mm * cents_per_mm, stated_mm * cents_per_mm
        self.blow_sd = math.hypot(breath_cents, Customs().seat_sd_mm * cents_per_mm)
        self.outlooks = [outlook(Stakes(
            TOLERANCE_CENTS, FLAT_RISK, self.landing, self.stated, math.hypot(self.blow_sd, SET_CENTS), False,
            cut_cost=Stakes.cut_cost * growth, push_cost=Stakes.push_cost * growth, miss_cost=miss_cost,
            blow_cost=blow_cost)) for growth in (1.0, 2.0, 4.0)]
        zeros = [np.zeros(N_EACH) for _ in range(9)]
        true = rng.normal(0.0, first_sd_cents, N_EACH)
        self.now = _State(true, zeros[0], np.full(N_EACH, first_sd_cents**2), *zeros[1:])

    def run(self) -> tuple[Vector, Vector, Vector]:
        """Cuts, blows and the true note of every chamber when it is left."""
        now = self.now
        for at in range(N_EACH):
            self._move(at, self._aim(self.outlooks[0], math.sqrt(now.variance[at]), 40.0)[0])
            while not self._leaves(at):
                pass
        return now.cuts, now.blows, now.true

    def _leaves(self, at: int) -> bool:
        now = self.now
        mean, sd = float(now.mean[at]), math.sqrt(now.variance[at])
        ahead = self.outlooks[min(int(now.cuts[at]) - 1, 2)]
        aim, move = self._aim(ahead, sd, min(mean, 40.0))
        move = move + ahead.stakes.cut_cost if mean > ahead.lowest_aim_cents(sd) else math.inf
        if mean < 0.0:
            pushed, loss = ahead.best_aim(sd, max(mean, -10.0), 40.0)
            if loss + ahead.stakes.push_cost < move:
                aim, move = pushed, loss + ahead.stakes.push_cost
        blow = ahead.blow_loss(mean, sd) if now.on_face[at] < MOST_BLOWS else math.inf
        leave = ahead.leave_loss(mean, sd)
        if now.on_face[at] < 2 or blow < min(leave, move):
            self._blow(at)
        elif move < leave:
            self._move(at, aim)
        else:
            return True
        return False

    def _aim(self, ahead: Outlook, sd_cents: float, high_cents: float) -> tuple[float, float]:
        low_cents = ahead.lowest_aim_cents(sd_cents)
        return ahead.best_aim(sd_cents, low_cents, max(high_cents, low_cents))

    def _move(self, at: int, aim_cents: float) -> None:
        now, landed = self.now, self.rng.normal(0.0, self.landing)
        now.true[at] += aim_cents - now.mean[at] + landed
        now.mean[at] = aim_cents + (landed + self.rng.normal(0.0, self.stated) if self.measured else 0.0)
        now.variance[at] += self.stated**2
        now.cuts[at] += 1
        now.on_face[at] = 0
        self._new_set(at)

    def _new_set(self, at: int) -> None:
        now = self.now
        now.set_true[at], now.set_mean[at] = self.rng.normal(0.0, SET_CENTS), 0.0
        now.set_variance[at], now.shared[at], now.in_set[at] = SET_CENTS**2, 0.0, 0

    def _blow(self, at: int) -> None:
        """One blow on a seating of its own: Kalman's step on note and set."""
        now = self.now
        if now.in_set[at] >= SET_BLOWS:
            self._new_set(at)
        heard = now.true[at] + now.set_true[at] + self.rng.normal(0.0, self.blow_sd)
        on_note, on_set = now.variance[at] + now.shared[at], now.shared[at] + now.set_variance[at]
        total = on_note + on_set + self.blow_sd**2
        off = heard - now.mean[at] - now.set_mean[at]
        now.mean[at] += on_note / total * off
        now.set_mean[at] += on_set / total * off
        now.variance[at] -= on_note**2 / total
        now.set_variance[at] -= on_set**2 / total
        now.shared[at] -= on_note * on_set / total
        now.blows[at] += 1
        now.on_face[at] += 1
        now.in_set[at] += 1
