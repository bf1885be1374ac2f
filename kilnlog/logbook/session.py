"""A logbook in hand: the file, who writes in it, and by which clock."""

from __future__ import annotations

import getpass
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from uuid import uuid4

from kilnlog.logbook.clock import machine_clock, machine_zone
from kilnlog.logbook.errors import NoSuchCharge
from kilnlog.records.charge import Charge
from kilnlog.records.moment import Moment
from kilnlog.records.version import History
from kilnlog.store.logbook_file import LogbookFile

Clock = Callable[[], datetime]


@dataclass(frozen=True)
class Logbook:
    """The file in hand. Verbs are plain functions that take it first, on the thread that opened it."""

    file: LogbookFile
    who: str
    clock: Clock
    zone: str  # of what belongs to no charge

    def now(self, zone: str | None = None) -> Moment:
        """This moment, told in ``zone``, else in the logbook's own."""
        return Moment(self.clock(), zone or self.zone)

    def close(self) -> None:
        """Let go of the file."""
        self.file.close()

    def charge_numbered(self, number: str) -> History[Charge]:
        """The charge of that number as described now; raises ``NoSuchCharge``."""
        lines = self.file.charges()
        for line in lines:
            if (entry := line.current) is not None and entry.fact.charge == number:
                return line
        known = tuple(line.current.fact.charge for line in lines if line.current is not None)
        raise NoSuchCharge(charge=number, known=known)


def open_logbook(
    path: Path, *, read_only: bool = False, clock: Clock = machine_clock, who: str | None = None
) -> Logbook:
    """Open the logbook at ``path``; raises the store's ``KilnlogError``."""
    return Logbook(LogbookFile.open(path, read_only=read_only), who or user_name(), clock, machine_zone())


def new_logbook(path: Path, *, clock: Clock = machine_clock, who: str | None = None) -> Logbook:
    """Make an empty logbook at ``path`` and open it; raises where something is there already."""
    return Logbook(LogbookFile.create(path), who or user_name(), clock, machine_zone())


def user_name() -> str:
    """The name the machine knows its user by, ``unknown`` where it has none."""
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):  # no such user in the list, no list at all, no pwd (Windows)
        return "unknown"


def new_uid() -> str:
    """A uid nobody else makes, so that a retry cannot write twice and two logbooks can be laid together."""
    return str(uuid4())
