"""A private screen without hardware, for as long as it is needed."""
from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager

from tests.microphone.virtual_sound import end


@contextmanager
def private_screen() -> Iterator[subprocess.Popen[bytes]]:
    """An X server on the first free number; DISPLAY names it meanwhile."""
    ours, theirs = os.pipe()
    words = ["Xvfb", "-displayfd", str(theirs), "-screen", "0", "1600x1000x24", "-nolisten", "tcp"]
    screen = subprocess.Popen(words, pass_fds=(theirs,), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    os.close(theirs)
    try:
        with os.fdopen(ours) as told:
            os.environ["DISPLAY"] = f":{told.readline().strip()}"
        os.environ.pop("QT_QPA_PLATFORM", None)
        yield screen
    finally:
        end(screen)
        os.environ.pop("DISPLAY", None)


def windows_seen(name: str) -> int:
    """How many windows of that name the X server itself says are mapped; -1 where xdotool is not there to ask it."""
    if shutil.which("xdotool") is None:
        return -1
    words = ["xdotool", "search", "--onlyvisible", "--name", name]
    return len(subprocess.run(words, capture_output=True, text=True, timeout=30, check=False).stdout.split())
