"""Checking a logbook: every row against its ledger line, every line against the one before, every page."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from kilnlog.store.canonical import chain_hash, first_hash, row_hash
from kilnlog.store.ledger import LedgerHead
from kilnlog.store.logger_digest import changed_days
from kilnlog.store.migrations import FINGERPRINTS, TABLES_OF, fingerprint, schema_of
from kilnlog.store.refusals import FAILURES

#: Number, table, uid, row hash and chain hash of one ledger row.
Line = tuple[int, str, str, str, str]

#: Told how many of how many ledger lines are checked; may raise to give up.
Progress = Callable[[int, int], None]

_AT_A_TIME = 500  # ledger lines; between two helpings others may write, and progress is told


@dataclass(frozen=True, slots=True)
class Misfit:
    """Something in the file that is not as it was written.

    Attributes:
        why: ``row-changed``, ``row-missing``, ``row-not-in-ledger``, ``order-changed`` (a row stands
            elsewhere in its table than it was written), ``ledger-gap`` (lines are missing before this one),
            ``ledger-changed`` (the line does not follow from the one before), ``seal-broken`` (a closing
            does not carry the ledger's head at its place), ``cut-short`` (the ledger ends before the head
            given), ``head-differs`` (the ledger's line of that number is another than the head given),
            ``rules-changed`` (tables, views or triggers), ``pages`` (damage found by SQLite), ``reference``
            (into nothing), ``readings-changed`` (a day of a logger's batch, named by the detail; which is
            empty where days were added, taken away or hashed anew).
        number: The ledger line, where there is one.
        table: The row's table, where it is about a row.
        uid: The row's uid, where it is about a row.
        detail: What SQLite said, the day (``YYYY-MM-DD`` of UTC) of readings changed, or empty.
    """

    why: str
    number: int | None = None
    table: str | None = None
    uid: str | None = None
    detail: str = ""


def misfits(
    connection: sqlite3.Connection,
    logbook: str,
    head: LedgerHead | None = None,
    progress: Progress | None = None,
) -> tuple[Misfit, ...]:
    """All that does not fit, rows in the order written before everything else; empty where all is well.

    Args:
        connection: To the file; rows added by others meanwhile do no harm.
        logbook: The logbook's uid.
        head: A head noted earlier outside the file, to be found again in the ledger.
        progress: Called now and then.
    """
    found: list[Misfit] = []
    for check in (
        _ledger(connection, logbook, progress),
        _lines_of_others(connection, logbook),
        _rows_beside_the_ledger(connection),
        _readings(connection),
        _head(connection, logbook, head),
        _rules(connection),
        _pages(connection),
    ):
        try:
            found.extend(check)
        except FAILURES as error:
            found.append(Misfit("pages", detail=str(error)))
    return tuple(found)


def _ledger(connection: sqlite3.Connection, logbook: str, progress: Progress | None) -> Iterator[Misfit]:
    (count,) = connection.execute("SELECT count(*) FROM ledger WHERE logbook = ?", (logbook,)).fetchone()
    tables = TABLES_OF[schema_of(connection)]
    before, last_number, last_ids = first_hash(logbook), 0, dict.fromkeys(tables, 0)
    row_of = {table: _row_finder(connection, table) for table in tables}
    for done, (number, table, uid, hashed, chained) in enumerate(_lines(connection, logbook, count)):
        if progress is not None and done % _AT_A_TIME == 0:
            progress(done, count)
        if number != last_number + 1:
            yield Misfit("ledger-gap", number, table, uid)
        elif chain_hash(before, logbook, number, table, uid, hashed) != chained:
            yield Misfit("ledger-changed", number, table, uid)
        row = row_of[table](uid) if table in row_of else None
        if row is None:
            yield Misfit("row-missing", number, table, uid)
        else:
            place = row.pop("id")
            if row_hash(row) != hashed:
                yield Misfit("row-changed", number, table, uid)
            elif table == "closing" and (row["ledger_number"], row["ledger_head"]) != (last_number, before):
                yield Misfit("seal-broken", number, table, uid)
            if place <= last_ids[table]:
                yield Misfit("order-changed", number, table, uid)
            last_ids[table] = place
        before, last_number = chained, number
    if progress is not None:
        progress(count, count)


def _lines(connection: sqlite3.Connection, logbook: str, count: int) -> Iterator[Line]:
    """The first ``count`` lines in order. Nobody's write has to wait for more than one helping of them."""
    number, left = 0, count
    while left > 0:
        lines: list[Line] = connection.execute(
            "SELECT number, table_name, uid, row_sha256, chain_sha256 FROM ledger"
            " WHERE logbook = ? AND number > ? ORDER BY number LIMIT ?",
            (logbook, number, min(left, _AT_A_TIME)),
        ).fetchall()
        if not lines:
            return
        yield from lines
        number, left = lines[-1][0], left - len(lines)


def _lines_of_others(connection: sqlite3.Connection, logbook: str) -> Iterator[Misfit]:
    for number, table, uid in connection.execute(
        "SELECT number, table_name, uid FROM ledger WHERE logbook <> ? ORDER BY number", (logbook,)
    ):
        yield Misfit("ledger-changed", number, table, uid)


def _row_finder(connection: sqlite3.Connection, table: str) -> Callable[[str], dict[str, Any] | None]:
    sql = f"SELECT * FROM {table} WHERE uid = ?"
    names = [column[0] for column in connection.execute(f"{sql} LIMIT 0", ("",)).description]

    def find(uid: str) -> dict[str, Any] | None:
        values = connection.execute(sql, (uid,)).fetchone()
        return None if values is None else dict(zip(names, values, strict=True))

    return find


def _rows_beside_the_ledger(connection: sqlite3.Connection) -> Iterator[Misfit]:
    for table in TABLES_OF[schema_of(connection)]:
        for (uid,) in connection.execute(
            f"SELECT uid FROM {table}"
            " WHERE uid NOT IN (SELECT uid FROM ledger WHERE table_name = ?) ORDER BY id",
            (table,),
        ):
            yield Misfit("row-not-in-ledger", table=table, uid=uid)


def _readings(connection: sqlite3.Connection) -> Iterator[Misfit]:
    if "logger_batch" not in TABLES_OF[schema_of(connection)]:
        return
    batches = connection.execute("SELECT uid, digest FROM logger_batch WHERE version = 'first' ORDER BY id")
    for batch, digest in batches.fetchall():
        for day in changed_days(connection, batch, digest):
            yield Misfit("readings-changed", table="logger_batch", uid=batch, detail=day)


def _head(connection: sqlite3.Connection, logbook: str, head: LedgerHead | None) -> Iterator[Misfit]:
    if head is None:
        return
    found = connection.execute(
        "SELECT chain_sha256 FROM ledger WHERE logbook = ? AND number = ?", (logbook, head.number)
    ).fetchone()
    if found is None and head.number > 0:
        yield Misfit("cut-short", head.number)
    elif (found[0] if found else first_hash(logbook)) != head.hash_hex:
        yield Misfit("head-differs", head.number)


def _rules(connection: sqlite3.Connection) -> Iterator[Misfit]:
    if fingerprint(connection) != FINGERPRINTS.get(schema_of(connection)):
        yield Misfit("rules-changed")


def _pages(connection: sqlite3.Connection) -> Iterator[Misfit]:
    for (answer,) in connection.execute("PRAGMA integrity_check"):
        if answer != "ok":
            yield Misfit("pages", detail=answer)
    for table, _, parent, _ in connection.execute("PRAGMA foreign_key_check"):
        yield Misfit("reference", table=table, detail=parent)
