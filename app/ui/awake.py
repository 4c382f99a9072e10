"""Asks the desktop not to sleep or lock while the bench listens; where it cannot be asked, nothing happens."""
from __future__ import annotations

from PySide6.QtCore import QObject

SERVICE = "org.freedesktop.ScreenSaver"
PATHS = ("/org/freedesktop/ScreenSaver", "/ScreenSaver")
REASON = "listening at the bench, no hand free"


class StayAwake(QObject):
    """Held for as long as the window lives; the desktop lets go by itself when the program ends."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._bus: object | None = None

    def ask(self) -> bool:
        """Send the wish; True when there was a desktop to send it to. Its answer is not waited for."""
        try:
            from PySide6.QtDBus import QDBusConnection, QDBusMessage
        except ImportError:
            return False
        bus = QDBusConnection.sessionBus()
        if not bus.isConnected():
            return False
        for path in PATHS:
            message = QDBusMessage.createMethodCall(SERVICE, path, SERVICE, "Inhibit")
            message.setArguments(["Whistlewright", REASON])
            bus.asyncCall(message)
        self._bus = bus
        return True
