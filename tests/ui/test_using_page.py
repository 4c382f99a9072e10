"""docs/using.md tells what the window really has."""
from __future__ import annotations

import re

import pytest
from PySide6.QtGui import QAction

from app.ui.help_page import KEYS
from app.ui.window_keys import SHORTCUTS
from tests.ui.bench_parts import bench_with
from tests.ui.sample_views import TRIM

NAMES = {"pgup": "page up", "pgdown": "page down"}  # as the page of keys has them


def test_the_page_names_every_key_of_the_bench(root) -> None:
    table = (root / "docs" / "using.md").read_text(encoding="utf-8").partition("## Keys")[2]
    rows = re.findall(r"^\| (.+?) \|", table, flags=re.MULTILINE)
    assert len(rows) > len(KEYS)
    for key, _ in KEYS:
        first = re.split(r",| or ", key)[0]
        assert any(row.split(",")[0].split(" or ")[0] == first for row in rows), f"{key} is missing in docs/using.md"


@pytest.mark.qt_log_ignore("propagateSizeHints")
def test_the_page_of_keys_has_every_key_of_window_and_menu(qtbot) -> None:
    window = bench_with(TRIM)
    qtbot.addWidget(window)
    menu = {action.shortcut().toString() for action in window.findChildren(QAction)} - {""}
    assert {"Ctrl+B", "Ctrl+L", "Ctrl+N", "Ctrl+O"} <= menu
    told = {word.strip().lower() for key, _ in KEYS for word in re.split(r",| or ", key)}
    for key in (*SHORTCUTS, *menu):
        name = key.lower().replace("ctrl+", "ctrl and ")
        assert NAMES.get(name, name) in told, f"{key} is missing on the page of keys"


def test_every_picture_on_the_page_is_there(root) -> None:
    pictures = re.findall(r"\]\((pictures/[^)]+)\)", (root / "docs" / "using.md").read_text(encoding="utf-8"))
    assert pictures
    for picture in pictures:
        assert (root / "docs" / picture).stat().st_size > 10_000


def test_every_stage_has_its_chapter(root) -> None:
    page = (root / "docs" / "using.md").read_text(encoding="utf-8")
    for heading in ("Lay out", "Voice", "First blow", "Cut", "Trim", "Chord, and Glue"):
        assert f"\n## {heading}\n" in page


def test_nothing_is_called_safe(root) -> None:
    page = (root / "docs" / "using.md").read_text(encoding="utf-8")
    assert not re.search(r"\bsafe(ly|ty)?\b", page, flags=re.IGNORECASE)
    assert page.count("**Caution.**") >= 5
    for caution in page.split("> **Caution.**")[1:]:
        assert "ocal rules" in caution.partition("\n\n")[0]
