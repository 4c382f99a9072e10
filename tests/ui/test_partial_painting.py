"""A part is painted again only when its share of the view is new: what then stands on the screen must still be all."""
from __future__ import annotations

import itertools

import numpy as np
import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from tests.ui.bench_parts import bench_with
from tests.ui.sample_views import ALL

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")
ROUNDED_PIXELS = 8  # a smoothed line cut at the edge of what is painted again may round otherwise; a letter has more


def pixels(picture: QImage) -> np.ndarray:
    picture = picture.convertToFormat(QImage.Format.Format_RGB32)
    return np.frombuffer(picture.constBits(), np.uint32).reshape(picture.height(), picture.width())


@pytest.mark.parametrize(("before", "after"), list(itertools.permutations(ALL, 2))[::3], ids=str)
def test_screen_after_a_change_is_that_of_a_window_which_only_saw_the_last_view(qtbot, window, before, after):
    """The screen holds what was painted bit by bit; the other window knows nothing of the view before."""
    for name in (before, after):
        window.show_view(ALL[name])
        QApplication.processEvents()
    on_screen = window.screen().grabWindow(window.winId()).toImage()
    other = bench_with(ALL[after])
    qtbot.addWidget(other)
    assert np.count_nonzero(pixels(on_screen) != pixels(other.grab().toImage())) <= ROUNDED_PIXELS
