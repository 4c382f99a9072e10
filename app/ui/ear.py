"""A microphone that is tried out before there is a bench: it lists, listens and tells, and keeps nothing."""
from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Signal

from app.errors import WorldError
from app.heard import BlowHeard, Level, ListenerDied, SourceNoticed


class Ear(QObject):
    """Lists microphones and listens to one of them.

    Signals: `level_heard(code)`: "too_quiet", "right" or "too_loud"; `noticed(Notice)`: the microphone's state;
    `blow_heard(samples, sample_rate_hz)`; `failed(sentence)`.
    """

    level_heard = Signal(str)
    noticed = Signal(object)
    blow_heard = Signal(object, int)
    failed = Signal(str)
    _emitted = Signal(object)  # from the listener's thread, queued into this one

    def __init__(self, make_listener: Callable[..., Any] | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._make_listener = make_listener or _microphone_listener
        self._listener: Any = None
        self._emitted.connect(self._pass_on)

    def devices(self) -> tuple[Any, ...]:
        """The microphones the system knows now. Listening stops first: one thread at a time may ask for them."""
        from app.microphone import list_devices

        self.close()
        return tuple(list_devices())

    def open(self, device_name: str | None) -> None:
        """Listen to this microphone, or to the system's own choice."""
        self.close()
        try:
            self._listener = self._make_listener(device_name, self._emitted.emit)
            self._listener.start()
        except WorldError as error:
            self._listener = None
            self.failed.emit(str(error))

    def close(self) -> None:
        """Stop listening; harmless when nothing was open."""
        listener, self._listener = self._listener, None
        if listener is not None:
            listener.stop()

    def _pass_on(self, event: object) -> None:
        match event:
            case Level():
                self.level_heard.emit(str(event.word))
            case SourceNoticed():
                self.noticed.emit(event.notice)
            case BlowHeard():
                self.blow_heard.emit(event.samples, event.sample_rate_hz)
            case ListenerDied():
                self.failed.emit(event.text)


def _microphone_listener(device_name: str | None, emit: Callable[[object], None]) -> Any:
    from app.listener import Listener
    from app.microphone import Microphone

    return Listener(Microphone(device_name), emit)
