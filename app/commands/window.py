"""No command: the window, on the microphone and the maker's own journal."""
from __future__ import annotations

import argparse
import signal

from app.commands.arguments import open_home
from app.context import Context
from app.display import DisplayProbe
from app.errors import WorldError
from app.home import HomeLock

WITHOUT_DISPLAY = "try “whistlewright demo --text”, or “whistlewright --help” for the commands that need no window"


def run(arguments: argparse.Namespace) -> int:
    """Open the window; without a display there is nothing to do."""
    probe = DisplayProbe()
    home = open_home(arguments)
    trouble = show(Context(home.folder, home.settings, home.journal_path, trouble=home.trouble), probe)
    if trouble:
        raise WorldError(f"{trouble}: {WITHOUT_DISPLAY}.")
    return 0


def show(context: Context, probe: DisplayProbe) -> str:
    """Open the window and stay until it is closed. Without a display for it, say why at once; otherwise empty."""
    if probe.looking:
        import app.ui.desk
        import app.ui.sheets  # noqa: F401 - both take about as long to load as the child looks
    if trouble := probe.trouble():
        return trouble
    from app.ui.main import run_window

    context.journal_path.parent.mkdir(parents=True, exist_ok=True)
    # Qt's loop would swallow the exception of a Ctrl-C; ended outright, the shell sees 130, and the journal is whole.
    before = signal.signal(signal.SIGINT, signal.SIG_DFL)
    try:
        with HomeLock(context.journal_path.parent):
            run_window(context)
    finally:
        signal.signal(signal.SIGINT, before)
    return ""
