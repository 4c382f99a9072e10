"""The watched program as seen from outside: what it told, what it is asking, what it costs by the system's account."""
from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from acoustics.tuning import Stop
from app.events import Request, Task

ROOT = Path(__file__).resolve().parents[3]
TICKS_PER_S = os.sysconf("SC_CLK_TCK")
PAGE_MB = os.sysconf("SC_PAGE_SIZE") / 1e6
Told = dict[str, Any]


class WatchedProgram:
    """Started with its command line; what it tells is gathered until it ends."""

    def __init__(self, *arguments: str, leaves: bool = False) -> None:
        words = [sys.executable, "-m", "tests.bench.window.watched", "leave" if leaves else "stay", *arguments]
        self._changed = threading.Condition()
        self._told: list[Told] = []  # this and the next two are guarded by `_changed`
        self._asked: Request | None = None
        self._over = False
        self.started_s = time.monotonic()
        self._process = subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE)
        self._thread = threading.Thread(target=self._listen, daemon=True)
        self._thread.start()

    @property
    def pid(self) -> int:
        return self._process.pid

    def told(self, what: str) -> list[Told]:
        with self._changed:
            return [each for each in self._told if each["what"] == what]

    def wait_for(self, what: str, wanted: Callable[[Told], bool] = lambda told: True, limit_s: float = 60.0) -> Told:
        """The first of these that is wanted, already told or to come."""
        seen, until_s = 0, time.monotonic() + limit_s
        with self._changed:
            while True:
                for told in self._told[seen:]:
                    if told["what"] == what and wanted(told):
                        return told
                seen = len(self._told)
                if self._over or not self._changed.wait(until_s - time.monotonic()):
                    raise SystemExit(f"the program told no “{what}” that was waited for within {limit_s:g} s")

    def wait_for_next(self, what: str, n_before: int) -> Told:
        """The one after the first `n_before` of these."""
        seen = [0]

        def counted(_told: Told) -> bool:
            seen[0] += 1
            return seen[0] > n_before

        return self.wait_for(what, counted)

    def asked(self, newer_than: int | None, patience_s: float) -> Request | None:
        """What is asked now: at once when it is new, else after waiting as long as the maker's patience."""
        with self._changed:
            self._changed.wait_for(lambda: self._asked is not None and self._asked.id != newer_than, patience_s)
            return self._asked

    def cpu_s(self) -> float:
        return process_cpu_s(self.pid)

    def main_cpu_s(self) -> float:
        return process_cpu_s(f"{self.pid}/task/{self.pid}")

    def resident_mb(self) -> float:
        return int(Path(f"/proc/{self.pid}/statm").read_text().split()[1]) * PAGE_MB

    def end(self) -> None:
        self._process.terminate()
        self.wait()

    def wait(self) -> int:
        code = self._process.wait(60)
        self._thread.join()
        return code

    def _listen(self) -> None:
        assert self._process.stdout is not None
        for line in self._process.stdout:
            told = json.loads(line)
            with self._changed:
                self._told.append(told)
                if told["what"] == "asked":
                    self._asked = _request(told)
                self._changed.notify_all()
        with self._changed:
            self._over = True
            self._changed.notify_all()


def process_cpu_s(pid: int | str) -> float:
    """Processor time of a process with all its threads, or of ``pid/task/thread``, as the kernel counts it."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / TICKS_PER_S


def _request(told: Told) -> Request:
    stop = Stop(told["stop"]) if told["stop"] else None
    return Request(
        told["id"], Task(told["task"]), told["letter"], stop, told["depth_mm"], told["amount_mm"], told["text"],
    )
