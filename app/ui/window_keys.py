"""The keys of the bench, and the foot pedal among them: one key means one thing."""
from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QKeySequence, QShortcut

from app.view import Stage

if TYPE_CHECKING:
    from app.ui.window import BenchWindow

SHORTCUTS = (
    "Space", "Backspace", "Escape", "R", "N", "S", "T", "D", "F", "B", "C", "?", "Left", "Right", "PgUp", "PgDown", "P",
    "W", "I", "E",
)
REPEATING = ("Left", "Right", "PgUp", "PgDown")  # any other key, held down, says its word once


class WindowKeys:
    """Built once; what the pedal sends takes the place of whatever that key said before."""

    def __init__(self, window: BenchWindow) -> None:
        self._window = window
        self.shortcuts: dict[str, QShortcut] = {}
        for name in SHORTCUTS:
            self._add(name).activated.connect(lambda n=name: window.press_named(n.lower()))
        for number, stage in enumerate(Stage, start=1):
            self._add(f"Ctrl+{number}").activated.connect(lambda s=stage: window.choose_stage(s))
        self.pedal = QShortcut(QKeySequence(), window)
        self.pedal.setAutoRepeat(False)
        self.pedal.activated.connect(lambda: window.press_named("space"))
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

    def _add(self, name: str) -> QShortcut:
        shortcut = self.shortcuts[name] = QShortcut(QKeySequence(name), self._window)
        shortcut.setAutoRepeat(name in REPEATING)
        return shortcut
