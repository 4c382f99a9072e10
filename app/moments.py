"""A moment in words, by the maker's own day."""
from __future__ import annotations

from datetime import datetime, timedelta

# Not asked of the system: a window library may have changed its language.
DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
          "December")


def moment_text(at_utc: str, now_utc: str) -> str:
    """ "today, 17:40", "tomorrow, 08:10", "Thursday 27 November, 15:10": where the maker is, up to a whole minute."""
    at = (datetime.fromisoformat(at_utc) + timedelta(seconds=59)).astimezone()
    days = (at.date() - datetime.fromisoformat(now_utc).astimezone().date()).days
    day = {0: "today", 1: "tomorrow"}.get(days, f"{DAYS[at.weekday()]} {at.day} {MONTHS[at.month - 1]}")
    return f"{day}, {at:%H:%M}"
