"""The rules in the file hold for any program: each is tried by plain SQL, with SQLite's own settings."""

from __future__ import annotations

import pytest

from kilnlog.records.charge import Charge
from kilnlog.records.version import VersionKind
from kilnlog.store.fact_tables import fact_table, quoted
from tests.store.mill import (
    CHILDLESS,
    IN_A_CHARGE,
    OPEN_TABLES,
    ZONE,
    every_row,
    first,
    plain,
    raw_insert,
    refused,
    renamed,
    second_charge,
    successor,
    void,
)


@pytest.mark.parametrize("table", ["logbook", "ledger", *OPEN_TABLES])
@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE {table} SET uid = uid",
        "UPDATE OR REPLACE {table} SET uid = uid || 'x'",
        "UPDATE OR IGNORE {table} SET uid = 'x'",
        "DELETE FROM {table}",
        "DELETE FROM {table} WHERE uid IS NOT NULL",
    ],
)
def test_no_row_is_altered_or_removed(path, other, table, statement):
    before = every_row(path)
    with refused("row-stays"):
        other.execute(statement.format(table=table))
    assert every_row(path) == before


@pytest.mark.parametrize("recursive", ["ON", "OFF"])
@pytest.mark.parametrize("how", ["INSERT OR REPLACE", "REPLACE", "INSERT OR IGNORE", "INSERT"])
@pytest.mark.parametrize("table", OPEN_TABLES)
def test_no_row_is_replaced(path, rows, other, table, how, recursive):
    other.execute(f"PRAGMA recursive_triggers = {recursive}")
    before = every_row(path)
    other_name = renamed(rows[table].fact)
    with refused("uid-taken"):
        raw_insert(other, first(other_name, uid=rows[table].entity), how, entered_by="Eve")
    with refused("uid-taken"):
        raw_insert(other, first(other_name), how, id=1)
    assert every_row(path) == before


@pytest.mark.parametrize("table", OPEN_TABLES)
def test_no_row_is_altered_by_an_upsert(rows, other, table):
    with refused("uid-taken"):
        row = fact_table(table).row_of(rows[table])
        other.execute(
            f"INSERT INTO {table} ({', '.join(map(quoted, row))}) VALUES ({', '.join('?' * len(row))})"
            " ON CONFLICT (uid) DO UPDATE SET entered_by = 'Eve'",
            tuple(row.values()),
        )


@pytest.mark.parametrize("how", ["INSERT", "INSERT OR REPLACE"])
def test_the_ledger_is_dense_and_replaces_nothing(other, how):
    line = (
        f"{how} INTO ledger SELECT logbook, number + ?, table_name, uid || ?, row_sha256, chain_sha256"
        " FROM ledger WHERE number = (SELECT max(number) FROM ledger)"
    )
    for gap in (0, -1, 2):
        with refused("ledger-not-dense"):
            other.execute(line, (gap, "x"))
    with refused("uid-taken"):
        other.execute(line, (1, ""))


@pytest.mark.parametrize("how", ["INSERT", "INSERT OR REPLACE"])
def test_a_file_holds_one_logbook(other, how):
    for uid in ("x", other.execute("SELECT uid FROM logbook").fetchone()[0]):
        with refused("one-logbook"):
            other.execute(f"{how} INTO logbook SELECT ?, made_utc, program_version FROM logbook", (uid,))


@pytest.mark.parametrize("how", ["INSERT", "INSERT OR REPLACE"])
@pytest.mark.parametrize("table", OPEN_TABLES)
def test_a_row_has_one_successor(path, rows, other, table, how):
    raw_insert(other, successor(rows[table], VersionKind.CHANGE))
    before = every_row(path)
    with refused("already-superseded"):
        raw_insert(other, successor(rows[table], VersionKind.CHANGE), how)
    assert every_row(path) == before


