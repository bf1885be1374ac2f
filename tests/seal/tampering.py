"""What somebody does who can write the file and knows how it is made: the ledger worked out anew."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from typing import Any

from tests.store.mill import plain, unruled


@contextmanager
def rebuilt(path: Path) -> Iterator[sqlite3.Connection]:
    """Alter rows and lines at will; then the ledger is numbered and hashed anew, seals' places with it.

    Written from the help page on the ledger, without kilnlog.
    """
    with unruled(path) as other:
        yield other
        ((logbook,),) = other.execute("SELECT uid FROM logbook")
        lines = other.execute("SELECT table_name, uid FROM ledger ORDER BY number").fetchall()
        other.execute("DELETE FROM ledger")
        head = sha256(f"kilnlog ledger\n{logbook}".encode()).hexdigest()
        for number, (table, uid) in enumerate(lines, start=1):
            if table == "closing":
                other.execute(
                    "UPDATE closing SET ledger_number = ?, ledger_head = ? WHERE uid = ?",
                    (number - 1, head, uid),
                )
            hashed = row_hash(other, table, uid)
            line = "\n".join([head, logbook, str(number), table, uid, hashed])
            head = sha256(line.encode()).hexdigest()
            other.execute(
                "INSERT INTO ledger (logbook, number, table_name, uid, row_sha256, chain_sha256)"
                " VALUES (?, ?, ?, ?, ?, ?)",
                (logbook, number, table, uid, hashed, head),
            )


def row_hash(other: sqlite3.Connection, table: str, uid: str) -> str:
    cursor = other.execute(f"SELECT * FROM {table} WHERE uid = ?", (uid,))
    names = [column[0] for column in cursor.description]
    row = dict(zip(names, cursor.fetchone(), strict=True))
    told = {name: value for name, value in row.items() if value is not None and name != "id"}
    text = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return sha256(text.encode()).hexdigest()


def rows(path: Path, sql: str) -> list[tuple[Any, ...]]:
    with plain(path) as other:
        return other.execute(sql).fetchall()
