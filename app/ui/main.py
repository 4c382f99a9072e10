"""Opens the window and stays until it is closed."""
from __future__ import annotations

import logging
import sys
from types import TracebackType

from PySide6.QtCore import QMessageLogContext, QTimer, QtMsgType, qInstallMessageHandler
from PySide6.QtWidgets import QApplication

from app.context import Context
from app.errors import WorldError
from app.ui.awake import StayAwake
from app.ui.sheet import Sheet
from app.ui.window import BenchWindow

log = logging.getLogger(__name__)
OUR_FAULT = "Something went wrong inside the program: it is in the log, and nothing that was kept is lost."
LEVELS = {
    QtMsgType.QtDebugMsg: logging.DEBUG, QtMsgType.QtInfoMsg: logging.INFO, QtMsgType.QtWarningMsg: logging.WARNING,
    QtMsgType.QtCriticalMsg: logging.ERROR, QtMsgType.QtFatalMsg: logging.CRITICAL,
}


def run_window(context: Context) -> None:
    """The bench, until the maker closes it. Raises, at the end, what kept every whistle from lying on it."""
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
    before, sys.excepthook = sys.excepthook, tell_fault
    first = not (context.practice or context.settings.first_start_done)
    QTimer.singleShot(0, sheets.first_start if first else desk.begin)
    QTimer.singleShot(0, StayAwake(app).ask)
    try:
        app.exec()
    finally:
        sys.excepthook = before
        desk.clear()
    if desk.refused is not None:
        raise desk.refused


def tell_fault(kind: type[BaseException], fault: BaseException, trace: TracebackType | None) -> None:
    """What went wrong inside the event loop, on the sheet that is open and on the bench, which goes on.

    The world's fault in its own sentence; ours goes into the log with its traceback.
    """
    sentence = str(fault)
    if not isinstance(fault, WorldError):
        log.error("a fault inside the window", exc_info=(kind, fault, trace))
        sentence = OUR_FAULT
    for widget in QApplication.topLevelWidgets():
        if isinstance(widget, BenchWindow):
            widget.show_trouble(sentence)
        elif isinstance(widget, Sheet) and widget.isVisible():
            widget.say_trouble(sentence)


def _log_qt(kind: QtMsgType, _where: QMessageLogContext, message: str) -> None:
    log.log(LEVELS.get(kind, logging.WARNING), "Qt: %s", message)
