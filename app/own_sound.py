"""What the program itself sounds, and until when the listener must not hear.

A tone comes at once or not at all: after a blow that was sounding it would speak of something else. A sentence waits
for its turn. Only a source that can `play` hears the room; practice and recordings go on hearing while a voice speaks.
"""
from __future__ import annotations

import math
import threading
from collections.abc import Callable

from app.source import SoundSource
from app.tones import Sound

DEAF_TAIL_S = 0.25  # a signal still rings in the loudspeaker's queue (64 ms measured) and in the room
APART_S = 0.5  # two short sounds closer together are the gesture for "done", should a late one be heard after all


class OwnSound:
    """Asked for by any thread, sounded by the listener's; the lock keeps two askers from undoing each other."""

    def __init__(self, source: SoundSource) -> None:
        self._play: Callable[[Sound], float] | None = getattr(source, "play", None)
        self._asked = threading.Lock()
        self._tone: tuple[Sound, Callable[[], None]] | None = None
        self._voice: Callable[[], None] | None = None
        self._deaf_until_s = -math.inf
        self._now_s = 0.0
        self._next_tone_s = -math.inf  # the listener's own

    # ---- from any thread -----------------------------------------------------------------------------------------
    def tone(self, sound: Sound, unheard: Callable[[], None] = lambda: None) -> None:
        """Sound this signal, unless a blow sounds; the newest takes the place of one that waits.

        `unheard` is called on the listener's thread where there is no loudspeaker.
        """
        with self._asked:
            self._tone = sound, unheard

    def await_turn(self, begin: Callable[[], None]) -> None:
        """Call `begin` on the listener's thread once nothing sounds; deaf from then on, until `voice_ended`."""
        with self._asked:
            self._voice = begin

    def voice_ended(self) -> None:
        """Hear again; a turn that has not come is no longer wanted."""
        with self._asked:
            self._voice = None
            if self._deaf_until_s == math.inf:
                self._deaf_until_s = self._now_s + DEAF_TAIL_S

    def deaf_until(self, at_s: float) -> None:
        with self._asked:
            self._deaf_until_s = max(self._deaf_until_s, at_s)

    def deaf_at(self, at_s: float) -> bool:
        return at_s < self._deaf_until_s

    # ---- the listener's own --------------------------------------------------------------------------------------
    def let_sound(self, now_s: float, blow_open: bool, hearing: bool = True) -> None:
        """Begin what was asked for, one sound at a time; `now_s` is the end of what the source has delivered.

        Where nothing is heard (a microphone pulled out) that time stands still, and nothing can be spoiled.
        """
        tone, voice = self._next(now_s, blow_open, hearing)
        if tone is not None and self._play is not None:
            sound, unheard = tone
            sounding_s = self._play(sound)
            if sounding_s <= 0.0:
                unheard()
            else:
                self.deaf_until(now_s + sounding_s + DEAF_TAIL_S)
                self._next_tone_s = now_s + sounding_s + APART_S
        elif voice is not None:
            voice()

    def _next(
        self, now_s: float, blow_open: bool, hearing: bool
    ) -> tuple[tuple[Sound, Callable[[], None]] | None, Callable[[], None] | None]:
        with self._asked:
            self._now_s = now_s
            if self._play is None:
                voice, self._tone, self._voice = self._voice, None, None
                return None, voice
            if blow_open:
                self._tone = None
            if blow_open or (hearing and now_s < self._deaf_until_s):
                return None, None
            if self._tone is not None and now_s >= self._next_tone_s:
                tone, self._tone = self._tone, None
                return tone, None
            voice, self._voice = self._voice, None
            if voice is not None:
                self._deaf_until_s = math.inf
            return None, voice
