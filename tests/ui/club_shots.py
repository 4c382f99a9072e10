"""Pictures of the club evening: ``python -m tests.ui.club_shots OUTDIR``; prints how tall its capitals are."""
from __future__ import annotations

import os
import sys
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication

from app.club_book import NO_EVENING
from app.settings import Settings
from app.ui.club_add import ClubAdd
from app.ui.club_names import ClubNames
from app.ui.club_sheet import ClubSheet
from app.ui.sheet import Sheet
from tests.number_maker import WHISTLE
from tests.ui.bench_parts import bench_with
from tests.ui.club_cases import TURNS, dozen
from tests.ui.sample_views import TRIM
from tests.ui.shots import LOOKS, report

SIZES = ((1280, 800, 1.0), (1280, 800, 2.0), (3840, 2160, 2.0))


def main(folder: Path) -> None:
    app = QApplication.instance() or QApplication([])
    folder.mkdir(parents=True, exist_ok=True)
    found = dozen()
    for look, settings_of in LOOKS.items():
        for width_px, height_px, text_scale in SIZES:
            settings = Settings(text_scale=text_scale, **settings_of)
            listed = ClubSheet(settings)
            listed.show_whistles(found, found[4])
            sheets: dict[str, Sheet] = {
                "list": listed, "add": ClubAdd(settings, WHISTLE, NO_EVENING, True),
                "names": ClubNames(settings, [each.whistle for each in found], {}),
            }
            for name, sheet in sheets.items():
                sheet.show()
                natural_px = 1240 if name == "list" else 860
                sheet.resize(min(width_px, round(natural_px * text_scale)), min(height_px, round(760 * text_scale)))
                app.processEvents()
                sheet.grab().save(str(folder / f"club-{name}-{width_px}-{look}-{round(100 * text_scale)}.png"))
        for width_px, height_px in ((1280, 800), (3840, 2160)):
            window = bench_with(TRIM, width_px, height_px, **settings_of)
            window.press_named("f")
            for name, turn in TURNS.items():
                room = window.bench.room
                room.show_turn(turn)
                app.processEvents()
                window.grab().save(str(folder / f"club-room-{name}-{width_px}-{look}.png"))
                report(f"{name} {width_px}: number", room.number_height_px(), width_px, height_px)
                report(f"{name} {width_px}: sentence", room.cap_height_px(), width_px, height_px)
                report(f"{name} {width_px}: foot", room.foot_cap_height_px(), width_px, height_px)
                if turn.name:
                    report(f"{name} {width_px}: name", room.name_cap_height_px(), width_px, height_px)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
