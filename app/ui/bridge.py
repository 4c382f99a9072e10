"""Between the listening thread and the window: holds a session, and lets only this thread touch it."""
from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from app.events import Event, Pressed

if TYPE_CHECKING:
    from app.session import Session

FRAME_MS = 66  # of the breath line: 15 frames a second


class Bridge(QObject):
    """What the listener hears comes in by a queued signal; what changes goes out once a turn of the event loop.

    Signals: `view_changed(View)`, `breath_changed(points)`.
    """

    view_changed = Signal(object)
    breath_changed = Signal(object)
    _delivered = Signal(object)  # emitted on the listener's thread

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self._running = False
        self._telling = QTimer(self)
        self._telling.setSingleShot(True)
        self._telling.setInterval(0)
        self._telling.timeout.connect(self._tell)
        self._frames = QTimer(self)
        self._frames.setInterval(FRAME_MS)
        self._frames.timeout.connect(self._show_breath)
        self._delivered.connect(self._take, Qt.ConnectionType.QueuedConnection)
        session.deliver = self._delivered.emit
        session.on_change.append(self._telling.start)

    def start(self) -> None:
        """Show what is known, then listen."""
        self._running = True
        self._tell()
        self.session.start()
        self._frames.start()

    def stop(self) -> None:
        """Stop listening; nothing is shown afterwards."""
        self._running = False
        self._frames.stop()
        self._telling.stop()
        self.session.stop()

    def post(self, event: Event) -> None:
        """Something the maker did, stamped with the source's own time."""
        points = self.session.breath()
        if isinstance(event, Pressed) and points:
            event = replace(event, at_s=points[-1].at_s)
        self.session.post(event)

    def _take(self, event: object) -> None:
        if self._running:
            self.session.take_listener_event(event)  # type: ignore[arg-type]

    def _tell(self) -> None:
        self.view_changed.emit(self.session.view())

    def _show_breath(self) -> None:
        self.breath_changed.emit(tuple(self.session.breath()))
