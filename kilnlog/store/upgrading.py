"""Bringing a file of an earlier schema to that of today: a checked copy first, then all steps or none."""

from __future__ import annotations

import sqlite3
from itertools import count
from pathlib import Path

from kilnlog.store.backing_up import back_up
from kilnlog.store.connection import connected
from kilnlog.store.ledger import head_of
from kilnlog.store.migrations import SCHEMA, migrate, schema_of


def upgrade(connection: sqlite3.Connection, path: Path) -> None:
    """Upgrade the file where it is of an earlier schema, leaving ``NAME before schema N`` beside it.

    The copy is as good as the file: what ``verify`` finds in the one it finds in the other. Without a copy
    nothing is upgraded; raises what ``back_up`` raises, or SQLite's errors.
    """
    if schema_of(connection) == SCHEMA:
        return
    _keep_copy(connection, path)
    connection.execute("BEGIN IMMEDIATE")
    migrate(connection)
    connection.execute("COMMIT")


def upgraded_in_memory(connection: sqlite3.Connection) -> sqlite3.Connection:
    """A copy of the file in memory at today's schema, for reading a file that is not to be touched."""
    copy = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
    try:
        connection.backup(copy)
        copy.execute("BEGIN")
        migrate(copy)
        copy.execute("COMMIT")
        copy.execute("PRAGMA trusted_schema = OFF")
        copy.execute("PRAGMA query_only = ON")
    except BaseException:
        copy.close()
        raise
    return copy


def _keep_copy(connection: sqlite3.Connection, path: Path) -> None:
    """Leave a copy, unless one of the very same was left by an upgrade that was cut off."""
    (logbook,) = connection.execute("SELECT uid FROM logbook").fetchone()
    for number in count(1):
        name = f"{path.stem} before schema {SCHEMA}" + (f" {number}" if number > 1 else "") + path.suffix
        target = path.with_name(name)
        if not target.exists():
            back_up(connection, logbook, target, as_it_is=True)
            return
        if _is_copy(connection, logbook, target):
            return


def _is_copy(connection: sqlite3.Connection, logbook: str, target: Path) -> bool:
    """Whether a file is the same logbook at the same schema and ledger head."""
    try:
        copy = connected(target, "ro")
    except sqlite3.Error:
        return False
    try:
        return (schema_of(copy), head_of(copy, logbook)) == (
            schema_of(connection),
            head_of(connection, logbook),
        )
    except sqlite3.Error:
        return False
    finally:
        copy.close()
