"""What a front end (window or terminal) is started with."""
from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from app.settings import Settings


@dataclass(frozen=True)
class Context:
    """Where things lie and how this run was asked for. `app.ui.main.run_window` and `app.headless.run_text` take it."""

    home: Path  # everything the program writes lies under it
    settings: Settings
    journal_path: Path
    practice: bool = False  # an invented whistle and maker instead of the microphone
    seed: int | None = None  # of the invented whistle; None draws one
    fast: bool = False  # practice only: faster than real time
    trouble: str = ""  # one sentence about the start, to be shown; empty when all was well
