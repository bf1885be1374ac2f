"""How a logbook file is connected to: the settings that keep it safe."""

from __future__ import annotations

import contextlib
import sqlite3
import sys
from pathlib import Path

#: "KiLn" in ASCII: marks the file as ours to SQLite and to ``file``.
APPLICATION_ID = 0x4B694C6E

#: How long another program may hold the file before we say that it is busy [s].
PATIENCE_S = 5.0

#: More statements than the store has, so that none is compiled twice.
_STATEMENTS = 256


def connected(path: Path, mode: str) -> sqlite3.Connection:
    """Connect to an existing file.

    Args:
        path: The file.
        mode: ``rw`` (SQLite falls back to reading where the file is write-protected), ``rwc`` to make it,
            ``ro``, or ``ro&immutable=1`` to look without a trace: no lock, no journal, nothing undone.
    """
    connection = sqlite3.connect(
        _uri(path) + f"?mode={mode}",
        uri=True,
        isolation_level=None,  # we begin and commit ourselves
        check_same_thread=False,  # it is made on one thread and worked on by one other
        cached_statements=_STATEMENTS,
        timeout=PATIENCE_S,
    )
    try:
        _settle(connection, mode)
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def _settle(connection: sqlite3.Connection, mode: str) -> None:
    if sys.version_info >= (3, 12):
        connection.setconfig(sqlite3.SQLITE_DBCONFIG_DEFENSIVE, True)
    connection.setlimit(sqlite3.SQLITE_LIMIT_ATTACHED, 0)
    connection.execute("PRAGMA trusted_schema = OFF")
    connection.execute("PRAGMA cell_size_check = ON")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA recursive_triggers = ON")
    if mode.startswith("ro"):
        connection.execute("PRAGMA query_only = ON")
        return
    # A commit has reached the disk, its folder included, before it returns.
    connection.execute("PRAGMA journal_mode = TRUNCATE")
    connection.execute("PRAGMA synchronous = EXTRA")


def let_go(connection: sqlite3.Connection) -> None:
    """Close a connection that may have written: undo what was not committed, remove the empty journal."""
    with contextlib.suppress(sqlite3.Error):
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        connection.execute("PRAGMA journal_mode = DELETE")
    connection.close()


def _uri(path: Path) -> str:
    uri = path.absolute().as_uri()
    # SQLite knows no host in a file URI; a Windows share is a path that begins with two slashes.
    return uri if uri.startswith("file:///") else uri.replace("file://", "file:////", 1)
