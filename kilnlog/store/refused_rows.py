"""Why a row was refused, in the operator's terms: which charge is closed, which name is taken."""

from __future__ import annotations

import sqlite3
from dataclasses import fields
from pathlib import Path
from typing import Any

from kilnlog.records.errors import KilnlogError
from kilnlog.records.facts import TABLE_OF
from kilnlog.records.version import Entry
from kilnlog.store.errors import (
    AlreadySuperseded,
    ChargeClosed,
    HasCurrentChildren,
    LotClosed,
    NameTaken,
    RefusedByRecord,
)
from kilnlog.store.fact_tables import fact_table
from kilnlog.store.refusals import refused_by_rule, refused_row, told


def refusal(
    error: BaseException, entry: Entry[Any], connection: sqlite3.Connection, path: Path
) -> KilnlogError | None:
    """What the operator is told, or None where the error speaks for itself or is a defect."""
    if not isinstance(error, sqlite3.Error):
        return None
    if not isinstance(error, sqlite3.IntegrityError):
        return told(error, path)
    table = TABLE_OF[type(entry.fact)]
    rule = refused_by_rule(error)
    if rule is None:
        return refused_row(error, table, fact_table(table).row_of(entry))
    heard: KilnlogError
    match rule:
        case "charge-closed", _:
            heard = ChargeClosed(charge=_charge_number(entry, connection))
        case "lot-closed", _:
            heard = LotClosed(charge=_charge_number(entry, connection), lot=_lot_label(entry, connection))
        case "already-superseded", _:
            heard = AlreadySuperseded(table=table)
        case "name-taken", _:
            heard = NameTaken(table=table, name=name_of(entry.fact))
        case "has-current-children", children:
            heard = HasCurrentChildren(table=table, name=name_of(entry.fact), children=children)
        case why, _:
            heard = RefusedByRecord(table=table, why=why)
    return heard


def name_of(fact: Any) -> str:
    """What the operator calls it: its label, or ``T8 step 2`` for a step; empty for a fact without a name."""
    table = TABLE_OF[type(fact)]
    if table == "schedule_step":
        return f"{fact.schedule} step {fact.step}"
    return str(getattr(fact, table)) if table in {field.name for field in fields(fact)} else ""


def _charge_number(entry: Entry[Any], connection: sqlite3.Connection) -> str:
    if TABLE_OF[type(entry.fact)] == "charge":
        return str(entry.fact.charge)
    found = connection.execute(
        "SELECT charge FROM current_charge WHERE entity = ?", (entry.fact.charge,)
    ).fetchone()
    return str(found[0]) if found else str(entry.fact.charge)


#: The closed lot that a fact names, or that its board belongs to.
_CLOSED_LOTS = """
SELECT l.lot FROM current_lot AS l JOIN current_closing AS r ON r.lot = l.entity
WHERE r.charge = :charge AND r.reopened IS NOT 1 AND l.entity IN (
    :lot, (SELECT b.lot FROM current_board AS b WHERE b.entity = :board)
)
"""


def _lot_label(entry: Entry[Any], connection: sqlite3.Connection) -> str:
    table = TABLE_OF[type(entry.fact)]
    if table == "lot":
        return str(entry.fact.lot)
    facts = [entry.fact]
    if entry.version.supersedes is not None:
        mapping = fact_table(table)
        sql = f"{mapping.select_sql} WHERE uid = ?"
        rows = connection.execute(sql, (entry.version.supersedes,)).fetchall()
        facts += [mapping.entry_of(row).fact for row in rows]
    for fact in facts:
        named = {name: getattr(fact, name, None) for name in ("charge", "lot", "board")}
        if table == "board":
            named["board"] = None  # its own label, no reference
        if (found := connection.execute(_CLOSED_LOTS, named).fetchone()) is not None:
            return str(found[0])
    return ""
