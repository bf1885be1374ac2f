"""Rules of the house that no linter knows."""

from __future__ import annotations

import fnmatch
import re
import subprocess
import sys
from pathlib import Path

from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from kilnlog.ui.errors import DEBIAN_PACKAGES

TOP = Path(__file__).parents[1]
ALLOWED = {"README.md", "DEVELOPERS.md", "pyproject.toml", "kilnlog", "resources", "tests", "sample_db"}
TEXT_FILES = {".py", ".md", ".toml", ".csv", ".txt", ".sql", ""}

#: In halves, so that this list does not find itself.
FORBIDDEN = (
    ("/wo", "rk/"),
    ("/tm", "p/"),
    (r"\bthe see", r"d\b"),
    ("see", "d document"),
    ("tran", "script"),
    ("sub", "agent"),
    ("this ses", "sion"),
    ("tool lib", "rary"),
    (r"\bsha", "red/(ref|des|look|stack)"),
)


def ignored_names() -> list[str]:
    return [line.rstrip("/") for line in (TOP / ".gitignore").read_text(encoding="utf-8").split()]


def own_files() -> list[Path]:
    """Every text file of the project, without what a build or a tool leaves behind."""
    patterns = ignored_names()
    return [
        path
        for path in TOP.rglob("*")
        if path.is_file()
        and path.suffix in TEXT_FILES
        and ".git" not in path.parts
        and not any(fnmatch.fnmatch(part, name) for part in path.relative_to(TOP).parts for name in patterns)
    ]


def test_the_top_level_holds_nothing_else() -> None:
    patterns = ignored_names()
    there = {
        path.name
        for path in TOP.iterdir()
        if not path.name.startswith(".") and not any(fnmatch.fnmatch(path.name, name) for name in patterns)
    }
    assert there == ALLOWED


def test_the_project_speaks_of_itself_alone() -> None:
    """No path of one machine, nothing about how or by whom it was written."""
    forbidden = re.compile("|".join("".join(halves) for halves in FORBIDDEN), re.IGNORECASE)
    files = own_files()
    assert len(files) > 100
    found = [
        f"{path.relative_to(TOP)}:{number}: {line.strip()[:80]}"
        for path in files
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if forbidden.search(line)
    ]
    assert found == []


def test_qt_gives_back_every_reference_to_none(qtbot: QtBot) -> None:
    """PySide6 6.12.0 on Python 3.11 loses one at every void call, until the interpreter dies."""
    widget = QWidget()
    qtbot.addWidget(widget)
    before = sys.getrefcount(None)
    for _ in range(1000):
        widget.update()
    assert abs(sys.getrefcount(None) - before) < 50


def test_the_command_line_starts_without_what_only_some_verbs_need() -> None:
    assert modules_after("kilnlog.cli") & {"PySide6", "pyqtgraph", "openpyxl", "reportlab"} == set()


def test_readme_window_and_ci_name_the_same_libraries() -> None:
    readme = (TOP / "README.md").read_text(encoding="utf-8").split()
    named = {word.strip("`,;:.)") for word in readme}
    ci = re.search(r'^qt_libraries="(.*)"$', (TOP / ".ci" / "run").read_text(encoding="utf-8"), re.MULTILINE)
    assert ci is not None
    assert set(ci[1].split()) <= named
    assert set(DEBIAN_PACKAGES.split()) <= named


def test_the_readme_has_one_test_command_for_ci_to_run() -> None:
    lines = (TOP / "README.md").read_text(encoding="utf-8").splitlines()
    (command,) = [line for line in lines if line.endswith("-m pytest")]
    assert command.startswith("python3 -m venv .venv && ")


def modules_after(*names: str) -> set[str]:
    """The top-level modules a fresh interpreter has loaded once it imported these."""
    asked = f"import {', '.join(names)}, sys; print(*{{name.partition('.')[0] for name in sys.modules}})"
    done = subprocess.run(
        [sys.executable, "-c", asked], capture_output=True, text=True, check=True, timeout=60
    )
    return set(done.stdout.split())
