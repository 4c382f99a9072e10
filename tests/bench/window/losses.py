"""The device goes in the middle of a blow while the window is up, and comes back: what the screen says, and when."""
from __future__ import annotations

import time

from tests.bench.window.maker import Breath, end_frame, long_blow
from tests.bench.window.program import Told, WatchedProgram
from tests.microphone.virtual_sound import VirtualSound

WAYS = (("unplug", "plug"), ("suspend", "resume"), ("crash", "start"))
LONG_S, INTO_IT_S, AWAY_S = 6.0, 2.0, 4.0


def lose_devices(program: WatchedProgram, breath: Breath, server: VirtualSound) -> None:
    """Nobody answers the walk meanwhile: what is blown here is this bench's own."""
    print("\ndevice lost in mid-blow, window up (s)")
    for lose, restore in WAYS:
        program.wait_for_next("sound", len(program.told("sound")))
        breath.put(long_blow(700.0, LONG_S))
        time.sleep(INTO_IT_S)
        lost_s = time.monotonic()
        getattr(server, lose)()
        gone = program.wait_for("view", lambda v, at=lost_s: v["t_s"] > at and not v["hearing_ok"])
        painted = program.wait_for("painted", lambda p, at=gone["t_s"]: p["t_s"] >= at)
        time.sleep(AWAY_S)
        asked_s = time.monotonic()
        getattr(server, restore)()
        back_s = time.monotonic()
        again = program.wait_for("view", lambda v, at=asked_s: v["t_s"] > at and v["hearing_ok"])
        print(f"  {lose:8} said after {painted['t_s'] - lost_s:.2f}; hearing again {again['t_s'] - asked_s:.2f} after "
              f"asking for it back, {again['t_s'] - back_s:+.2f} after its first sample; ", end="")
        print(_blow_afterwards(program, breath))
        _print_screen(program, lost_s, again["t_s"])


def _blow_afterwards(program: WatchedProgram, breath: Breath) -> str:
    sound = long_blow(700.0, 1.2)
    time.sleep(1.5)  # the finder learns the room anew
    began_s = time.monotonic()
    breath.put(sound, end_frame(sound)).wait()
    read = program.wait_for("read", lambda r, at=began_s: r["t_s"] > at)
    return f"the next blow was read: {read['verdict']}"


def _print_screen(program: WatchedProgram, from_s: float, to_s: float) -> None:
    shown: set[str] = set()
    for view in program.told("view"):
        if from_s < view["t_s"] <= to_s:
            words = _words(view)
            if words not in shown:
                shown.add(words)
                print(f"           {view['t_s'] - from_s:5.2f}  {words}")


def _words(view: Told) -> str:
    trouble = f" | {view['trouble']}" if view["trouble"] else ""
    return f"{view['hearing']} | {', '.join(view['sentence'])}{trouble}"
