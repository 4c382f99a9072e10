"""docs/using.md tells what the window really has."""
from __future__ import annotations

import re

from app.ui.help_page import KEYS


def test_the_page_names_every_key_of_the_bench(root) -> None:
    table = (root / "docs" / "using.md").read_text(encoding="utf-8").partition("## Keys")[2]
    rows = re.findall(r"^\| (.+?) \|", table, flags=re.MULTILINE)
    assert len(rows) > len(KEYS)
    for key, _ in KEYS:
        first = re.split(r",| or ", key)[0]
        assert any(row.split(",")[0].split(" or ")[0] == first for row in rows), f"{key} is missing in docs/using.md"


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
