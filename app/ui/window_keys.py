"""The keys of the bench, and the foot pedal among them: one key means one thing."""
from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence, QShortcut, QWindow

from app.view import Stage

if TYPE_CHECKING:
    from app.ui.window import BenchWindow

SHORTCUTS = (
    "Space", "Backspace", "Escape", "R", "N", "S", "T", "D", "F", "B", "C", "?", "Left", "Right", "PgUp", "PgDown", "P",
    "W", "I", "E", "O",
)
REPEATING = ("Left", "Right", "PgUp", "PgDown")  # any other key, held down, says its word once
RELEASED_S = 0.025  # no finger or foot lets a key go and has it down again within this


class HeldKey(QObject):
    """Knows a key that is held down where the system tells it as pressed and let go again and again.

    Some X servers and pedals repeat so, and Qt then does not call it a repeat.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._key: int | None = None
        self._released_s = 0.0
        self._watched: QWindow | None = None

    def watch(self, window: QWindow | None) -> None:
        if window is not None and window is not self._watched:
            self._watched = window
            window.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.KeyRelease and isinstance(event, QKeyEvent):
            self._key, self._released_s = event.key(), time.monotonic()
        return False

    def repeats(self, shortcut: QShortcut) -> bool:
        """Whether the key of a shortcut that comes in now was let go only just now."""
        keys = shortcut.key()
        return (
            not keys.isEmpty() and keys[0].key() == Qt.Key(self._key or 0)
            and time.monotonic() - self._released_s < RELEASED_S
        )


class WindowKeys:
    """Built once; what the pedal sends takes the place of whatever that key said before."""

    def __init__(self, window: BenchWindow) -> None:
        self._window = window
        self.shortcuts: dict[str, QShortcut] = {}
        self.held = HeldKey(window)
        for name in SHORTCUTS:
            self.shortcuts[name] = self._made(name, lambda n=name: window.press_named(n.lower()))
        for number, stage in enumerate(Stage, start=1):
            name = f"Ctrl+{number}"
            self.shortcuts[name] = self._made(name, lambda s=stage: window.choose_stage(s))
        self.pedal = self._made("", lambda: window.press_named("space"))
        self._lent: list[tuple[QAction, QKeySequence]] = []  # keys of the menu that the pedal sends

    def follow_settings(self) -> None:
        pedal = QKeySequence(self._window.settings.pedal_key)
        for action, sequence in self._lent:
            action.setShortcut(sequence)
        self._lent = [
            (action, action.shortcut()) for action in self._window.findChildren(QAction)
            if not pedal.isEmpty() and action.shortcut() == pedal
        ]
        for action, _sequence in self._lent:
            action.setShortcut(QKeySequence())
        for shortcut in self.shortcuts.values():
            shortcut.setEnabled(pedal.isEmpty() or shortcut.key() != pedal)
        self.pedal.setKey(pedal)

    def _made(self, name: str, do: Callable[[], None]) -> QShortcut:
        shortcut = QShortcut(QKeySequence(name), self._window)
        shortcut.setAutoRepeat(name in REPEATING)

        def once() -> None:
            if shortcut.autoRepeat() or not self.held.repeats(shortcut):
                do()

        shortcut.activated.connect(once)
        return shortcut
