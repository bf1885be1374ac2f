"""Whether the seals of closings stand as they were written: quick enough to ask whenever they are shown."""

from __future__ import annotations

import sqlite3

from kilnlog.store.canonical import chain_hash, row_hash


def unfit_closings(connection: sqlite3.Connection, logbook: str) -> frozenset[str]:
    """The uids of closings whose row, or whose line in the ledger, is not what was written.

    Whether everything before them still stands too is for ``verify`` to find out.
    """
    cursor = connection.execute("SELECT * FROM closing ORDER BY id")
    names = [column[0] for column in cursor.description]
    return frozenset(
        row["uid"]
        for row in (dict(zip(names, values, strict=True)) for values in cursor.fetchall())
        if not _fits(connection, logbook, row)
    )


def _fits(connection: sqlite3.Connection, logbook: str, row: dict[str, str | int | float | None]) -> bool:
    row.pop("id")
    uid, number, head = str(row["uid"]), row["ledger_number"], str(row["ledger_head"])
    line = connection.execute(
        "SELECT number, row_sha256, chain_sha256 FROM ledger"
        " WHERE logbook = ? AND table_name = 'closing' AND uid = ?",
        (logbook, uid),
    ).fetchone()
    if line is None or not isinstance(number, int) or line[0] != number + 1:
        return False
    hashed = row_hash(row)
    return bool(line[1] == hashed and line[2] == chain_hash(head, logbook, line[0], "closing", uid, hashed))
