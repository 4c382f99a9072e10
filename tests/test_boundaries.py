"""Who may import what: the layers of DEVELOPERS.md, checked on every source file."""
import ast
import subprocess
import sys
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
ACOUSTICS_MAY_IMPORT = {
    "__future__", "acoustics", "collections", "dataclasses", "enum", "functools", "itertools", "math", "numpy", "re",
    "scipy", "statistics", "typing",
}
# The walk and all it stands on: no Qt, SQL, file, clock, chance or thread can get in through these.
WALK_MAY_IMPORT = {
    "__future__", "acoustics", "app", "collections", "dataclasses", "enum", "functools", "hashlib", "itertools", "math",
    "numpy", "re", "typing",
}
ADDS_TIMES = "app.glue_clock"  # adds and compares times as the records write them, and asks no clock
# The whistle's document reads files, so the walk knows its types and nothing that opens one.
DOCUMENT = "app.whistle"
WALK_MAY_TAKE = {f"{DOCUMENT}.{name}" for name in ("Air", "Chamber", "Whistle", "to_plan")}
# outside library -> the only files that may import it
HOME_OF = {
    "PIL": ["app/picture_page.py"],
    "PySide6": ["app/ui/**/*.py", "app/paper/painter.py"],
    "librosa": ["app/sound_picture.py"],
    "sounddevice": ["app/microphone.py"],
    "soundfile": ["app/recording.py", "app/sound_files.py"],
    "sqlite3": ["app/journal*.py", "app/journal/**/*.py"],
}
# Slow to import, so only inside the function that uses it: a window must be on the screen within a second.
LATE = {"PIL", "PySide6", "librosa", "scipy", "sounddevice", "soundfile"}
# The invented whistle must not know the program's own acoustics: it would prove it right by agreeing with itself.
WORLD = ["acoustics/synthesis.py", "app/invented*.py", "app/practice*.py", "tests/simulation/world*.py"]
HIDDEN_FROM_WORLD = {f"acoustics.{name}" for name in ("advice", "bore", "evidence", "model", "tuning", "window")}

SOURCES = sorted(path.relative_to(ROOT) for top in ("acoustics", "app") for path in (ROOT / top).rglob("*.py"))
WORLD_FILES = sorted(path.relative_to(ROOT) for pattern in WORLD for path in ROOT.glob(pattern))
assert SOURCES, "no source files found: the checks would pass on nothing"
assert WORLD_FILES, "no world files found: the check would pass on nothing"


@cache
def imports_of(path: Path) -> frozenset[str]:
    """Dotted names of all imports of a file, those inside functions too; `from a.b import c` gives a, a.b and a.b.c."""
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    return frozenset(name for node in ast.walk(tree) for name in _named(node))


def imports_at_start_of(path: Path) -> Iterator[str]:
    """As `imports_of`, but only what runs when the file itself is imported."""
    waiting: list[ast.AST] = [ast.parse((ROOT / path).read_text(encoding="utf-8"))]
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda) or _only_for_types(node):
            continue
        yield from _named(node)
        waiting.extend(ast.iter_child_nodes(node))


def _only_for_types(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"


def _named(node: ast.AST) -> Iterator[str]:
    names: list[str] = []
    if isinstance(node, ast.Import):
        names = [alias.name for alias in node.names]
    elif isinstance(node, ast.ImportFrom) and node.module:
        names = [f"{node.module}.{alias.name}" for alias in node.names]
    for name in names:
        parts = name.split(".")
        yield from (".".join(parts[:end]) for end in range(1, len(parts) + 1))


def packages(names: Iterable[str]) -> set[str]:
    return {name.partition(".")[0] for name in names}


def file_of(module: str) -> Path | None:
    """The project's file of a dotted name, or None when the name is a library's or no module."""
    base = ROOT / module.replace(".", "/")
    for path in (base.with_suffix(".py"), base / "__init__.py"):
        if path.is_file():
            return path.relative_to(ROOT)
    return None


def reached(start: Path, through: str, but_not: str = "") -> set[str]:
    """Names of the modules that `start` imports, and those that these import, following files of `through` only."""
    found: set[str] = set()
    waiting = [start]
    while waiting:
        for module in imports_of(waiting.pop()) - found - {but_not}:
            path = file_of(module)
            if path is None or module.partition(".")[0] != through:
                continue
            found.add(module)
            waiting.append(path)
    return found


def at_home(path: Path, library: str) -> bool:
    return any(path in {home.relative_to(ROOT) for home in ROOT.glob(pattern)} for pattern in HOME_OF[library])


@pytest.mark.parametrize("path", SOURCES, ids=str)
def test_file_imports_only_what_its_layer_allows(path):
    names = imports_of(path)
    if path.parts[0] == "acoustics":
        strangers = packages(names) - ACOUSTICS_MAY_IMPORT
        assert not strangers, f"acoustics is pure: pass the value in, do not import {strangers}"
    for library in packages(names) & HOME_OF.keys():
        assert at_home(path, library), f"{library} belongs in {HOME_OF[library]} only"


@pytest.mark.parametrize("path", SOURCES, ids=str)
def test_slow_library_is_imported_inside_the_function_that_uses_it(path):
    slow = packages(imports_at_start_of(path)) & LATE
    if at_home(path, "PySide6"):
        slow.discard("PySide6")  # these files are themselves imported late
    assert not slow, f"import {slow} inside the function that uses it"


def test_reading_a_blow_never_needs_scipy():
    live = {"acoustics.blow"} | reached(Path("acoustics/blow.py"), through="acoustics")
    users = [module for module in sorted(live) if "scipy" in packages(imports_of(file_of(module)))]
    assert not users, f"{users} are in the live path: numpy and math only"


def test_walk_stands_on_pure_files_only():
    walk = {"app.workflow"} | reached(Path("app/workflow.py"), through="app", but_not=DOCUMENT)
    for module in sorted(walk):
        names = imports_of(file_of(module))
        strangers = packages(names) - WALK_MAY_IMPORT - ({"datetime"} if module == ADDS_TIMES else set())
        assert not strangers, f"{module} is part of the walk: bring what {strangers} would tell it as an event"
        taken = {name for name in names if name.startswith(DOCUMENT)} - {DOCUMENT} - WALK_MAY_TAKE
        assert not taken, f"{module} is part of the walk: {taken} may open files"


def test_written_times_are_added_without_a_clock():
    words = set(file_of(ADDS_TIMES).read_text().replace("(", " ").replace(".", " ").split())
    assert not words & {"now", "today", "utcnow", "astimezone", "fromtimestamp"}


@pytest.mark.parametrize("name", ["events", "records", "source", "view", "wording", "workflow"])
def test_file_of_the_walk_has_no_clock(name):
    path = Path(f"app/{name}.py")
    if not (ROOT / path).exists():
        pytest.fail(f"{path} is gone: name its successor here")
    assert not packages(imports_of(path)) & {"time", "datetime"}, "time comes in events"


@pytest.mark.parametrize("path", WORLD_FILES, ids=str)
def test_invented_world_does_not_know_the_programs_acoustics(path):
    known = (imports_of(path) | reached(path, through="acoustics")) & HIDDEN_FROM_WORLD
    assert not known, f"{path} shares {known} with the program it is to test"


def test_starting_the_command_loads_numpy_at_most():
    code = "import sys, app.__main__; print(*sorted({name.partition('.')[0] for name in sys.modules}))"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert not set(done.stdout.split()) & LATE
