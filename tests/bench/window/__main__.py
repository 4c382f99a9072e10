"""How soon the window is there, and what drawing costs: ``python -m tests.bench.window [--runs 5] [--seconds 10]``.

Start: the real command is run on a practice whistle; wall and processor time from the command until the window is
shown, and until it shows the walk. Other programs on the machine lengthen wall time, not processor time.
Drawing: a window with three blows running through its breath line at 15 frames a second; share of one core.
Without DISPLAY everything is drawn off screen, which leaves the window system out.
"""
from __future__ import annotations

import argparse
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
WATCHED = """
import sys, time
def told(what):
    print(what, time.time(), time.process_time(), flush=True)
from app.__main__ import main
import app.ui.window as window
show, view = window.BenchWindow.showEvent, window.BenchWindow.show_view
def shown(self, event):
    show(self, event)
    told("window")
def viewed(self, new):
    view(self, new)
    self.repaint()
    told("walk")
    from PySide6.QtWidgets import QApplication
    QApplication.quit()
window.BenchWindow.showEvent, window.BenchWindow.show_view = shown, viewed
sys.exit(main(["demo", "--seed", "5", "--home", sys.argv[1]]))
"""


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--seconds", type=float, default=10.0)
    arguments = parser.parse_args()
    if not os.environ.get("DISPLAY"):
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
    measure_start(arguments.runs)
    measure_drawing(arguments.seconds)


def measure_start(runs: int) -> None:
    found: dict[str, list[tuple[float, float]]] = {"window": [], "walk": []}
    for _ in range(runs):
        with tempfile.TemporaryDirectory() as home:
            began_s = time.time()
            command = [sys.executable, "-c", WATCHED, home]
            said = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=120, check=False)
        for what, at_s, cpu_s in re.findall(r"^(\w+) ([\d.]+) ([\d.]+)$", said.stdout + said.stderr, re.MULTILINE):
            found[what].append((float(at_s) - began_s, float(cpu_s)))
    for what, times in found.items():
        if not times:
            raise SystemExit(f"the {what} was never shown: {said.stderr[-400:]}")
        wall, cpu = zip(*times, strict=True)
        print(f"{what:7} after {statistics.median(wall):.2f} s (wall, best {min(wall):.2f}), "
              f"{statistics.median(cpu):.2f} s of processor, {len(times)} runs, load {os.getloadavg()[0]:.1f}")


def measure_drawing(duration_s: float) -> None:
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication

    from app.settings import Settings
    from app.ui.bridge import FRAME_MS
    from app.ui.window import BenchWindow
    from tests.ui.sample_views import TRIM
    from tests.ui.shots import BreathDot, invented_breath

    app = QApplication([])
    window = BenchWindow(lambda event: None, Settings(theme="light"))
    window.show_view(TRIM)
    window.show()
    points = invented_breath()
    began_s, frames = time.monotonic(), 0

    def draw() -> None:
        nonlocal frames
        frames += 1
        late_s = time.monotonic() - began_s
        window.show_breath([BreathDot(p.at_s + late_s, p.level_dbfs, p.heard_hz) for p in points])

    timer = QTimer()
    timer.timeout.connect(draw)
    timer.start(FRAME_MS)
    QTimer.singleShot(round(duration_s * 1000), app.quit)
    app.processEvents()
    cpu_s = time.process_time()
    app.exec()
    spent_s = time.process_time() - cpu_s
    print(f"drawing {frames / duration_s:.1f} frames a second takes {spent_s / duration_s:.1%} of one core")


if __name__ == "__main__":
    main()