@pytest.mark.parametrize("kind", [VersionKind.CORRECTION, VersionKind.CHANGE, VersionKind.VOID])
@pytest.mark.parametrize("table", CHILDLESS)
def test_nothing_succeeds_a_row_taken_back(rows, other, table, kind):
    taken_back = void(rows[table])
    raw_insert(other, taken_back)
    with refused("taken-back"):
        raw_insert(other, successor(taken_back, kind))


@pytest.mark.parametrize("reason", [None, "", "  "])
@pytest.mark.parametrize("kind", [VersionKind.CORRECTION, VersionKind.VOID])
@pytest.mark.parametrize("table", CHILDLESS)
def test_a_correction_and_a_taking_back_say_why(rows, other, table, kind, reason):
    with refused("no-reason"):
        raw_insert(other, successor(rows[table], kind, reason))


@pytest.mark.parametrize("table", OPEN_TABLES)
def test_a_change_may_go_without_a_reason(rows, other, table):
    changed = successor(rows[table], VersionKind.CHANGE, None)
    raw_insert(other, changed)
    current = other.execute(f"SELECT uid FROM current_{table}").fetchall()
    assert current == [(changed.version.uid,)]


@pytest.mark.parametrize("table", OPEN_TABLES)
def test_a_first_version_is_its_own_entity_and_succeeds_nothing(rows, other, table):
    new = first(rows[table].fact)
    for altered in (
        {"entity": rows[table].entity},
        {"supersedes": rows[table].version.uid},
        {"version": "change"},
        {"version": "correction", "version_reason": "x"},
    ):
        with refused("wrong-first"):
            raw_insert(other, new, **altered)
    with refused("wrong-first"):
        raw_insert(other, successor(rows[table]), version="first")
    with refused("wrong-first"):
        raw_insert(other, successor(rows[table]), supersedes=None)


@pytest.mark.parametrize("table", OPEN_TABLES)
def test_a_successor_has_a_predecessor_of_its_entity(rows, other, table):
    with refused("no-predecessor"):
        raw_insert(other, successor(rows[table]), supersedes="nobody")
    with refused("other-entity"):
        raw_insert(other, successor(rows[table]), entity="somebody")


@pytest.mark.parametrize("table", IN_A_CHARGE)
def test_a_successor_stays_in_its_charge(rows, other, table):
    elsewhere = second_charge(other)
    moved = {
        name: uid for name, uid in elsewhere.items() if name in fact_table(table).columns and name != table
    }
    with refused("other-charge"):
        raw_insert(other, successor(rows[table]), **moved)


@pytest.mark.parametrize("table", [table for table in IN_A_CHARGE if table != "later_note"])
def test_a_closed_charge_takes_no_row(path, closed_rows, table):
    rows = closed_rows
    with plain(path) as other:
        before = every_row(path)
        with refused("charge-closed"):
            raw_insert(other, first(rows[table].fact))
        for kind in (VersionKind.CORRECTION, VersionKind.CHANGE, VersionKind.VOID):
            with refused("charge-closed"):
                raw_insert(other, successor(rows[table], kind))
        assert every_row(path) == before


def test_a_closed_charge_takes_notes(closed_rows, path):
    note = closed_rows["later_note"]
    with plain(path) as other:
        raw_insert(other, first(note.fact))
        raw_insert(other, successor(note, VersionKind.CORRECTION))


def test_a_closed_charge_is_not_described_anew_or_closed_again(path, closed_rows):
    rows = closed_rows
    with plain(path) as other:
        for kind in (VersionKind.CORRECTION, VersionKind.CHANGE, VersionKind.VOID):
            with refused("charge-closed"):
                raw_insert(other, successor(rows["charge"], kind))
            with refused("charge-closed"):
                raw_insert(other, successor(rows["closing"], kind))
        with refused("charge-closed"):
            raw_insert(other, first(rows["closing"].fact))
        raw_insert(other, first(Charge("2026-5", ZONE)))  # others go on
