"""Fresh logbooks for each test."""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from kilnlog.records.version import Entry
from kilnlog.store.logbook_file import LogbookFile
from tests.store.mill import filled, plain

Rows = dict[str, Entry[Any]]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "Mill.kilnlog"


@pytest.fixture
def book(path: Path) -> Iterator[LogbookFile]:
    with LogbookFile.create(path) as created:
        yield created


@pytest.fixture(scope="session")
def templates(tmp_path_factory: pytest.TempPathFactory) -> dict[bool, tuple[Path, Rows]]:
    """A logbook with a row of each kind, and the same with its charge closed, made once to be copied."""
    folder = tmp_path_factory.mktemp("templates")
    return {
        closed: (folder / f"{closed}.kilnlog", filled(folder / f"{closed}.kilnlog", closed=closed))
        for closed in (False, True)
    }


@pytest.fixture
def rows(path: Path, templates: dict[bool, tuple[Path, Rows]]) -> Rows:
    """What stands in the logbook at ``path``: one row of each kind, its charge open."""
    shutil.copy(templates[False][0], path)
    return templates[False][1]


@pytest.fixture
def closed_rows(path: Path, templates: dict[bool, tuple[Path, Rows]]) -> Rows:
    """The same with its charge closed."""
    shutil.copy(templates[True][0], path)
    return templates[True][1]


@pytest.fixture
def other(path: Path, rows: Rows) -> Iterator[sqlite3.Connection]:
    """Another program's connection to the file."""
    with plain(path) as connection:
        yield connection


@pytest.fixture
def folder() -> Iterator[Path]:
    """A folder that other users can reach, which pytest's own are not."""
    made = Path(tempfile.mkdtemp())
    made.chmod(0o755)
    yield made
    made.chmod(0o755)
    shutil.rmtree(made)
