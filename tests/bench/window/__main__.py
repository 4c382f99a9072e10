"""Run by hand: python -m tests.bench.window [--runs R] [--minutes M] [--blows N] [--rest S] [--losses]

The real program on a private screen and a private sound server, each made for this run: how soon it is there, how soon
it answers a blow, what it costs, what it loses, what it says when the device goes. Times are of this machine and hour.
"""
from __future__ import annotations

import argparse
import os
import platform
import subprocess
import tempfile
import time
from pathlib import Path

from app.practice import Performer
from tests.bench.window.drawing import measure_drawing
from tests.bench.window.home import laid_out_home
from tests.bench.window.losses import lose_devices
from tests.bench.window.maker import Breath, SoundingMaker
from tests.bench.window.program import WatchedProgram
from tests.bench.window.screen import private_screen, windows_seen
from tests.bench.window.start import measure_start
from tests.bench.window.walk import (
    Sample,
    answers,
    gather_ends,
    print_answers,
    print_cost,
    print_halves,
    print_row,
    sample,
)
from tests.microphone.virtual_sound import RATE_HZ, VirtualSound, missing_tools

SAMPLE_EVERY_S, ROW_EVERY_S = 5.0, 600.0


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.window", description=__doc__)
    parser.add_argument("--runs", type=int, default=5, help="times to start it; 0 for none (default 5)")
    parser.add_argument("--seconds", type=float, default=10.0, help="how long to draw alone (default 10)")
    parser.add_argument("--minutes", type=float, default=2.0, help="how long to listen at least (default 2)")
    parser.add_argument("--blows", type=int, default=30, help="how many blows to time at least (default 30)")
    parser.add_argument("--rest", type=float, default=0.0, help="s between blows, beside the maker's own (default 0)")
    parser.add_argument("--seed", type=int, default=5, help="of the invented whistle and maker (default 5)")
    parser.add_argument("--losses", action="store_true", help="lose the device afterwards, in three ways")
    options = parser.parse_args()
    if missing := missing_tools():
        parser.exit(2, f"A virtual sound server needs: {', '.join(missing)}.\n")
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    with private_screen() as screen, tempfile.TemporaryDirectory() as folder:
        server = VirtualSound(Path(folder))
        os.environ.update(server.client_environment)
        server.start()
        try:
            if options.runs:
                measure_start(options.runs)
            if options.seconds:
                frames, share = measure_drawing(options.seconds)
                print(f"\ndrawing alone, {frames:.1f} frames a second: {share:.1%} of one core", flush=True)
            if options.minutes or options.blows or options.losses:
                watch_walk(options, server, screen)
        finally:
            server.stop()


def watch_walk(options: argparse.Namespace, server: VirtualSound, screen: subprocess.Popen[bytes]) -> None:
    with tempfile.TemporaryDirectory() as home:
        maker = laid_out_home(Path(home), options.seed)
        breath = Breath(server.server)
        program = WatchedProgram("--home", home)
        try:
            program.wait_for("painted")
            program.wait_for("view", lambda view: view["hearing_ok"])
            print(f"\nthe X server sees {windows_seen('Whistlewright')} window of the program")
            sounding = SoundingMaker(Performer(maker, RATE_HZ), program, breath, options.rest)
            samples = listen(options, program, breath, screen.pid)
            sounding.leave()
            time.sleep(2.0)
            report(program, breath, samples)
            if options.losses:
                lose_devices(program, breath, server)
        finally:
            program.end()
            breath.leave()


def listen(options: argparse.Namespace, program: WatchedProgram, breath: Breath, screen_pid: int) -> list[Sample]:
    samples = [sample(program, screen_pid)]
    until_s = samples[0].at_s + 60.0 * options.minutes
    row = samples[0]
    while len(samples) < 2 or samples[-1].at_s < until_s or breath.ends.qsize() < options.blows:
        time.sleep(SAMPLE_EVERY_S)
        samples.append(sample(program, screen_pid))
        if samples[-1].at_s >= row.at_s + ROW_EVERY_S:  # what only creeps is seen by rows
            print_row(samples[0], row, samples[-1], breath.ends.qsize())
            row = samples[-1]
    return samples


def report(program: WatchedProgram, breath: Breath, samples: list[Sample]) -> None:
    ends = gather_ends(breath)
    told = sorted((t for what in ("read", "taken", "painted") for t in program.told(what)), key=lambda t: t["t_s"])
    found, unread, unseen = answers(ends, told)
    print_answers(found, unread, unseen)
    print_cost(samples)
    print_halves(found)


if __name__ == "__main__":
    main()
