"""How long glue wants, and a bore keeps warm: written times are added and compared, and no clock is asked.

All spans are common practice, no source; what the glue's own sheet says comes first.
"""
from __future__ import annotations

from datetime import datetime, timedelta

OPEN = timedelta(minutes=10)  # water-based: a plug can still be moved
NIGHT = timedelta(hours=10)  # what is blown this much later is another day's
IDLE = timedelta(minutes=10)  # without a blow: the bores have cooled
CURE = timedelta(hours=24)  # instant glue and epoxy: no lips before


def after(at_utc: str, span: timedelta) -> str:
    return (datetime.fromisoformat(at_utc) + span).isoformat()


def is_past(due_utc: str, now_utc: str) -> bool:
    return datetime.fromisoformat(now_utc) >= datetime.fromisoformat(due_utc)


def latest(*times_utc: str) -> str:
    """The latest of those that are known; empty when none is."""
    return max((each for each in times_utc if each), key=datetime.fromisoformat, default="")
