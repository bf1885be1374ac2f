"""A logbook in a fresh folder, with a clock the test moves."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from kilnlog.logbook.session import Logbook
from kilnlog.store.logbook_file import LogbookFile

ZONE = "America/New_York"


class HandClock:
    """Stands still until it is moved."""

    def __init__(self) -> None:
        self.utc = datetime(2026, 11, 2, 12, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.utc

    def forward(self, **by: float) -> None:
        self.utc += timedelta(**by)


@pytest.fixture
def clock() -> HandClock:
    return HandClock()


@pytest.fixture
def book(tmp_path: Path, clock: HandClock) -> Iterator[Logbook]:
    opened = Logbook(LogbookFile.create(tmp_path / "mill.kilnlog"), "Wren", clock, ZONE)
    yield opened
    opened.close()
