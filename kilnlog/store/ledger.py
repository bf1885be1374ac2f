"""The ledger: one line for every row written, each line sealing all before it."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass

from kilnlog.store.canonical import SqlValue, chain_hash, first_hash, row_hash


@dataclass(frozen=True, slots=True)
class LedgerHead:
    """The last line of a ledger. Kept outside the file, it shows whether anything before it was altered."""

    number: int  # 0 where nothing was written yet
    hash_hex: str


def head_of(connection: sqlite3.Connection, logbook: str) -> LedgerHead:
    """The last line of the logbook's ledger."""
    found = connection.execute(
        "SELECT number, chain_sha256 FROM ledger WHERE logbook = ? ORDER BY number DESC LIMIT 1", (logbook,)
    ).fetchone()
    return LedgerHead(*found) if found else LedgerHead(0, first_hash(logbook))


def append(
    connection: sqlite3.Connection, logbook: str, head: LedgerHead, table: str, row: Mapping[str, SqlValue]
) -> LedgerHead:
    """Enter a row just written; ``head`` is the line before. Returns the new head."""
    number, uid, hashed = head.number + 1, str(row["uid"]), row_hash(row)
    chained = chain_hash(head.hash_hex, logbook, number, table, uid, hashed)
    connection.execute(
        "INSERT INTO ledger (logbook, number, table_name, uid, row_sha256, chain_sha256)"
        " VALUES (?, ?, ?, ?, ?, ?)",
        (logbook, number, table, uid, hashed, chained),
    )
    return LedgerHead(number, chained)
