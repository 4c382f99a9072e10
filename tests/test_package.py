"""The package holds every folder of source, says one version, and starts by its name."""
import subprocess
import sys
import tomllib

import pytest

import app


@pytest.fixture
def project(root):
    return tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))


def test_every_folder_of_source_is_in_the_package(root, project):
    folders = {path.parent for top in ("acoustics", "app") for path in (root / top).rglob("*.py")}
    names = {".".join(folder.relative_to(root).parts) for folder in folders}
    assert names == set(project["tool"]["setuptools"]["packages"])


def test_command_is_the_main_function(project):
    assert project["project"]["scripts"] == {"whistlewright": "app.__main__:main"}


def test_version_asked_of_the_command_is_that_of_the_package(root):
    command = [sys.executable, "-m", "app", "--version"]
    done = subprocess.run(command, cwd=root, capture_output=True, text=True, check=True)
    assert app.__version__ in done.stdout


def test_window_library_is_kept_below_the_release_that_aborts_python_3_11(project):
    (window_library,) = [need for need in project["project"]["dependencies"] if need.startswith("PySide6")]
    assert window_library == "PySide6-Essentials>=6.8.3,<6.12"


def test_set_up_asked_for_something_unknown_says_what_it_knows(root):
    done = subprocess.run(["sh", root / "tools/setup.sh", "holiday"], capture_output=True, text=True)
    assert done.returncode != 0
    assert "say run or test" in done.stderr
