"""Putting a finished file into place under its name: it appears whole or not at all, and replaces nothing."""

from __future__ import annotations

import contextlib
import os
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from kilnlog.records.errors import KilnlogError
from kilnlog.store.errors import AlreadyExists, MissingFolder, ReadOnlyLogbook
from kilnlog.store.refusals import told_by_system


@contextmanager
def placed(target: Path) -> Iterator[Path]:
    """Yield a name to make the file under; once the block has ended well it carries ``target``'s name.

    Raises ``AlreadyExists``, ``MissingFolder``, ``ReadOnlyLogbook`` (new-file), ``DiskFull`` or
    ``DiskFailed``; nothing is left behind then.
    """
    if os.path.lexists(target):
        raise AlreadyExists(path=str(target))
    if not target.parent.is_dir():
        raise MissingFolder(path=str(target.parent))
    making = target.with_name(f".{target.name}.{uuid.uuid4().hex[:8]}")
    try:
        yield making
        _sync(making)
        _name(making, target)
        _sync(target.parent)
    except OSError as error:
        raise not_made(error, target) from error
    except ReadOnlyLogbook as error:
        raise ReadOnlyLogbook(path=str(target), why="new-file") from error
    finally:
        for left in (making, Path(f"{making}-journal")):
            with contextlib.suppress(OSError):
                left.unlink()


def not_made(error: OSError, target: Path) -> KilnlogError:
    """What the operator is told where a file, or the folder for it, could not be made."""
    heard = told_by_system(error, target)
    if isinstance(heard, ReadOnlyLogbook):  # there is no file yet that could be read at least
        return ReadOnlyLogbook(path=str(target), why="new-file")
    return heard


def _name(making: Path, target: Path) -> None:
    """Give the file its name without ever replacing another."""
    try:
        os.link(making, target)  # refuses an existing name, unlike rename
    except FileExistsError as error:
        raise AlreadyExists(path=str(target)) from error
    except OSError:
        # A memory stick knows no second name for a file.
        if os.path.lexists(target):
            raise AlreadyExists(path=str(target)) from None
        making.rename(target)


def _sync(path: Path) -> None:
    """Have the file, or the names in the folder, reach the disk."""
    folder = path.is_dir()
    if folder and os.name == "nt":
        return  # a folder cannot be opened there; the file system keeps its own journal of names
    handle = os.open(path, os.O_RDONLY if folder else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
