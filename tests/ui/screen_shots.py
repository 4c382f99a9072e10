"""Pictures of the screens beside the walk: ``python -m tests.ui.screen_shots OUTDIR``.

Room view, large text, high contrast, all keys, preferences, the session, a club evening, and what practice ended with.
"""
from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from unittest.mock import patch

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication, QWidget

from app.club_book import add_whistles
from app.context import Context
from app.events import Route
from app.evidence import standing
from app.home import journal_path
from app.journal import Journal
from app.settings import Settings
from app.ui.desk import Desk
from app.ui.preferences import Preferences
from app.ui.session_door import page_of
from app.ui.sheets import Sheets
from app.ui.truth_sheet import TruthSheet
from tests.ui.fake_ear import FakeEar
from tests.ui.quiet_source import Silence
from tests.ui.session_cases import sessions
from tests.ui.sheet_cases import harbour
from tests.ui.shots import LOOKS, invented_breath
from tests.ui.test_memory_sheets import BELIEVED, TRUTH
from tests.ui.walk_views import walked

LIGHT = Settings(theme="light", contrast="usual", motion="usual", temperature_c=19.5)


def of_the_bench() -> Iterator[tuple[str, QWidget]]:
    """One view of the bench, as each of the ways to see it shows it."""
    from app.ui.window import BenchWindow

    window = BenchWindow(lambda event: None, LIGHT)
    window.show()
    window.show_view(walked(Route.TRIM)["trim-route-trim-trim"])
    window.show_breath(invented_breath())
    for key, name in (("f", "room"), ("?", "keys")):
        window.press_named(key)
        yield name, window
        window.press_named(key)
    window.apply_settings(replace(LIGHT, **LOOKS["high-dark"]))
    yield "high-contrast", window
    window.apply_settings(replace(LIGHT, text_scale=2.0))
    yield "large-text", window
    window.close()


def of_sheets() -> Iterator[tuple[str, QWidget]]:
    preferences = Preferences(LIGHT, FakeEar().devices, harbour(), lambda: 12)
    preferences.setFixedSize(860, 1800)
    yield "preferences", preferences
    lowest, *others = TRUTH  # in one breath the chambers pull one another a little
    others = [replace(one, chord_interval_cents=one.interval_cents + 0.4 * n) for n, one in enumerate(others, 1)]
    truth = TruthSheet([replace(lowest, interval_cents=0.0), *others], BELIEVED, LIGHT)
    truth.resize(980, 520)
    yield "practice-truth", truth
    page = page_of(harbour(), standing(sessions()["whole"]), LIGHT)
    page.resize(1280, 800)
    yield "session", page


def of_a_club(home: Path) -> Iterator[tuple[str, QWidget]]:
    """Five whistles of one pattern on the first evening, the second one called."""
    desk = Desk(Context(home, LIGHT, journal_path(home)))
    sheets = Sheets(desk)
    desk.window.show()
    with Journal(desk.context.journal_path) as journal:
        whistles = add_whistles(journal, harbour(), 5, anew=True)
    with patch("app.microphone.Microphone", Silence):
        desk.lay(whistles[1])
        QApplication.processEvents()
        desk.window.press_named("f")
        yield "club-turn", desk.window
        desk.window.press_named("f")
        desk.window.club_asked.emit()
        assert sheets.open_sheet is not None
        sheets.open_sheet.resize(1000, 760)
        yield "club", sheets.open_sheet
        sheets.open_sheet.reject()
        desk.clear()


def main(folder: Path) -> None:
    app = QApplication.instance() or QApplication([])
    app.setStyle("Fusion")
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as home:
        for pictured in (of_the_bench(), of_sheets(), of_a_club(Path(home))):
            for name, widget in pictured:
                widget.show()
                app.processEvents()
                widget.grab().save(str(folder / f"{name}.png"))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
