"""Run by hand: python -m tests.bench.listening [--minutes M] [--losses N] [--blows N]

Listens on a virtual sound server, without a window, and prints tables. Times are of this machine and this hour.
"""
from __future__ import annotations

import argparse
import os
import platform
import statistics
import tempfile
import time
from pathlib import Path

from app.source import Hearing
from tests.bench.listening.measured import MeasuredEars, resident_mb
from tests.bench.listening.players import BlowPlayer
from tests.microphone.virtual_sound import VirtualSound, missing_tools

WAYS = (("unplug", "plug"), ("suspend", "resume"), ("crash", "start"))


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.listening", description=__doc__)
    parser.add_argument("--minutes", type=float, default=2.0, help="how long to listen (default 2)")
    parser.add_argument("--losses", type=int, default=3, help="how often to lose the device in each way (default 3)")
    parser.add_argument("--blows", type=int, default=30, help="blows whose end is timed (default 30)")
    options = parser.parse_args()
    if missing := missing_tools():
        parser.exit(2, f"A virtual sound server needs: {', '.join(missing)}.\n")
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    with tempfile.TemporaryDirectory() as folder:
        server = VirtualSound(Path(folder))
        os.environ.update(server.client_environment)
        server.start()
        try:
            listen_long(server, options.minutes)
            time_ends(server, options.blows)
            lose_devices(server, options.losses)
        finally:
            server.stop()


def listen_long(server: VirtualSound, minutes: float) -> None:
    """Cost and losses while a blow sounds about every three seconds."""
    with MeasuredEars() as ears, BlowPlayer(server):
        ears.wait_for_state(Hearing.HEARING)
        ears.begin_count()
        began_s, cpu_s, memory = time.monotonic(), time.process_time(), []
        # The player that stands in for the maker runs in this process too: its thread is told apart.
        idle_cpu_s = BlowPlayer.cpu_s()
        while time.monotonic() - began_s < 60.0 * minutes:
            time.sleep(1.0)
            memory.append(resident_mb())
        took_s, listener_s = time.monotonic() - began_s, ears.listener_cpu_s()
        cpu_s = time.process_time() - cpu_s - (BlowPlayer.cpu_s() - idle_cpu_s)
        frames, calls, lost, blows, slowest_s = ears.end_count()
    print(f"\nlistening {took_s / 60.0:.1f} min, one blow about every 3 s")
    print(f"  callbacks           {calls} of {took_s * 100.0:.0f} expected by the clock; frames {frames}")
    print(f"  lost frames         {lost}")
    print(f"  blows heard         {blows}")
    print(f"  share of one core   {100.0 * cpu_s / took_s:.1f} %, of it the listening thread "
          f"{100.0 * listener_s / took_s:.1f} %; other load on the machine {os.getloadavg()[1]:.1f}")
    print(f"  longest time in one block's work {1000.0 * slowest_s:.1f} ms")
    settled = memory[min(len(memory) - 1, 60 if minutes > 1.5 else len(memory) // 3)]
    growth = 100.0 * (memory[-1] / settled - 1.0)
    print(f"  memory              {settled:.1f} MB settled, {memory[-1]:.1f} MB at the end ({growth:+.1f} %)")


def time_ends(server: VirtualSound, n_blows: int) -> None:
    """From the sound 20 dB down, as it is handed to the sound server, to the blow's event."""
    if n_blows < 1:
        return
    delays_ms, n_pieces = [], 0
    with MeasuredEars() as ears, BlowPlayer(server, n_blows) as player:
        for ended_s in player.ends():
            told_s, pieces = ears.wait_for_usable_blow(ended_s)
            delays_ms.append(1000.0 * (told_s - ended_s))
            n_pieces += pieces
    delays_ms.sort()
    print(f"\nend of blow (20 dB down at the source) to its event, {n_blows} blows")
    print(f"  median {statistics.median(delays_ms):.0f} ms, 95 % {delays_ms[int(0.95 * (n_blows - 1))]:.0f} ms, "
          f"worst {delays_ms[-1]:.0f} ms; {n_pieces} blows were broken by the player")


def lose_devices(server: VirtualSound, n_times: int) -> None:
    """How soon a loss is said, and how soon after its end sound is heard again."""
    if n_times < 1:
        return
    print(f"\nlosing the device, {n_times} times each: median (worst), s")
    print("  way       said       heard again, from asking for it    from its being back")
    for lose, restore in WAYS:
        said, from_asking, from_back = [], [], []
        for _ in range(n_times):
            with MeasuredEars() as ears:
                ears.wait_for_state(Hearing.HEARING)
                ears.listen_a_while()
                at_s = time.monotonic()
                getattr(server, lose)()
                said.append(ears.wait_for_state(Hearing.LOST) - at_s)
                at_s = time.monotonic()
                getattr(server, restore)()
                back_s = time.monotonic()
                heard_s = ears.wait_for_state(Hearing.HEARING)
                from_asking.append(heard_s - at_s)
                from_back.append(heard_s - back_s)
        columns = [f"{statistics.median(times):5.2f} ({max(times):.2f})" for times in (said, from_asking, from_back)]
        print(f"  {lose:8}{columns[0]:16}{columns[1]:30}{columns[2]}")
    print("  (the virtual device itself needs about 2 s before it sounds; it is back when its first sample flows)")


if __name__ == "__main__":
    main()
