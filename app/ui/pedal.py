"""A foot pedal is a key: it is told by pressing it once, and says "I have done it"."""
from __future__ import annotations

from typing import Final

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.ui.sheet import said

Key = Qt.Key
ALONE: Final = (Key.Key_Shift, Key.Key_Control, Key.Key_Alt, Key.Key_AltGr, Key.Key_Meta, Key.Key_unknown)
NEEDED: Final = {  # keys whose meaning nothing else has
    Key.Key_Escape: "goes back and closes sheets", Key.Key_Backspace: "forgets the last blow",
    Key.Key_Tab: "leads from part to part", Key.Key_Backtab: "leads from part to part",
}
HINT = "Any pedal that sends a key. It says “I have done it”, like space; held down, it says so once."
ASKING = "Press the pedal once (escape: leave it)"


class PedalBox(QWidget):
    """One button that learns, one that forgets, and what is told now."""

    pedal_told = Signal(str)

    def __init__(self, pedal_key: str) -> None:
        super().__init__()
        self.setAccessibleName("Foot pedal")
        self.pedal_key = pedal_key
        self.learn = LearnButton()
        self.forget = QPushButton("No pedal")
        self.forget.setAccessibleName("There is no pedal")
        self.forget.setAutoDefault(False)
        self.told = said("", "muted")
        row = QHBoxLayout()
        row.addWidget(self.learn)
        row.addWidget(self.forget)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row)
        column.addWidget(self.told)
        self.learn.key_told.connect(self._take)
        self.learn.refused.connect(self.told.setText)
        self.forget.clicked.connect(lambda: self._take(""))
        self._say()

    def _take(self, pedal_key: str) -> None:
        self.pedal_key = pedal_key
        self._say()
        self.pedal_told.emit(pedal_key)

    def _say(self) -> None:
        shown = QKeySequence(self.pedal_key).toString(QKeySequence.SequenceFormat.NativeText)
        self.told.setText(f"The pedal sends {shown}. {HINT}" if shown else f"No pedal. {HINT}")
        self.forget.setEnabled(bool(shown))


class LearnButton(QPushButton):
    """Pressed, it takes the next key, whatever that key means elsewhere.

    Signals: `key_told(str)`: as `QKeySequence` writes it; `refused(str)`: why a key will not do.
    """

    key_told = Signal(str)
    refused = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setAutoDefault(False)
        self.clicked.connect(lambda: self._ask(asking=True))
        self._ask(asking=False)

    def event(self, event: QEvent) -> bool:
        """Before Tab, Enter and shortcuts are understood as such."""
        if self.asking and event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        if self.asking and event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            self._hear(event)
            return True
        if self.asking and event.type() == QEvent.Type.FocusOut:
            self._ask(asking=False)
        return super().event(event)

    def _hear(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if event.isAutoRepeat() or key in ALONE:
            self.refused.emit("That key alone is not enough: set the pedal to send a letter, F13 or page down.")
            return
        self._ask(asking=False)
        if key in NEEDED and key != Key.Key_Escape:
            self.refused.emit(f"{QKeySequence(key).toString()} {NEEDED[key]}: set the pedal to send another key.")
        elif key != Key.Key_Escape:
            modifiers = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
            self.key_told.emit(QKeySequence(event.key() | modifiers.value).toString())

    def _ask(self, *, asking: bool) -> None:
        self.asking = asking
        words = ASKING if asking else "Tell the pedal’s key…"
        self.setText(words)
        self.setAccessibleName(words)
