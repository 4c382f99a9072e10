"""What was said of leaks, wrong bores and flat plugs, counted against what was true."""
from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from tests.bench.tuning.bench_hand import Fate
from tests.bench.tuning.score import Outcome, with_interval

APART_SD = 4.0  # two expected notes further apart than this can be told


def surprises_line(outcomes: list[Outcome], rng: np.random.Generator) -> str:
    """Shares with 95 % intervals bootstrapped by whistle; empty when no advice was given."""
    fates = [(o.whistle, fate) for o in outcomes for fate in o.fates]
    if not sum(o.trims for o in outcomes):
        return ""
    leaks = [(w, f) for w, f in fates if f.leaks and not f.wrong_blows]
    sound = [(w, f) for w, f in fates if not f.leaks and not f.wrong_blows]
    wrong = [(w, f) for w, f in fates if f.wrong_blows and f.apart_sd > APART_SD]
    parts = [
        _share("sound plugs: check asked", sound, lambda f: f.checked, rng),
        _share("accused", sound, lambda f: f.accused, rng),
        _share("leaking plugs: named before a second trim", leaks, lambda f: f.accused and f.trims < 2, rng),
        _share("wrong bore, told apart by more than 4 sd: named", wrong, lambda f: f.named_wrong, rng),
    ]
    trims, flat = sum(o.trims for o in outcomes), sum(o.trims_when_flat for o in outcomes)
    bound = 100 * upper(flat, trims)
    parts.append(f"trims advised when already flat: {flat} of {trims}, upper 95 % bound {bound:.1f} %")
    return "    " + "; ".join(part for part in parts if part)


def upper(events: int, trials: int, confidence: float = 0.95) -> float:
    """Exact one-sided upper bound of a share (Clopper and Pearson 1934, Biometrika 26, 404)."""
    from scipy.stats import beta

    return 1.0 if events >= trials else float(beta.ppf(confidence, events + 1, trials - events))


def _share(
    words: str, fates: list[tuple[int, Fate]], is_so: Callable[[Fate], bool], rng: np.random.Generator
) -> str:
    if not fates:
        return ""
    whistles: NDArray[np.int64] = np.array([whistle for whistle, _ in fates])
    value, low, high = with_interval(np.array([float(is_so(fate)) for _, fate in fates]), whistles, rng)
    return f"{words} {100 * value:.1f} % ({100 * low:.1f}-{100 * high:.1f}) of {len(fates)}"
