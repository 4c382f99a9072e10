"""Pictures of the bench at every stage: ``python -m tests.ui.shots OUTDIR``; prints how tall its capitals are."""
from __future__ import annotations

import math
import os
import sys
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from tests.ui.chord_views import SIZES, chord_views
from tests.ui.glue_views import glue_views
from tests.ui.sample_views import ALL, CUT, SIX, TRIM
from tests.ui.walk_views import all_walked

LOOKS = {
    "light": {"theme": "light", "contrast": "usual"}, "dark": {"theme": "dark", "contrast": "usual"},
    "high-light": {"theme": "light", "contrast": "high"}, "high-dark": {"theme": "dark", "contrast": "high"},
}
SCREEN_DIAGONAL_MM = 14 * 25.4  # a 14-inch screen
SHARE_OF_DISTANCE = 200  # capitals of 1/200 of the distance: 17 minutes of arc; 16 is the usual least (from memory)


class BreathDot(NamedTuple):
    at_s: float
    level_dbfs: float
    heard_hz: float | None


def invented_breath() -> list[BreathDot]:
    """Three blows of two seconds, 25 points a second; invented."""
    points = []
    for step in range(250):
        at_s = step / 25
        into_s = (at_s % 3.3) - 0.6
        if 0 <= into_s <= 2.0:
            level = -20 - 35 * math.exp(-into_s / 0.08) + 0.4 * math.sin(step * 1.3)
            heard = 887 * 2 ** ((4 * math.sin(step * 0.9) + 3 * math.sin(step * 0.31)) / 1200) if into_s > 0.1 else None
            points.append(BreathDot(at_s=at_s, level_dbfs=level, heard_hz=heard))
        elif points and points[-1].at_s == (step - 1) / 25:
            points.append(BreathDot(at_s=at_s, level_dbfs=-62.0, heard_hz=None))
    return points


def mm_per_px(width_px: int, height_px: int | None = None) -> float:
    """Of a screen of so many pixels; 16:10 where its height is not told."""
    return SCREEN_DIAGONAL_MM / math.hypot(width_px, height_px or width_px * 10 / 16)


def report(name: str, cap_px: float, width_px: int, height_px: int | None = None) -> None:
    cap_mm = cap_px * mm_per_px(width_px, height_px)
    print(f"{name:24} capitals {cap_px:6.1f} px = {cap_mm:5.1f} mm, read at {cap_mm * SHARE_OF_DISTANCE / 1000:.1f} m")


def main(out: Path) -> None:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtWidgets import QApplication

    from app.settings import Settings
    from app.ui.window import BenchWindow

    app = QApplication.instance() or QApplication([])
    out.mkdir(parents=True, exist_ok=True)
    window = BenchWindow(lambda event: None, Settings(theme="light", units="both", motion="usual"))
    window.show()
    window.show_breath(invented_breath())
    everything = {**ALL, **all_walked(), **chord_views(), **glue_views()}

    def shoot(name: str, cap_px: float | None = None) -> None:
        app.processEvents()
        window.grab().save(str(out / f"{name}.png"))
        cap_px = window.bench.page.sentence.cap_height_px() if cap_px is None else cap_px
        report(name, cap_px, window.width())

    def shoot_covers(look: str) -> None:
        window.show_view(TRIM)
        for key, name in (("f", "room"), ("?", "keys"), ("d", "figures")):
            window.press_named(key)
            shoot(f"{name}-{look}", window.bench.room.cap_height_px() if key == "f" else None)
            window.press_named(key)

    for width_px, height_px in SIZES:
        window.resize(width_px, height_px)
        large = "" if width_px == SIZES[0][0] else f"-{width_px}"
        for look, settings in LOOKS.items():
            window.apply_settings(Settings(motion="usual", **settings))
            for name, view in (ALL if large else everything).items():
                window.show_view(view)
                shoot(f"{name}-{look}{large}")
            shoot_covers(f"{look}{large}")
    window.resize(*SIZES[0])
    for scale in (1.25, 1.5, 2.0):
        window.apply_settings(Settings(theme="light", motion="usual", text_scale=scale))
        for name, view in (("trim", TRIM), ("six", SIX), ("trouble", ALL["trouble"])):
            window.show_view(view)
            shoot(f"{name}-{scale * 100:.0f}")
    window.apply_settings(Settings(theme="light", motion="reduced", units="inch"))
    window.show_view(replace(CUT, closer=replace(CUT.closer, jaws_text="1/8 in long on purpose")))
    window.press_named("t")
    shoot("typing-inch")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
