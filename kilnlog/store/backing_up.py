"""A copy of a logbook for safe keeping: made by SQLite, checked whole, and only then given its name."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from kilnlog.store.connection import connected
from kilnlog.store.errors import BackupDiffers
from kilnlog.store.ledger import head_of
from kilnlog.store.placing import placed
from kilnlog.store.refusals import telling
from kilnlog.store.verifying import misfits

_PAGES_AT_A_TIME = 256  # others get a turn between two helpings
_PAUSE_S = 0.002


def back_up(connection: sqlite3.Connection, logbook: str, target: Path, *, as_it_is: bool = False) -> None:
    """Copy the logbook to ``target``, which must not exist yet.

    A copy that does not pass ``verify`` is thrown away and ``BackupDiffers`` raised: a backup that could not
    be relied on is worse than none. ``as_it_is`` allows the copy what does not fit in the file either.
    """
    with placed(target) as making, telling(target):
        # Taken first: the copy may hold more, where another program writes meanwhile, but nothing less.
        head = head_of(connection, logbook)
        copy = connected(making, "rwc")
        try:
            connection.backup(copy, pages=_PAGES_AT_A_TIME, sleep=_PAUSE_S)
        finally:
            copy.close()
        copy = connected(making, "ro")
        try:
            found = misfits(copy, logbook, head)
            if found and as_it_is:
                known = misfits(connection, logbook, head)
                found = tuple(misfit for misfit in found if misfit not in known)
        finally:
            copy.close()
        if found:
            raise BackupDiffers(path=str(target), misfit=found[0].why)
