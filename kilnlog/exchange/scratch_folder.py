"""A folder for what is only needed while a workbook is written; what a killed program left goes next time."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import gettempdir, mkdtemp

_PREFIX = "kilnlog-export-"
_IN_USE = "in-use"

if sys.platform == "win32":

    def _seize(_: int) -> None:
        """An open file cannot be removed there: that is lock enough."""

else:
    import fcntl

    def _seize(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextmanager
def scratch_folder() -> Iterator[Path]:
    """Yield a folder of our own that is gone afterwards, together with any that a killed program left."""
    _clear_what_was_left()
    folder = Path(mkdtemp(prefix=_PREFIX))
    handle = os.open(folder / _IN_USE, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        with suppress(OSError):  # a file system that knows no locks: the next export may then clear too early
            _seize(handle)
        yield folder
    finally:
        os.close(handle)
        shutil.rmtree(folder, ignore_errors=True)


def _clear_what_was_left() -> None:
    for left in Path(gettempdir()).glob(f"{_PREFIX}*"):
        mark = left / _IN_USE
        try:
            handle = os.open(mark, os.O_RDWR)
        except OSError:  # somebody else's, or just being made
            continue
        try:
            _seize(handle)
        except OSError:  # another export is at work in it
            os.close(handle)
            continue
        os.close(handle)
        with suppress(OSError):
            mark.unlink()  # refused where it is in use under Windows
            shutil.rmtree(left, ignore_errors=True)
