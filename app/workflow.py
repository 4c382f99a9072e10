"""The walk as a pure function: ``step(state, event) -> (state, effects)``.

No window, database, device or clock: time comes in events, and a step counts only once its record is confirmed.
"""
from __future__ import annotations

from app.events import *  # noqa: F401,F403  (skeleton)
