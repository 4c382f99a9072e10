"""A microphone that is tried out before there is a bench: it lists, listens and tells, and keeps nothing."""
from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Signal

from app.errors import WorldError
from app.heard import BlowHeard, BlowStarted, Breath, Level, ListenerDied, SourceNoticed
from app.listener import Listener
from app.source import SoundSource
from app.tapped import TappedSource

QUIET_AFTER_S = 0.8  # a system that chops a note leaves shorter gaps; a maker's rest is longer
AROUND_S = 0.5  # of the room, before and after


class Ear(QObject):
    """Lists microphones and listens to one of them.

    Signals: `level_heard(code)`: "too_quiet", "right" or "too_loud"; `noticed(Notice)`: the microphone's state;
    `sound_heard(samples, sample_rate_hz)`: all that came in from a blow's beginning until it stayed quiet, whole even
    where the system chopped it; `failed(sentence)`.
    """

    level_heard = Signal(str)
    noticed = Signal(object)
    sound_heard = Signal(object, int)
    failed = Signal(str)
    _emitted = Signal(object)  # from the listener's thread, queued into this one

    def __init__(
        self, open_source: Callable[[str | None], SoundSource] | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._open_source = open_source or _microphone
        self._listener: Listener | None = None
        self._emitted.connect(self._pass_on)

    def devices(self) -> tuple[Any, ...]:
        """The microphones the system knows now. Listening stops first, so that new ones are found."""
        from app.microphone import list_devices

        self.close()
        return tuple(list_devices())

    def open(self, device_name: str | None) -> None:
        """Listen to this microphone, or to the system's own choice."""
        self.close()
        self._began_s: float | None = None
        self._ended_s: float | None = None
        try:
            self._source = TappedSource(self._open_source(device_name))
        except WorldError as error:
            self.failed.emit(str(error))
            return
        self._listener = Listener(self._source, self._emitted.emit)
        self._listener.start()

    def close(self) -> None:
        """Stop listening; harmless when nothing was open."""
        listener, self._listener = self._listener, None
        if listener is not None:
            listener.stop()

    def _pass_on(self, event: object) -> None:
        if self._listener is None:  # still queued when listening was stopped
            return
        match event:
            case Level():
                self.level_heard.emit(str(event.word))
            case SourceNoticed():
                self.noticed.emit(event.notice)
            case ListenerDied():
                self.failed.emit(event.text)
            case BlowStarted():
                self._began_s = event.at_s if self._began_s is None else self._began_s
                self._ended_s = None
            case BlowHeard():
                self._began_s = event.blow.start_s if self._began_s is None else self._began_s
                self._ended_s = event.at_s
            case Breath():
                self._tell_when_quiet(event.at_s)

    def _tell_when_quiet(self, now_s: float) -> None:
        if self._began_s is None or self._ended_s is None or now_s < self._ended_s + QUIET_AFTER_S:
            return
        sound = self._source.sound(self._began_s - AROUND_S, self._ended_s + AROUND_S)
        self._began_s = self._ended_s = None
        if sound is not None:
            self.sound_heard.emit(*sound)


def _microphone(device_name: str | None) -> SoundSource:
    from app.microphone import Microphone

    return Microphone(device_name)
