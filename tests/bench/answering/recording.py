"""`hear` on a long recording of invented blows, run as a command at a terminal, so that its progress bar is drawn."""
from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

import numpy as np
import soundfile

from acoustics.synthesis import BlowRecipe, render_blow, room_noise

ROOT = Path(__file__).resolve().parents[3]
RATE_HZ, PERIOD_S = 48_000, 5.0


def write_recording(path: Path, minutes: float) -> list[float]:
    """One blow of known pitch every five seconds in a quiet room; the pitches in their order."""
    rng = np.random.default_rng(10)
    pitches_hz: list[float] = []
    with soundfile.SoundFile(path, "w", RATE_HZ, 1, subtype="PCM_16") as file:
        for _ in range(round(60.0 * minutes / PERIOD_S)):
            pitches_hz.append(float(rng.uniform(500.0, 1400.0)))
            recipe = BlowRecipe(pitches_hz[-1], duration_s=float(rng.uniform(0.9, 1.8)))
            blow = render_blow(recipe, RATE_HZ, rng)
            sound = room_noise(round(PERIOD_S * RATE_HZ), RATE_HZ, -62.0, rng)
            sound[RATE_HZ : RATE_HZ + len(blow)] += blow
            file.write(sound)
    return pitches_hz


def measure_hear(minutes: float) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "blows.wav"
        pitches_hz = write_recording(path, minutes)
        terminal, theirs = pty.openpty()
        words = [sys.executable, "-m", "app", "hear", str(path), "--json", "--home", folder]
        began_s = time.monotonic()
        command = subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, stderr=theirs)
        os.close(theirs)
        bar: list[bytes] = []
        reader = threading.Thread(target=_gather, args=(terminal, bar))
        reader.start()
        assert command.stdout is not None
        answer = command.stdout.read()
        _, status, usage = os.wait4(command.pid, 0)
        command.returncode = os.waitstatus_to_exitcode(status)
        took_s = time.monotonic() - began_s
        reader.join()
        os.close(terminal)
    if command.returncode:
        raise SystemExit(f"hear failed: {b''.join(bar).decode(errors='replace')[-300:]}")
    blows = [blow for blow in json.loads(answer)["files"][0]["blows"] if blow["usable"]]
    near = sum(any(abs(b["frequency_hz"] / hz - 1.0) < 0.003 for b in blows) for hz in pitches_hz)
    print(f"\nhear, a recording of {minutes:g} min with {len(pitches_hz)} blows")
    print(f"  took {took_s:.1f} s, {60.0 * minutes / took_s:.0f} times as fast as real time; "
          f"{usage.ru_utime + usage.ru_stime:.1f} s of processor; most memory {usage.ru_maxrss / 1024:.0f} MB")
    print(f"  {len(blows)} usable blows; {near} of the pitches played are among them within 5 cents; "
          f"the progress bar was drawn {b''.join(bar).count(b'%')} times")
    print(f"  load of the machine {os.getloadavg()[0]:.1f}", flush=True)


def _gather(terminal: int, into: list[bytes]) -> None:
    try:
        while part := os.read(terminal, 4096):
            into.append(part)
    except OSError:  # the other side is closed
        return
