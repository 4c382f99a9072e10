"""The documents keep up with the code: names of acoustics, fields of the records, links between pages."""
import ast
import dataclasses
import re
from pathlib import Path

import pytest

from app import records

ROOT = Path(__file__).resolve().parent.parent
PAGES = sorted(path.relative_to(ROOT) for path in [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])
RECORDS = [kind for kind in vars(records).values() if dataclasses.is_dataclass(kind)]
# Files whose every public name is part of the acoustics that a reader may want to check.
EQUATIONS = ("air", "bore", "notes", "units", "window")
assert PAGES, "no pages found: the checks would pass on nothing"
assert RECORDS, "no records found: the checks would pass on nothing"


def names_the_app_uses() -> set[str]:
    """What any file of the app imports from acoustics, which makes it public."""
    nodes = [node for path in (ROOT / "app").rglob("*.py") for node in ast.walk(ast.parse(path.read_text("utf-8")))]
    imports = [node for node in nodes if isinstance(node, ast.ImportFrom)]
    return {alias.name for node in imports for alias in node.names if (node.module or "").startswith("acoustics.")}


def names_in_equations() -> set[str]:
    trees = [ast.parse((ROOT / f"acoustics/{name}.py").read_text("utf-8")) for name in EQUATIONS]
    named = [node for tree in trees for node in tree.body if isinstance(node, ast.FunctionDef | ast.ClassDef)]
    return {node.name for node in named if not node.name.startswith("_")}


@pytest.fixture(scope="module")
def acoustics_pages():
    pages = [path.read_text("utf-8") for path in (ROOT / "docs").glob("acoustics*.md")]
    assert pages
    return "\n".join(pages)


@pytest.mark.parametrize("name", sorted(names_the_app_uses() | names_in_equations()))
def test_public_name_of_acoustics_is_explained(name, acoustics_pages):
    assert re.search(rf"\b{name}\b", acoustics_pages), f"{name} is not in docs/acoustics*.md"


@pytest.mark.parametrize("kind", RECORDS, ids=lambda kind: kind.__name__)
def test_every_field_of_a_record_is_in_the_journals_page(kind):
    page = (ROOT / "docs/journal.md").read_text("utf-8")
    silent = [field.name for field in dataclasses.fields(kind) if f"`{field.name}`" not in page]
    assert not silent, f"docs/journal.md does not explain {silent} of {kind.__name__}"


@pytest.mark.parametrize("page", PAGES, ids=str)
def test_link_to_another_page_leads_somewhere(page):
    links = re.findall(r"\]\(([^)#\s]+)", (ROOT / page).read_text("utf-8"))
    local = [link for link in links if "://" not in link and not link.startswith("mailto:")]
    broken = [link for link in local if not ((ROOT / page).parent / link).exists()]
    assert not broken, f"{page} links to {broken}"
