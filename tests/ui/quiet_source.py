"""Microphones in a dead quiet room: nothing is to be heard, nothing happens."""
from __future__ import annotations

import threading


class Silence:
    name = "silence"

    def __init__(self, device_name: str | None = None) -> None:
        self._closed = threading.Event()

    def read(self, timeout_s: float) -> None:
        self._closed.wait(timeout_s)

    def close(self) -> None:
        self._closed.set()


class SilentMicrophone:
    """The same for a desk; hears nothing and waits for nothing."""

    def __init__(self, _name: str | None) -> None:
        pass

    def read(self, timeout_s: float) -> None:
        return None

    def close(self) -> None:
        pass
