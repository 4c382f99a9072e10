"""Runs the command line in this process, with a home of its own, and keeps what came out of both descriptors."""
from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from app.__main__ import main
from app.home import stop_log
from app.journal import Journal

HARBOUR = Path(__file__).resolve().parents[2] / "sample_audio" / "harbour-major-sixth.whistle.json"


@dataclass
class Run:
    """One finished command."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out, parse_constant=lambda name: (_ for _ in ()).throw(AssertionError(name)))


class CommandLine:
    """`run("journal", "list")` as if it were typed."""

    def __init__(self, home: Path, capfd: Any) -> None:
        self.home, self._capfd = home, capfd

    def __call__(self, *words: object) -> Run:
        self._capfd.readouterr()
        try:
            code = main(["--home", str(self.home), *map(str, words)])
        finally:
            stop_log()
        return Run(code, *self._capfd.readouterr())

    def fine(self, *words: object) -> Run:
        """Run what must work: nothing on standard error, exit code 0."""
        run = self(*words)
        assert (run.code, run.err) == (0, "")
        return run

    def records(self) -> tuple[Any, ...]:
        with Journal(self.home / "journal.sqlite") as journal:
            return journal.records()
