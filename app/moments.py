"""A moment in words, by the maker's own day."""
from __future__ import annotations

from datetime import datetime, timedelta

# Not asked of the system: a window library may have changed its language.
DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
          "December")


def moment_text(at_utc: str, now_utc: str) -> str:
    """ "today, 17:40", "tomorrow, 08:10", "Thursday 27 November, 15:10": where the maker is, up to a whole minute."""
    at, days = _at(at_utc, now_utc)
    day = {0: "today", 1: "tomorrow"}.get(days, f"{DAYS[at.weekday()]} {at.day} {MONTHS[at.month - 1]}")
    return f"{day}, {at:%H:%M}"


def clock_and_day(at_utc: str, now_utc: str) -> tuple[str, str]:
    """The same for large letters: ("17:40", ""), ("08:10", "next day"), ("15:10", "on Thu")."""
    at, days = _at(at_utc, now_utc)
    return f"{at:%H:%M}", {0: "", 1: "next day"}.get(days, f"on {DAYS[at.weekday()][:3]}")


def _at(at_utc: str, now_utc: str) -> tuple[datetime, int]:
    """Up to a whole minute, and how many of the maker's days from now."""
    at = (datetime.fromisoformat(at_utc) + timedelta(seconds=59)).astimezone()
    return at, (at.date() - datetime.fromisoformat(now_utc).astimezone().date()).days
