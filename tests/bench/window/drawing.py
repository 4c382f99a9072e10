"""What drawing alone costs: a window with three blows running through its breath line at 15 frames a second."""
from __future__ import annotations

import time


def measure_drawing(duration_s: float) -> tuple[float, float]:
    """Frames a second and share of one core; in this process, so that nothing else of the program runs."""
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication

    from app.settings import Settings
    from app.ui.bridge import FRAME_MS
    from app.ui.window import BenchWindow
    from tests.ui.sample_views import TRIM
    from tests.ui.shots import BreathDot, invented_breath

    app = QApplication.instance() or QApplication([])
    window = BenchWindow(lambda event: None, Settings(theme="light"))
    window.show_view(TRIM)
    window.show()
    points = invented_breath()
    began_s, frames = time.monotonic(), 0

    def draw() -> None:
        nonlocal frames
        frames += 1
        late_s = time.monotonic() - began_s
        window.show_breath([BreathDot(p.at_s + late_s, p.level_dbfs, p.heard_hz) for p in points])

    timer = QTimer()
    timer.timeout.connect(draw)
    timer.start(FRAME_MS)
    QTimer.singleShot(round(duration_s * 1000), app.quit)
    app.processEvents()
    cpu_s = time.process_time()
    app.exec()
    spent_s = time.process_time() - cpu_s
    timer.stop()
    window.close()
    return frames / duration_s, spent_s / duration_s
