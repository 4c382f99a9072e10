"""The system's own voice: which program speaks, and one sentence at a time through it."""
from __future__ import annotations

import logging
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import Protocol

SENTENCE_S = 30.0  # no sentence takes so long: a voice that hangs must not keep the listener deaf
NO_VOICE = {
    "linux": "No voice was found on this computer: install espeak-ng (Debian, Ubuntu: sudo apt install espeak-ng).",
    "darwin": "No voice was found on this computer: the system's command “say” is missing.",
    "win32": "No voice was found on this computer: the system's command “powershell” is missing.",
}
_WINDOWS_SCRIPT = (
    "Add-Type -AssemblyName System.Speech; "
    "(New-Object System.Speech.Synthesis.SpeechSynthesizer).Speak($env:WHISTLEWRIGHT_SENTENCE)"
)

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Voice:
    """A program that says its last argument, and what silences it when ending it is not enough."""

    command: tuple[str, ...]
    silence: tuple[str, ...] = ()
    by_environment: bool = False  # the sentence is no argument: there it would be read as a program


# espeak-ng comes first: it sounds by itself, so it is silent as soon as it is ended.
_VOICES: dict[str, tuple[Voice, ...]] = {
    "linux": (
        Voice(("espeak-ng", "-v", "en")),
        Voice(("spd-say", "--wait", "--language", "en"), ("spd-say", "--cancel")),
    ),
    "darwin": (Voice(("say",)),),
    "win32": (Voice(("powershell", "-NoProfile", "-NonInteractive", "-Command", _WINDOWS_SCRIPT), (), True),),
}


def find_voice() -> Voice | None:
    """The first voice that this system has."""
    return next((voice for voice in _VOICES.get(_system(), ()) if shutil.which(voice.command[0])), None)


def no_voice_text() -> str:
    """One sentence that says what to install."""
    return NO_VOICE[_system()]


def _system() -> str:
    return sys.platform if sys.platform in NO_VOICE else "linux"


class Turns(Protocol):
    """Who says when a voice may sound: `app.own_sound.OwnSound`."""

    def await_turn(self, begin: Callable[[], None]) -> None: ...
    def voice_ended(self) -> None: ...


class Speaker:
    """Speaks on a thread of its own. The newest sentence wins: an older one is broken off."""

    def __init__(self, voice: Voice, turns: Turns) -> None:
        self._voice, self._turns = voice, turns
        self._lock = threading.Lock()  # guards the three below
        self._sentence: str | None = None
        self._process: subprocess.Popen[bytes] | None = None
        self._stopping = False
        self._wanted = threading.Event()
        self._turn = threading.Event()
        self._thread = threading.Thread(target=self._run, name="voice", daemon=True)
        self._thread.start()

    def say(self, sentence: str) -> None:
        with self._lock:
            self._sentence = sentence
            self._break_off()
        self._wanted.set()

    def stop(self) -> None:
        """Silence, at once and for good."""
        with self._lock:
            self._stopping, self._sentence = True, None
            self._break_off()
        self._wanted.set()
        self._turn.set()
        self._thread.join(5.0)

    def _break_off(self) -> None:
        if self._process is not None and self._process.poll() is None:
            self._process.kill()
            if self._voice.silence:
                with suppress(OSError, subprocess.TimeoutExpired):
                    subprocess.run(self._voice.silence, stdin=subprocess.DEVNULL, capture_output=True, timeout=1.0)

    # ---- the speaking thread -------------------------------------------------------------------------------------
    def _run(self) -> None:
        while True:
            self._wanted.wait()
            self._wanted.clear()
            if self._sentence is not None:
                self._turn.clear()
                self._turns.await_turn(self._turn.set)
                self._turn.wait()
                try:
                    self._speak()
                finally:
                    self._turns.voice_ended()
            if self._stopping:
                return

    def _speak(self) -> None:
        """What is wanted now: a newer sentence may have come while the turn was waited for."""
        with self._lock:
            sentence, self._sentence = self._sentence, None
            if sentence is None:
                return
            try:
                self._process = process = self._begin(sentence)
            except OSError as trouble:
                log.info("the voice did not speak: %s", trouble)
                return
        try:
            process.wait(SENTENCE_S)
        except subprocess.TimeoutExpired:
            log.info("the voice did not come to an end")
            process.kill()
            process.wait()

    def _begin(self, sentence: str) -> subprocess.Popen[bytes]:
        in_environment = self._voice.by_environment
        return subprocess.Popen(
            self._voice.command if in_environment else (*self._voice.command, sentence),
            env={**os.environ, "WHISTLEWRIGHT_SENTENCE": sentence} if in_environment else None,
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
        )
