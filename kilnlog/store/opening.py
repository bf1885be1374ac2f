"""Opening a logbook file: is it ours, is it whole, may we write? What cannot be written is still read."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from kilnlog.records.errors import KilnlogError
from kilnlog.records.facts import TABLES
from kilnlog.store.connection import APPLICATION_ID, connected, let_go
from kilnlog.store.errors import (
    DamagedLogbook,
    MissingLogbook,
    NewerLogbook,
    NoAccess,
    NotALogbook,
    ReadOnlyLogbook,
)
from kilnlog.store.fact_tables import fact_table
from kilnlog.store.migrations import FINGERPRINTS, SCHEMA, fingerprint, schema_of
from kilnlog.store.refusals import FAILURES, telling, told
from kilnlog.store.upgrading import upgrade, upgraded_in_memory
from kilnlog.store.writing_lock import WritingLock

#: Up to this size every page is looked at on opening [bytes]; larger files wait for ``verify``.
_LOOKED_THROUGH = 16 * 2**20


Seen = TypeVar("Seen")


@dataclass
class Opened:
    """A connection; with the lock it may write, without it ``why_read_only`` says why not."""

    connection: sqlite3.Connection
    lock: WritingLock | None
    why_read_only: KilnlogError | None


def opened(path: Path, *, read_only: bool) -> Opened:
    """Open a logbook file for writing, or for reading where that is all that can be had or was asked for.

    Raises one of ``kilnlog.store.errors`` where it cannot be read either; the file is then untouched.
    """
    if path.is_dir():
        raise NotALogbook(path=str(path), why="folder")
    if not path.exists():
        raise MissingLogbook(path=str(path))
    _is_ours(path)
    if read_only:
        return _for_reading(path, ReadOnlyLogbook(path=str(path), why="asked"))
    try:
        return _for_writing(path)
    except KilnlogError as refused:
        return _for_reading(path, refused)


def _is_ours(path: Path) -> None:
    """Look at the file's marks without leaving a trace on what may be another program's."""
    with telling(path):
        try:
            application, schema = _marks(path, "ro&immutable=1")
        except FAILURES as error:
            heard = told(error, path)
            if isinstance(heard, ReadOnlyLogbook):
                raise NoAccess(path=str(path)) from error
            if not isinstance(heard, DamagedLogbook):
                raise
            # Seen without a lock, a write going on or cut off can look like damage.
            application, schema = _once_undone(path, lambda: _marks(path, "ro"))
    if application != APPLICATION_ID:
        empty = path.stat().st_size == 0
        raise NotALogbook(path=str(path), why="empty" if empty else "other-program")
    if schema > SCHEMA:
        raise NewerLogbook(path=str(path), schema=schema, known=SCHEMA)
    if schema not in FINGERPRINTS:
        raise DamagedLogbook(path=str(path), why="schema", detail=f"user_version {schema}")


def _marks(path: Path, mode: str) -> tuple[int, int]:
    """The marks of whose file it is and of which schema."""
    connection = connected(path, mode)
    try:
        (application,) = connection.execute("PRAGMA application_id").fetchone()
        (schema,) = connection.execute("PRAGMA user_version").fetchone()
    finally:
        connection.close()
    return application, schema


def _for_writing(path: Path) -> Opened:
    lock = WritingLock.take(path)
    try:
        with telling(path):
            connection = connected(path, "rw")
            try:
                _try_writing(connection)
                if (damage := _damage(connection, path)) is not None:
                    raise damage
                upgrade(connection, path)
            except BaseException:
                let_go(connection)
                raise
    except BaseException:
        lock.release()
        raise
    return Opened(connection, lock, None)


def _try_writing(connection: sqlite3.Connection) -> None:
    """Begin a write as far as making the journal, and take it back: nothing reaches the file."""
    connection.execute("BEGIN IMMEDIATE")
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.execute("ROLLBACK")


def _for_reading(path: Path, why: KilnlogError) -> Opened:
    with telling(path):
        return _once_undone(path, lambda: _reading(path, why))


def _once_undone(path: Path, look: Callable[[], Seen]) -> Seen:
    """Look at the file; where a write was cut off, have it undone first, which needs the right to write."""
    try:
        return look()
    except sqlite3.OperationalError as error:
        if error.sqlite_errorcode != sqlite3.SQLITE_READONLY_ROLLBACK:
            raise
    connection = connected(path, "rw")
    try:
        _look_inside(connection)
    finally:
        let_go(connection)
    return look()


def _reading(path: Path, why: KilnlogError) -> Opened:
    connection = connected(path, "ro")
    try:
        _look_inside(connection)
        damage = _damage(connection, path)
        if schema_of(connection) < SCHEMA:
            connection = _of_today(connection, damage)
        if damage is not None:
            _read_through(connection, damage)
            why = damage
    except BaseException:
        connection.close()
        raise
    return Opened(connection, None, why)


def _of_today(connection: sqlite3.Connection, damage: DamagedLogbook | None) -> sqlite3.Connection:
    """The file at today's schema, in memory, in place of the connection given."""
    try:
        copy = upgraded_in_memory(connection)
    except sqlite3.Error as error:
        if damage is None:
            raise
        raise damage from error
    connection.close()
    return copy


def _look_inside(connection: sqlite3.Connection) -> None:
    connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()


def _damage(connection: sqlite3.Connection, path: Path) -> DamagedLogbook | None:
    """What is not as kilnlog wrote it: the rules in the file or, where there are few, its pages."""
    try:
        if fingerprint(connection) != FINGERPRINTS[schema_of(connection)]:
            return DamagedLogbook(path=str(path), why="schema", detail="")
        (wanted,) = connection.execute(
            "SELECT page_count * page_size FROM pragma_page_count, pragma_page_size"
        ).fetchone()
        # SQLite reads zeros for what is missing of the last page, and may find nothing wrong with them.
        if path.stat().st_size < wanted:
            return DamagedLogbook(path=str(path), why="pages", detail="cut off")
        if path.stat().st_size <= _LOOKED_THROUGH:
            (answer,) = connection.execute("PRAGMA quick_check(1)").fetchone()
            if answer != "ok":
                return DamagedLogbook(path=str(path), why="pages", detail=answer)
    except FAILURES as error:
        heard = told(error, path)
        if not isinstance(heard, DamagedLogbook):
            raise
        return heard
    return None


def _read_through(connection: sqlite3.Connection, damage: DamagedLogbook) -> None:
    """Raise where a damaged file cannot be read to its end: half a record passes for a whole one."""
    connection.execute("SELECT uid FROM logbook").fetchone()
    connection.execute("SELECT chain_sha256 FROM ledger").fetchall()
    for table in TABLES:
        mapping = fact_table(table)
        for row in connection.execute(mapping.select_sql):
            try:
                mapping.entry_of(row)
            except (ValueError, LookupError, TypeError, ArithmeticError, KilnlogError) as error:
                raise damage from error
