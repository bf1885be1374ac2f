"""SQLite's refusals, turned into errors an operator may read."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from kilnlog.records.errors import KilnlogError, MissingValue, OutOfRange, UnknownWord
from kilnlog.store.canonical import SqlValue
from kilnlog.store.errors import (
    DamagedLogbook,
    DiskFailed,
    DiskFull,
    LockedLogbook,
    NotALogbook,
    ReadOnlyLogbook,
    RefusedByRecord,
)

_PRIMARY = 0xFF  # the low byte of an extended result code

_HEARD: dict[int, Callable[[str, sqlite3.Error], KilnlogError]] = {
    sqlite3.SQLITE_FULL: lambda path, _: DiskFull(path=path),
    sqlite3.SQLITE_IOERR: lambda path, error: DiskFailed(path=path, detail=error.sqlite_errorname),
    sqlite3.SQLITE_READONLY_ROLLBACK: lambda path, _: ReadOnlyLogbook(path=path, why="unfinished-write"),
    sqlite3.SQLITE_READONLY_DIRECTORY: lambda path, _: ReadOnlyLogbook(path=path, why="folder"),
    sqlite3.SQLITE_READONLY: lambda path, _: ReadOnlyLogbook(path=path, why="file"),
    sqlite3.SQLITE_CANTOPEN: lambda path, _: ReadOnlyLogbook(path=path, why="folder"),
    sqlite3.SQLITE_BUSY: lambda path, _: LockedLogbook(path=path, why="busy"),
    sqlite3.SQLITE_LOCKED: lambda path, _: LockedLogbook(path=path, why="busy"),
    sqlite3.SQLITE_CORRUPT: lambda path, error: DamagedLogbook(path=path, why="pages", detail=str(error)),
    sqlite3.SQLITE_NOTADB: lambda path, _: NotALogbook(path=path, why="not-a-database"),
}


#: What reading a file may raise; the second where SQLite's own complaint quotes broken text.
FAILURES = (sqlite3.Error, UnicodeDecodeError)


def told(error: BaseException, path: Path) -> KilnlogError | None:
    """What the operator is told about it, or None where it can only be a defect of the program."""
    if isinstance(error, UnicodeDecodeError) or str(error).startswith("Could not decode to UTF-8"):
        return DamagedLogbook(path=str(path), why="pages", detail="text")
    code = getattr(error, "sqlite_errorcode", None)
    if code is None or not isinstance(error, sqlite3.Error):
        return None
    heard = _HEARD.get(code) or _HEARD.get(code & _PRIMARY)
    return None if heard is None else heard(str(path), error)


def told_by_system(error: OSError, path: Path) -> KilnlogError:
    """What the operator is told where a file could not be made beside the logbook."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return DiskFull(path=str(path))
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return ReadOnlyLogbook(path=str(path), why="folder")
    return DiskFailed(path=str(path), detail=error.strerror or str(error))


@contextmanager
def telling(path: Path) -> Iterator[None]:
    """Let the operator hear what the disk or the file refused."""
    try:
        yield
    except FAILURES as error:
        if (heard := told(error, path)) is None:
            raise
        raise heard from error


def refused_row(
    error: sqlite3.IntegrityError, table: str, row: Mapping[str, SqlValue]
) -> KilnlogError | None:
    """What a column refused, or None where it was a rule (see ``refused_by_rule``) or something else.

    The constraints' names say what the value should have been: ``rh_pct: 0 to 100``.
    """
    what, _, name = str(error).partition(" constraint failed: ")
    if what == "NOT NULL":
        return MissingValue(column=name.partition(".")[2])
    if what != "CHECK":
        return None
    column, _, should = name.partition(": ")
    if should == "filled":
        return MissingValue(column=column)
    value = row.get(column, row.get(f"{column}_text"))
    if should.startswith("one of "):
        return UnknownWord(column=column, value=value, known=tuple(should[7:].split(" | ")))
    low, separator, high = should.partition(" to ")
    if separator:
        return OutOfRange(column=column, value=value, low=float(low), high=float(high))
    return RefusedByRecord(table=table, why=name)


def refused_by_rule(error: sqlite3.IntegrityError) -> tuple[str, str] | None:
    """The rule that refused a row and the table it names, or None where no rule did."""
    mark, _, rest = str(error).partition(":")
    if mark != "kilnlog":
        return None
    why, _, other = rest.partition(":")
    return why, other
