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
from app.ui.preferences import Preferences
from app.ui.sheet import Sheet
from app.ui.whistle_form import WhistleForm
from tests.ui.fake_ear import FakeEar
from tests.ui.sheet_cases import harbour


def sheets(settings: Settings) -> Iterator[tuple[str, Sheet]]:
    """Every sheet, filled as a maker would leave it half-way."""
    start = FirstStart(settings, FakeEar(), judge=lambda samples, rate: ("A steady note.", "It came in well."))
    for index, name in enumerate(("microphone", "units", "air", "trial")):
        yield f"first-{name}", start
        start._ear.level_heard.emit("right")
        if index < 3:
            start.skip()
    preferences = Preferences(settings, FakeEar().devices, harbour(), lambda: 12)
    yield "preferences-top", preferences
    preferences.scroll.verticalScrollBar().setValue(preferences.scroll.verticalScrollBar().maximum())
    yield "preferences-end", preferences
    form = WhistleForm(settings, harbour())
    form.setMinimumWidth(round(min(1200 * settings.text_scale, 1280)))
    yield "whistle-top", form
    form.scroll.verticalScrollBar().setValue(form.scroll.verticalScrollBar().maximum())
    yield "whistle-end", form
    whole = WhistleForm(settings, harbour())
    whole.setFixedSize(1200, 1160)
    yield "whistle-whole", whole


def main(folder: Path) -> None:
    app = QApplication.instance() or QApplication([])
    folder.mkdir(parents=True, exist_ok=True)
    for theme, text_scale in (("light", 1.0), ("dark", 1.0), ("light", 2.0)):
        for name, sheet in sheets(Settings(theme=theme, text_scale=text_scale)):
            sheet.show()
            if name != "whistle-whole":
                sheet.resize(min(sheet.width(), 1280), min(sheet.height(), 760))
            app.processEvents()
            sheet.grab().save(str(folder / f"{name}-{theme}-{round(100 * text_scale)}.png"))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
