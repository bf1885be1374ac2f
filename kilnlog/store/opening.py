"""Opening a logbook file: is it ours, is it whole, may we write? What cannot be written is still read."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from kilnlog.records.errors import KilnlogError
from kilnlog.records.facts import TABLES
from kilnlog.store.connection import APPLICATION_ID, connected
from kilnlog.store.errors import (
    DamagedLogbook,
    MissingLogbook,
    NewerLogbook,
    NoAccess,
    NotALogbook,
    ReadOnlyLogbook,
)
from kilnlog.store.fact_tables import fact_table
from kilnlog.store.migrations import FINGERPRINTS, SCHEMA, fingerprint
from kilnlog.store.refusals import telling
from kilnlog.store.writing_lock import WritingLock

#: Up to this size every page is looked at on opening [bytes]; larger files wait for ``verify``.
_LOOKED_THROUGH = 32 * 2**20


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
        lock = WritingLock.take(path)
    except KilnlogError as refused:
        return _for_reading(path, refused)
    try:
        with telling(path):
            connection = connected(path, "rw")
            try:
                _try_writing(connection)
                _is_whole(connection, path)
            except BaseException:
                connection.close()
                raise
    except KilnlogError as refused:
        lock.release()
        return _for_reading(path, refused)
    except BaseException:
        lock.release()
        raise
    return Opened(connection, lock, None)


def _is_ours(path: Path) -> None:
    """Look at the file's marks without altering anything."""
    application, schema = _with_connection(path, _marks)
    if application == 0 and schema == 0 and path.stat().st_size == 0:
        raise NotALogbook(path=str(path), why="empty")
    if application != APPLICATION_ID:
        raise NotALogbook(path=str(path), why="other-program")
    if schema > SCHEMA:
        raise NewerLogbook(path=str(path), schema=schema, known=SCHEMA)
    if schema not in FINGERPRINTS:
        raise DamagedLogbook(path=str(path), why="schema", detail=f"user_version {schema}")


def _with_connection(path: Path, ask: Callable[[sqlite3.Connection], tuple[int, int]]) -> tuple[int, int]:
    """Ask over a connection that only reads; where a cut-off write must be undone first, undo it."""
    try:
        with telling(path):
            return _asked(path, "ro", ask)
    except ReadOnlyLogbook as error:
        if error.values["why"] != "unfinished-write":
            raise NoAccess(path=str(path)) from error
    try:
        with telling(path):
            return _asked(path, "rw", ask)
    except ReadOnlyLogbook as error:
        raise ReadOnlyLogbook(path=str(path), why="unfinished-write") from error


def _asked(path: Path, mode: str, ask: Callable[[sqlite3.Connection], tuple[int, int]]) -> tuple[int, int]:
    connection = connected(path, mode)
    try:
        return ask(connection)
    finally:
        connection.close()


def _marks(connection: sqlite3.Connection) -> tuple[int, int]:
    """The marks of whose file it is and of which schema."""
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    (schema,) = connection.execute("PRAGMA user_version").fetchone()
    connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()  # reads more than the first 100 bytes
    return application, schema


def _for_reading(path: Path, why: KilnlogError) -> Opened:
    with telling(path):
        connection = connected(path, "ro")
        try:
            try:
                _is_whole(connection, path)
            except DamagedLogbook as damage:
                _is_readable(connection)
                why = damage
        except BaseException:
            connection.close()
            raise
    return Opened(connection, None, why)


def _try_writing(connection: sqlite3.Connection) -> None:
    """Begin a write as far as making the journal, and take it back: nothing reaches the file."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    finally:
        if connection.in_transaction:
            connection.execute("ROLLBACK")


def _is_whole(connection: sqlite3.Connection, path: Path) -> None:
    """Raise ``DamagedLogbook`` where the rules in the file or its pages are not as we wrote them."""
    try:
        (schema,) = connection.execute("PRAGMA user_version").fetchone()
        if fingerprint(connection) != FINGERPRINTS[schema]:
            raise DamagedLogbook(path=str(path), why="schema", detail="")
        if path.stat().st_size <= _LOOKED_THROUGH:
            (answer,) = connection.execute("PRAGMA quick_check(1)").fetchone()
            if answer != "ok":
                raise DamagedLogbook(path=str(path), why="pages", detail=answer)
    except sqlite3.DatabaseError as error:
        with telling(path):
            raise error


def _is_readable(connection: sqlite3.Connection) -> None:
    """Raise where a damaged file does not even have the tables we read."""
    connection.execute("SELECT uid FROM logbook").fetchall()
    for table in TABLES:
        connection.execute(f"SELECT {', '.join(fact_table(table).columns)} FROM {table}").fetchall()
