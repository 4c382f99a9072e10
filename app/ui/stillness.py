"""Reduced motion: nothing moves but the breath line, and that only when it is asked to."""
from __future__ import annotations

from functools import cache

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app.settings import Settings
from app.system_motion import system_wants_stillness

EFFECTS = (
    Qt.UIEffect.UI_General, Qt.UIEffect.UI_AnimateMenu, Qt.UIEffect.UI_FadeMenu, Qt.UIEffect.UI_AnimateCombo,
    Qt.UIEffect.UI_AnimateTooltip, Qt.UIEffect.UI_FadeTooltip, Qt.UIEffect.UI_AnimateToolBox,
)
CARET_MS = 1000  # Qt's own, where the system names none


def wants_stillness(settings: Settings) -> bool:
    """The maker's own choice, else the system's, asked once."""
    return _of_the_system() if settings.motion == "system" else settings.motion == "reduced"


@cache
def _of_the_system() -> bool:
    return system_wants_stillness()


def hold_still(still: bool) -> None:
    """What Qt itself would move: menus and lists that slide or fade, and the caret that blinks in a field."""
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    if still:
        for effect in EFFECTS:
            app.setEffectEnabled(effect, False)
    if (app.cursorFlashTime() <= 0) != still:
        app.setCursorFlashTime(0 if still else CARET_MS)
