"""Opens the window and stays until it is closed."""
from __future__ import annotations

import logging
import sys
from collections.abc import Callable
from types import TracebackType

from PySide6.QtCore import QMessageLogContext, QTimer, QtMsgType, qInstallMessageHandler
from PySide6.QtWidgets import QApplication

from app.context import Context
from app.errors import WorldError
from app.ui.awake import StayAwake

log = logging.getLogger(__name__)
OUR_FAULT = "Something went wrong inside the program: it is in the log, and nothing that was kept is lost."
LEVELS = {
    QtMsgType.QtDebugMsg: logging.DEBUG, QtMsgType.QtInfoMsg: logging.INFO, QtMsgType.QtWarningMsg: logging.WARNING,
    QtMsgType.QtCriticalMsg: logging.ERROR, QtMsgType.QtFatalMsg: logging.CRITICAL,
}


def run_window(context: Context) -> None:
    """The bench, until the maker closes it. Raises what the world did wrong before anything was shown."""
    qInstallMessageHandler(_log_qt)
    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)
    app.setApplicationName("whistlewright")
    app.setStyle("Fusion")  # the same on every system, so that the bench's own colours hold

    from app.ui.desk import Desk
    from app.ui.sheets import Sheets

    desk = Desk(context)
    sheets = Sheets(desk)
    desk.window.show()
    faults = _Faults()
    before, sys.excepthook = sys.excepthook, faults.note
    first = not (context.practice or context.settings.first_start_done)
    QTimer.singleShot(0, lambda: faults.guard(sheets.first_start if first else desk.begin))
    QTimer.singleShot(0, StayAwake(app).ask)
    try:
        app.exec()
    finally:
        sys.excepthook = before
        desk.clear()
    if faults.world is not None:
        raise faults.world


class _Faults:
    """What went wrong inside the event loop: the world's fault ends the program in one sentence, ours is logged."""

    def __init__(self) -> None:
        self.world: WorldError | None = None

    def guard(self, begin: Callable[[], None]) -> None:
        try:
            begin()
        except WorldError as fault:
            self.world = fault
            QApplication.quit()

    def note(self, kind: type[BaseException], fault: BaseException, trace: TracebackType | None) -> None:
        """Ours: into the log with its traceback; the bench goes on and says so."""
        log.error("a fault inside the window", exc_info=(kind, fault, trace))
        for widget in QApplication.topLevelWidgets():
            if hasattr(widget, "show_trouble"):
                widget.show_trouble(OUR_FAULT)


def _log_qt(kind: QtMsgType, _where: QMessageLogContext, message: str) -> None:
    log.log(LEVELS.get(kind, logging.WARNING), "Qt: %s", message)
