"""How soon the program is there: from the command to the window, and to the first sentence."""
from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.bench.window.home import laid_out_home
from tests.bench.window.program import ROOT, WatchedProgram

SEED = "5"
Times = dict[str, list[tuple[float, float]]]  # wall and processor seconds, by what was reached


def measure_start(runs: int) -> None:
    """Print a table; the first run of each kind warms the disk and is left out."""
    print(f"\nfrom the command, {runs} runs each, s: median wall (best, worst), median processor")
    for name, once in (("window, practice whistle", _practice), ("window, own whistle", _own_whistle)):
        found: Times = {"window": [], "painted": []}
        for number in range(runs + 1):
            times = once()
            if number:
                for what, pair in times.items():
                    found[what].append(pair)
        for what, words in (("window", "first painting"), ("painted", "first sentence painted")):
            wall, cpu = zip(*found[what], strict=True)
            _row(f"{name}: {words}", wall, cpu)
    wall = [_text() for _ in range(runs + 1)][1:]
    _row("demo --text: first sentence printed", wall, None)
    print(f"  load of the machine meanwhile {os.getloadavg()[0]:.1f}")


def _row(name: str, wall: tuple[float, ...] | list[float], cpu: tuple[float, ...] | None) -> None:
    cpu_text = f"{statistics.median(cpu):6.2f}" if cpu else ""
    print(f"  {name:50}{statistics.median(wall):5.2f} ({min(wall):.2f}, {max(wall):.2f}){cpu_text}")


def _practice() -> dict[str, tuple[float, float]]:
    with tempfile.TemporaryDirectory() as home:
        return _watch("demo", "--seed", SEED, "--home", home)


def _own_whistle() -> dict[str, tuple[float, float]]:
    with tempfile.TemporaryDirectory() as home:
        laid_out_home(Path(home), int(SEED))
        return _watch("--home", home)


def _watch(*arguments: str) -> dict[str, tuple[float, float]]:
    program = WatchedProgram(*arguments, leaves=True)
    times = {}
    for what in ("window", "painted"):
        told = program.wait_for(what)
        times[what] = (told["t_s"] - program.started_s, told["cpu_s"])
    if program.wait() != 0:
        raise SystemExit("the program did not end well")
    return times


def _text() -> float:
    """The sentence is the first line that names its stage in brackets."""
    with tempfile.TemporaryDirectory() as home:
        words = [sys.executable, "-m", "app", "demo", "--text", "--seed", SEED, "--home", home]
        began_s = time.monotonic()
        walk = subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, text=True)
        assert walk.stdout is not None
        took_s = next((time.monotonic() - began_s for line in walk.stdout if line.startswith("[")), None)
        walk.terminate()
        walk.communicate()
    if took_s is None:
        raise SystemExit("the walk on the terminal printed no sentence")
    return took_s
