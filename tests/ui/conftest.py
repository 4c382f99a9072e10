"""What the tests of the bench share."""
from __future__ import annotations

import pytest

from tests.ui.bench_parts import bench_with
from tests.ui.sample_views import TRIM


@pytest.fixture
def window(qtbot):
    """The bench at its main moment, with the keyboard's focus; what it posts is in `window.posted`."""
    window = bench_with(TRIM)
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    window.activateWindow()
    window.setFocus()
    return window
