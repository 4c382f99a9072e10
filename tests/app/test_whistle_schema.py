"""The published schema and the page on the document say what the program does."""
from __future__ import annotations

import json
import re

import msgspec
import pytest

from app.whistle import dump_whistle, load_whistle
from app.whistle_schema import LIMITS_OF, document_schema, schema_bytes

CHAPTERS = {"The whistle": "Whistle", "Each of `chambers`": "Chamber", "`air`": "Air", "`body`": "Body",
            "`stock`": "Stock"}


def rows_of(root, chapter: str) -> dict[str, str]:
    """Key and range of every row of a chapter's table."""
    page = (root / "docs/whistle.md").read_text(encoding="utf-8")
    table = page.partition(f"\n## {chapter}\n")[2].partition("\n## ")[0]
    return dict(re.findall(r"^\| `(\w+)` \|\s*([^|]*?)\s*\|", table, flags=re.MULTILINE))


def test_the_published_schema_is_the_one_that_the_types_make(root) -> None:
    assert (root / "docs/whistle.schema.json").read_bytes() == schema_bytes(), "python -m app.whistle_schema > docs/…"


@pytest.mark.parametrize(("chapter", "kind"), CHAPTERS.items())
def test_the_page_names_every_key_and_no_other(root, chapter: str, kind: str) -> None:
    assert set(rows_of(root, chapter)) == set(document_schema()["$defs"][kind]["properties"])


@pytest.mark.parametrize(("chapter", "kind"), CHAPTERS.items())
def test_the_page_tells_each_limit_as_it_is_held(root, chapter: str, kind: str) -> None:
    told = rows_of(root, chapter)
    for key, limit in LIMITS_OF[kind].items():
        low, high = (float(text) for text in told[key].split(","))
        assert (low, high) == (limit.low, limit.high), key


def test_every_sample_has_only_keys_of_the_schema_and_all_that_it_requires(root) -> None:
    schema = document_schema()["$defs"]
    paths = sorted((root / "sample_audio").glob("*.whistle.json"))
    assert len(paths) >= 3
    for path in paths:
        document = json.loads(path.read_bytes())
        parts = [("Whistle", document), ("Air", document["air"]), *(("Chamber", one) for one in document["chambers"])]
        parts += [(kind, document[key]) for key, kind in (("body", "Body"), ("stock", "Stock")) if key in document]
        for kind, part in parts:
            assert set(part) <= set(schema[kind]["properties"])
            assert set(schema[kind].get("required", ())) <= set(part)


def test_limits_stand_in_the_schema() -> None:
    schema = document_schema()["$defs"]
    assert schema["Chamber"]["properties"]["bore_mm"]["minimum"] == 6.0
    assert schema["Air"]["additionalProperties"] is False
    reach = schema["Stock"]["properties"]["bit_reach_mm"]["anyOf"][0]
    assert (reach["minimum"], reach["maximum"]) == (20.0, 600.0)


def test_the_schema_is_json_that_a_general_library_reads_back_alike(root) -> None:
    path = root / "docs/whistle.schema.json"
    assert json.loads(path.read_bytes()) == msgspec.json.decode(path.read_bytes()) == document_schema()


def test_a_document_that_says_nothing_new_has_no_new_key(root) -> None:
    path = root / "sample_audio/fog-minor-triad.whistle.json"
    keys = json.loads(dump_whistle(load_whistle(path)))
    assert "body" not in keys
    assert "stock" not in keys
    assert set(keys["chambers"][0]) == {
        "letter", "bore_mm", "bore_length_mm", "window_width_mm", "window_height_mm", "target_hz", "note",
    }
