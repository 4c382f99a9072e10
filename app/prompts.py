"""Answers the walk's signals with tones and a voice, as the maker chose; silent where there is neither."""
from __future__ import annotations

from app.events import Signal, Speak
from app.own_sound import OwnSound
from app.settings import Settings
from app.system_voice import Speaker, Voice, find_voice


class Prompts:
    """Lives on the session's thread; what sounds is handed to the listener's thread or to the voice's."""

    def __init__(self, settings: Settings, own_sound: OwnSound) -> None:
        self._settings, self._own_sound = settings, own_sound
        self._voice: Voice | None = None
        self._speaker: Speaker | None = None
        self.follow(settings)

    def follow(self, settings: Settings) -> None:
        """From now on as chosen here."""
        self._settings = settings
        self._voice = find_voice() if settings.speech else None
        if self._voice is None:
            self.stop()

    def take(self, effect: Signal | Speak) -> None:
        """A sentence that is spoken needs no tone to say that something else is asked."""
        match effect:
            case Signal(sound) if self._settings.tones and not (sound == "ask" and self._voice is not None):
                self._own_sound.tone(sound)
            case Speak(text) if self._voice is not None and text:
                self._speaker = self._speaker or Speaker(self._voice, self._own_sound)
                self._speaker.say(text)

    def stop(self) -> None:
        speaker, self._speaker = self._speaker, None
        if speaker is not None:
            speaker.stop()
