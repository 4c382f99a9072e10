"""Lets a chord or a logged blow be heard while no microphone is open; one at a time, broken off before one opens."""
from __future__ import annotations

import threading
from collections.abc import Callable

from app.tones import Sampled

JOIN_S = 5.0  # a sound server that hangs is not waited for longer

Sounding = Callable[[Sampled, threading.Event], bool]  # whether it sounded


class ChordPlayer:
    """Its thread makes PortAudio's calls; the others only ask."""

    def __init__(self, sound_alone: Sounding | None = None) -> None:
        self._sound_alone = sound_alone
        self._thread: threading.Thread | None = None
        self._break_off = threading.Event()

    def play(self, sound: Sampled, unheard: Callable[[], None] = lambda: None) -> bool:
        """Begin; False while another one still sounds. `unheard` is called on its thread where nothing sounded."""
        if self._thread is not None and self._thread.is_alive():
            return False
        self._break_off = threading.Event()  # of this sound alone
        self._thread = threading.Thread(
            target=self._run, args=(sound, self._break_off, unheard), name="chord", daemon=True)
        self._thread.start()
        return True

    def stop(self) -> None:
        """Silence, now; harmless when nothing sounds."""
        thread, self._thread = self._thread, None
        self._break_off.set()
        if thread is not None:
            thread.join(JOIN_S)

    def _run(self, sound: Sampled, break_off: threading.Event, unheard: Callable[[], None]) -> None:
        from app.microphone import sound_alone

        if not (self._sound_alone or sound_alone)(sound, break_off):
            unheard()
