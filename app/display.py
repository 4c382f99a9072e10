"""Is there a screen? Qt ends the whole program on a dead one, so a child process is sent ahead to look."""
from __future__ import annotations

import os
import subprocess
import sys

PROBE = "from PySide6.QtGui import QGuiApplication; QGuiApplication([])"
PROBE_LIMIT_S = 20.0


class DisplayProbe:
    """Started early and asked late: the window's own modules load while the child looks."""

    def __init__(self) -> None:
        nowhere = subprocess.DEVNULL
        self._child = None if self._surely_none() else subprocess.Popen(
            [sys.executable, "-c", PROBE], stdin=nowhere, stdout=nowhere, stderr=nowhere
        )

    @property
    def looking(self) -> bool:
        """Whether there is anything to wait for."""
        return self._child is not None

    def trouble(self) -> str:
        """Why no window can be opened, as a sentence without its full stop; empty when one can."""
        if self._child is None:
            return "There is no display to open a window on"
        try:
            code = self._child.wait(PROBE_LIMIT_S)
        except subprocess.TimeoutExpired:
            self._child.kill()
            self._child.wait()
            return f"The display did not answer within {PROBE_LIMIT_S:g} seconds"
        return "" if code == 0 else "No window can be opened on this display"

    @staticmethod
    def _surely_none() -> bool:
        """No child is needed to know this."""
        named = any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))
        return sys.platform.startswith(("linux", "freebsd")) and not named
