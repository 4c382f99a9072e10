"""What earlier whistles taught, in the maker's words; no figure closer than it is known."""
from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from acoustics.tuning import Priors
from acoustics.units import MM_PER_INCH
from app.learned import FIRST, Learned, Teacher
from app.wording import amount_text

FINGER_KNOWN_SHARE = 0.6  # of the first whistle's spread: a finger that hardly taught is not spoken of
MOST_NAMES = 6
SWITCHED_OFF = "What earlier whistles taught is switched off in the preferences: this one begins like a first whistle."
NOTHING = "No earlier whistle of yours has a plug on its note yet: this one begins like a first whistle."
ASIDE = "Set aside for this whistle: it is tuned as if it were your first."


def learned_sentence(learned: Learned, units: str) -> str:
    """One sentence for the bench; empty when nothing was learned."""
    facts = _facts(learned, units)
    return f"Your {'; your '.join(facts)}; {source_text(learned.teachers)}." if facts else ""


def learned_lines(learned: Learned, aside: bool, units: str) -> tuple[str, ...]:
    """All of it, a line each: what was taught, by whom, and what is not known."""
    if learned.switched_off:
        return (SWITCHED_OFF,)
    unread = (unread_text(learned.unread),) if learned.unread else ()
    if not learned.teachers:
        return (NOTHING, *unread)
    lines = [f"Your {fact}." for fact in _facts(learned, units)]
    lines.append(f"This comes {source_text(learned.teachers)}: {_names(learned.teachers)}.")
    if not learned.of_pattern:
        lines.append("No earlier whistle has these bores and windows: of its windows nothing is known yet.")
    if aside:
        lines.append(ASIDE)
    return (*lines, *unread)


def source_text(teachers: Sequence[Teacher]) -> str:
    """ "from 4 whistles of this pattern and 2 others" """
    n_same = sum(teacher.same_pattern for teacher in teachers)
    n_others = len(teachers) - n_same
    if not n_same:
        return f"from {_whistles(n_others)} of other patterns"
    others = f" and {n_others} other{'s' if n_others > 1 else ''}" if n_others else ""
    return f"from {_whistles(n_same)} of this pattern{others}"


def unread_text(unread: Sequence[str]) -> str:
    """One sentence about earlier whistles that teach nothing because their records make no sense."""
    if not unread:
        return ""
    subject = "An earlier whistle" if len(unread) == 1 else f"{len(unread)} earlier whistles"
    tail = "" if len(unread) <= 3 else ", …"
    return (f"{subject} could not be read and teach{'es' if len(unread) == 1 else ''} nothing: "
            f"{', '.join(unread[:3])}{tail}; “whistlewright journal check” looks at the file.")


def learned_json(learned: Learned, aside: bool) -> dict[str, Any]:
    """Where the prior came from, for other programs."""
    priors = FIRST if aside else learned.priors
    return {
        "used": bool(learned.teachers) and not aside, "set_aside": aside, "switched_off": learned.switched_off,
        "whistles": [
            {"id": each.whistle_id, "name": each.name, "same_pattern": each.same_pattern, "blows": each.n_blows}
            for each in learned.teachers
        ],
        "unread": list(learned.unread),
        "window_percent": _window_percent(priors), "window_sd_percent": 100.0 * priors.window_log_sd,
        "finger_mm": math.exp(priors.finger_log), "finger_sd_mm": math.exp(priors.finger_log) * priors.finger_log_sd,
        "blow_scatter_cents": priors.blow_sd_cents,
    }


def _facts(learned: Learned, units: str) -> list[str]:
    """Each begins in the middle of a sentence, after "your"."""
    priors, facts = learned.priors, []
    if learned.of_pattern:
        facts.append(window_text(priors))
    if priors.finger_log_sd < FINGER_KNOWN_SHARE * FIRST.finger_log_sd and any(t.by_finger for t in learned.teachers):
        facts.append(f"finger counts for {finger_text(priors, units)}")
    if learned.teachers:
        facts.append(f"blows scatter by {_cents(max(1, round(priors.blow_sd_cents)))}")
    return facts


def window_text(priors: Priors) -> str:
    """ "windows run 8 % long of the table, give or take 6" """
    percent, sd_percent = _window_percent(priors), max(1, math.ceil(100.0 * priors.window_log_sd - 1e-9))
    shown = round(percent)
    if not shown:
        return f"windows run as the table has them, give or take {sd_percent} %"
    return f"windows run {abs(shown)} % {'long' if shown > 0 else 'short'} of the table, give or take {sd_percent}"


def finger_text(priors: Priors, units: str) -> str:
    """To a tenth of a millimetre or a 64th, and never closer than it is known."""
    finger_mm = math.exp(priors.finger_log)
    if units == "inch":
        return f"about {amount_text(max(1, round(64 * finger_mm / MM_PER_INCH)) * MM_PER_INCH / 64 + 1e-6, units)}"
    step_mm = 0.1 if finger_mm * priors.finger_log_sd < 0.25 else 0.5
    return f"{'' if step_mm == 0.1 else 'about '}{max(step_mm, round(finger_mm / step_mm) * step_mm):.1f} mm"


def _window_percent(priors: Priors) -> float:
    return 100.0 * math.expm1(priors.window_log)


def _cents(n_cents: int) -> str:
    return f"{n_cents} cent{'s' if n_cents != 1 else ''}"


def _whistles(n_whistles: int) -> str:
    return f"{n_whistles} whistle{'s' if n_whistles != 1 else ''}"


def _names(teachers: Sequence[Teacher]) -> str:
    """The newest first, since they weigh most."""
    names = list(dict.fromkeys(teacher.name for teacher in reversed(teachers)))
    more = len(names) - MOST_NAMES
    return ", ".join(names[:MOST_NAMES]) + (f" and {more} more" if more > 0 else "")
