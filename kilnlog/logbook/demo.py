"""A fresh copy of the sample logbook: nothing typed there touches the original."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from importlib.resources import files
from pathlib import Path

from kilnlog.logbook.errors import FolderNotEmpty
from kilnlog.logbook.importing import import_file
from kilnlog.logbook.sample_folder import SAMPLE_NAME
from kilnlog.logbook.session import Clock, Logbook
from kilnlog.records.moment import Moment, zone_named
from kilnlog.records.version import current_entries, histories

#: When the mill of the sample makes its rounds, by its own clock.
ROUND_TIME = time(7, 44)


def sample_tables() -> Path:
    """The tables of the sample: inside the installed package, else at the top of the checkout."""
    package = Path(str(files("kilnlog")))
    inside = package / "sample_db"
    return inside if inside.is_dir() else package.parent / "sample_db"


def fresh_sample(folder: Path) -> Path:
    """Build the sample logbook anew in ``folder``, which must be empty, and return the file.

    Raises ``FolderNotEmpty``: what is made beside the sample must write over nobody's files.
    """
    folder.mkdir(parents=True, exist_ok=True)
    if any(folder.iterdir()):
        raise FolderNotEmpty(path=str(folder))
    path = folder / SAMPLE_NAME
    import_file(sample_tables(), path)
    return path


def sample_now(book: Logbook) -> Moment:
    """The morning the sample waits for: the day after its last weighing, at the time of the round."""
    last = max(entry.at for entry in current_entries(histories(book.file.entries("weighing"))))
    morning = datetime.combine(last.local.date() + timedelta(days=1), ROUND_TIME, zone_named(last.zone))
    return Moment(morning.astimezone(UTC), last.zone)


def clock_from(now: Moment, machine: Clock) -> Clock:
    """A clock that shows ``now`` at this instant and goes on from there."""
    ahead = now.utc - machine()
    return lambda: machine() + ahead
