"""Pictures of the sheets: ``python -m tests.ui.sheet_shots OUTDIR``."""
from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication

from app.settings import Settings
from app.ui.first_start import FirstStart
from app.ui.lay_out_pages import PAPERS, SOUND, WOOD
from app.ui.preferences import Preferences
from app.ui.sheet import Sheet
from app.ui.ways_sheet import WaysSheet
from app.ui.whistle_form import WhistleForm
from tests.ui.fake_ear import FakeEar
from tests.ui.lay_out_cases import drilled
from tests.ui.sheet_cases import harbour
from tests.ui.shelf_cases import damaged, shelf
from tests.ui.shots import LOOKS
from tests.ui.ways_cases import flat, short, ways_of


def sheets(settings: Settings) -> Iterator[tuple[str, Sheet]]:
    """Every sheet, filled as a maker would leave it half-way."""
    start = FirstStart(settings, FakeEar(), judge=lambda samples, rate: ("A steady note.", "It came in well."))
    for index, name in enumerate(("microphone", "units", "air", "trial")):
        start._ear.level_heard.emit("right")
        start._ear.sound_heard.emit(None, 48_000)  # answered on the page of the trial alone
        yield f"first-{name}", start
        if index < 3:
            start.skip()
    preferences = Preferences(settings, FakeEar().devices, harbour(), lambda: 12)
    yield "preferences-top", preferences
    preferences.scroll.verticalScrollBar().setValue(preferences.scroll.verticalScrollBar().maximum())
    yield "preferences-end", preferences
    for name, bench in (("ways-flat", flat()), ("ways-short", short())):
        yield name, WaysSheet(ways_of(bench, settings.units), settings)
    yield "whistles", shelf(settings)
    yield "damaged", damaged(settings)
    yield from lay_out_pages(settings)


def lay_out_pages(settings: Settings) -> Iterator[tuple[str, Sheet]]:
    """The three pages of the lay-out sheet, at their tops and ends, and high enough for everything."""
    for name, page in (("sound", SOUND), ("wood", WOOD), ("papers", PAPERS)):
        form = WhistleForm(settings, harbour() if page == SOUND else drilled())
        form.show()  # Qt sizes and scrolls only what is shown
        form.resize(1280, 800)
        form.turn_to(page)
        QApplication.processEvents()
        yield f"lay-out-{name}", form
        for scroll in (form.scroll, form.pages.side_scroll):
            scroll.verticalScrollBar().setValue(scroll.verticalScrollBar().maximum())
        yield f"lay-out-{name}-end", form
        whole = WhistleForm(settings, harbour() if page == SOUND else drilled())
        whole.setFixedSize(1280, 800 if page == PAPERS else 1180)
        whole.show()
        whole.turn_to(page)
        yield f"lay-out-{name}-whole", whole


def on_large_screen(app: QApplication, folder: Path) -> None:
    """Sheets on 3840 x 2160, letters as chosen and twice as large."""
    for theme, text_scale in (("light", 1.0), ("dark", 2.0)):
        settings = Settings(theme=theme, text_scale=text_scale)
        for name, sheet in (("ways-flat", WaysSheet(ways_of(flat()), settings)), ("whistles", shelf(settings)),
                            ("damaged", damaged(settings))):
            sheet.show()
            sheet.resize(3840, 2160)
            app.processEvents()
            sheet.grab().save(str(folder / f"{name}-3840-{theme}-{round(100 * text_scale)}.png"))
        form = WhistleForm(Settings(theme=theme, text_scale=text_scale), drilled())
        form.show()
        form.resize(3840, 2160)
        for name, page in (("sound", SOUND), ("wood", WOOD), ("papers", PAPERS)):
            form.turn_to(page)
            app.processEvents()
            form.grab().save(str(folder / f"lay-out-{name}-3840-{theme}-{round(100 * text_scale)}.png"))


def main(folder: Path) -> None:
    app = QApplication.instance() or QApplication([])
    folder.mkdir(parents=True, exist_ok=True)
    for look, text_scale in (("light", 1.0), ("dark", 1.0), ("light", 2.0), ("high-light", 1.0), ("high-dark", 1.0)):
        for name, sheet in sheets(Settings(text_scale=text_scale, **LOOKS[look])):
            sheet.show()
            if not name.startswith("lay-out"):
                sheet.resize(min(sheet.width(), 1280), min(sheet.height(), 760))
            app.processEvents()
            sheet.grab().save(str(folder / f"{name}-{look}-{round(100 * text_scale)}.png"))
    on_large_screen(app, folder)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
