"""A fresh logbook for each test."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from kilnlog.store.logbook_file import LogbookFile


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "Mill.kilnlog"


@pytest.fixture
def book(path: Path) -> Iterator[LogbookFile]:
    with LogbookFile.create(path) as created:
        yield created
