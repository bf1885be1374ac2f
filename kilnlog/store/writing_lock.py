"""The lock that only one program at a time may hold to write a logbook. It dies with its process.

It is the operating system's lock on a file beside the logbook, not on the logbook: closing any handle on a
file drops all of SQLite's own locks on it in this process. What counts is the lock, not the file, so one left
over from a crash hinders nobody.
"""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path

from kilnlog.store.errors import LockedLogbook
from kilnlog.store.refusals import told_by_system

if sys.platform == "win32":
    import msvcrt

    def _seize(handle: int) -> None:
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _seize(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


class WritingLock:
    """The right to write one logbook, held until ``release`` or the end of the process."""

    def __init__(self, path: Path, handle: int) -> None:
        self._path = path
        self._handle = handle

    @classmethod
    def take(cls, logbook: Path) -> WritingLock:
        """Take the lock or raise ``LockedLogbook``; ``ReadOnlyLogbook`` where nothing can be made there."""
        # One file by two names must meet the same lock.
        path = Path(f"{logbook.resolve()}-lock")
        while True:
            try:
                handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
            except OSError as error:
                raise told_by_system(error, logbook) from error
            try:
                _seize(handle)
            except (BlockingIOError, PermissionError) as error:
                os.close(handle)
                raise LockedLogbook(path=str(logbook), why="writing") from error
            except OSError as error:  # a file system that knows no locks
                os.close(handle)
                raise told_by_system(error, logbook) from error
            if _is_still(path, handle):
                return cls(path, handle)
            os.close(handle)  # its holder removed it between our opening and locking it

    def release(self) -> None:
        """Give the right back."""
        if sys.platform == "win32":
            os.close(self._handle)  # an open file cannot be removed there
            with contextlib.suppress(OSError):
                self._path.unlink()
        else:
            with contextlib.suppress(OSError):
                self._path.unlink()
            os.close(self._handle)


def _is_still(path: Path, handle: int) -> bool:
    """Whether the locked file is the one others will find under that name."""
    if sys.platform == "win32":
        return True
    try:
        found = path.stat()
    except FileNotFoundError:
        return False
    held = os.fstat(handle)
    return (found.st_dev, found.st_ino) == (held.st_dev, held.st_ino)
