"""For all tests: marks by folder, no screen, a home of its own for every test, and no unexpected warning in the log."""
import logging
import os
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
MARKED_FOLDERS = {"acoustics", "published", "simulation", "app", "microphone", "ui", "bench"}

# Before anything imports Qt: the tests draw off screen unless a platform was chosen for this run.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


def pytest_collection_modifyitems(items):
    for item in items:
        folder = item.path.relative_to(ROOT / "tests").parts[0]
        if folder in MARKED_FOLDERS:
            item.add_marker(getattr(pytest.mark, folder))


@pytest.fixture(scope="session")
def root():
    """The folder that holds the project, whatever the working folder is."""
    return ROOT


@pytest.fixture(autouse=True)
def own_home(tmp_path_factory, monkeypatch):
    """A home folder that nothing else uses: no test reads or writes the maker's own journal or settings."""
    home = tmp_path_factory.mktemp("home")
    for name in ("HOME", "USERPROFILE"):
        monkeypatch.setenv(name, str(home))
    for name, folder in {
        "XDG_CONFIG_HOME": ".config", "XDG_DATA_HOME": ".local/share", "XDG_STATE_HOME": ".local/state",
        "XDG_CACHE_HOME": ".cache", "APPDATA": "AppData/Roaming", "LOCALAPPDATA": "AppData/Local",
    }.items():
        monkeypatch.setenv(name, str(home / folder))
    return home


@pytest.fixture(autouse=True)
def no_unexpected_warning(request, caplog):
    """Fails a test in which our code logged a warning or worse, unless it is marked `logs_warnings`."""
    yield
    if request.node.get_closest_marker("logs_warnings"):
        return
    ours = [
        record for phase in ("setup", "call") for record in caplog.get_records(phase)
        if record.levelno >= logging.WARNING and record.name.partition(".")[0] in ("app", "acoustics")
    ]
    assert not ours, "unexpected in the log: " + "; ".join(f"{r.name}: {r.getMessage()}" for r in ours)
