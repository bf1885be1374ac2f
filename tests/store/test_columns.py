"""Every column takes what its kind allows and nothing else, whoever writes."""

from __future__ import annotations

import re
import sqlite3
import typing
from dataclasses import fields
from enum import StrEnum

import pytest

from kilnlog.records.facts import TABLES
from kilnlog.records.moment import Moment
from kilnlog.records.version import VersionKind
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.store.fact_tables import fact_table
from tests.store.mill import first, raw_insert, successor

OPEN_TABLES = [table for table in TABLES if table != "closing"]


def kinds(table: str) -> dict[str, tuple[type, bool]]:
    """Each field's kind and whether it may be left out, as the records declare them."""
    found = {}
    hints = typing.get_type_hints(TABLES[table])
    for field in fields(TABLES[table]):
        parts = typing.get_args(hints[field.name]) or (hints[field.name],)
        (kind,) = (part for part in parts if part is not type(None))
        found[field.name] = (kind, type(None) in parts)
    return found


FIELDS = [(table, name, *kind) for table in OPEN_TABLES for name, kind in kinds(table).items()]
OF_KIND = {
    sort: [(table, name) for table, name, kind, _ in FIELDS if issubclass(kind, sort)]
    for sort in (Weight, Moment, StrEnum)
}
#: Filled by the store itself where a fact leaves them out.
TIMES = [*((table, column) for table in OPEN_TABLES for column in ("observed_utc", "entered_utc"))] + [
    (table, f"{name}_utc") for table, name in OF_KIND[Moment]
]


def altered(rows, table: str):
    """A row that would be taken as it is."""
    return successor(rows[table], VersionKind.CHANGE)


def zone_of(column: str) -> dict[str, str]:
    """A moment's other column, so that the time alone is at fault."""
    return {} if column in ("observed_utc", "entered_utc") else {f"{column[:-4]}_zone": "UTC"}


@pytest.mark.parametrize(
    "text",
    [
        "2026-02-30T06:30:00.000000Z",
        "2026-13-01T06:30:00.000000Z",
        "2026-03-02T24:30:00.000000Z",
        "2026-03-02 06:30:00.000000Z",
        "2026-03-02T06:30:00Z",
        "2026-03-02T06:30:00.000Z",
        "2026-03-02T06:30:00.00000xZ",
        "2026-03-02T06:30:00.000000+01:00",
        "02.03.2026",
        "",
    ],
)
def test_a_time_is_one_that_exists_at_fixed_width(rows, other, text):
    for table, column in TIMES:
        with pytest.raises(sqlite3.IntegrityError, match=f"CHECK constraint failed: {column}: a UTC time"):
            raw_insert(other, altered(rows, table), **{column: text}, **zone_of(column))


@pytest.mark.parametrize(
    "text", ["2024-02-29T23:59:59.999999Z", "1999-12-31T00:00:00.000000Z", "2100-01-01T12:00:00.000001Z"]
)
def test_a_time_that_exists_is_taken(rows, other, text):
    for table, column in TIMES:
        other.execute("SAVEPOINT trial")
        raw_insert(other, altered(rows, table), **{column: text}, **zone_of(column))
        assert other.execute(f"SELECT {column} FROM current_{table}").fetchall() == [(text,)]
        other.execute("ROLLBACK TO trial")


@pytest.mark.parametrize(("table", "name"), OF_KIND[Moment])
def test_a_moment_is_whole_or_absent(rows, other, table, name):
    whole = {f"{name}_utc": "2026-03-02T06:30:00.000000Z", f"{name}_zone": "UTC"}
    for column in whole:
        with pytest.raises(sqlite3.IntegrityError, match=f"{name}: both columns or none"):
            raw_insert(other, altered(rows, table), **{**whole, column: None})
    raw_insert(other, altered(rows, table), **whole)


@pytest.mark.parametrize(("table", "name"), OF_KIND[Weight])
def test_a_weight_is_whole_or_absent(rows, other, table, name):
    whole = {f"{name}_text": "50.0", f"{name}_unit": "g", f"{name}_g": 50.0, f"{name}_step_g": 0.1}
    optional = kinds(table)[name][1]
    for column in whole:
        why = (
            f"{name}: all four columns or none"
            if optional
            else f"NOT NULL constraint failed: {table}.{column}"
        )
        with pytest.raises(sqlite3.IntegrityError, match=why):
            raw_insert(other, altered(rows, table), **{**whole, column: None})
    for column, bad in (("unit", "stone"), ("text", " "), ("g", -0.1), ("g", 1e6 + 1), ("step_g", 0.0)):
        with pytest.raises(sqlite3.IntegrityError, match="CHECK constraint failed"):
            raw_insert(other, altered(rows, table), **{**whole, f"{name}_{column}": bad})
    for unit in WeightUnit:
        other.execute("SAVEPOINT trial")
        raw_insert(other, altered(rows, table), **{**whole, f"{name}_unit": str(unit)})
        other.execute("ROLLBACK TO trial")


@pytest.mark.parametrize(("table", "name"), OF_KIND[StrEnum])
def test_a_word_is_one_of_the_records_words(rows, other, table, name):
    ((sql,),) = other.execute("SELECT sql FROM sqlite_schema WHERE name = ?", (table,)).fetchall()
    (listed,) = re.findall(rf'CONSTRAINT "{name}: one of (.*?)"', sql)
    assert listed.split(" | ") == [str(word) for word in kinds(table)[name][0]]
    for bad in ("sundial", "", listed.split(" | ")[0].upper() + " "):
        with pytest.raises(sqlite3.IntegrityError, match=f"CHECK constraint failed: {name}: one of"):
            raw_insert(other, altered(rows, table), **{name: bad})


@pytest.mark.parametrize(("table", "name", "kind", "optional"), FIELDS)
def test_a_column_holds_one_type_and_may_be_empty_only_where_the_record_says(
    rows, other, table, name, kind, optional
):
    column = {Weight: f"{name}_g", Moment: f"{name}_utc"}.get(kind, name)
    wrong = b"blob" if kind in (str, Moment) or issubclass(kind, StrEnum) else "many"
    with pytest.raises(
        sqlite3.IntegrityError, match=rf"cannot store (BLOB|TEXT) value in .* {table}\.{column}"
    ):
        raw_insert(other, first(rows[table].fact), **{column: wrong})
    if not optional:
        # A row without its charge is noticed by the rule that its board must be of that charge.
        missing = f"NOT NULL constraint failed: {table}.{column}" + "|no-such-" * (name == "charge")
        with pytest.raises(sqlite3.IntegrityError, match=missing):
            raw_insert(other, altered(rows, table), **{column: None})


@pytest.mark.parametrize("table", OPEN_TABLES)
def test_the_envelope_is_never_left_out(rows, other, table):
    for column in ("version", "observed_utc", "observed_zone", "entered_utc", "entered_by"):
        with pytest.raises(sqlite3.IntegrityError, match=f"NOT NULL constraint failed: {table}.{column}"):
            raw_insert(other, altered(rows, table), **{column: None})
    for column in ("observed_zone", "entered_by"):
        with pytest.raises(sqlite3.IntegrityError, match=f"{column}: filled"):
            raw_insert(other, altered(rows, table), **{column: " "})
    assert fact_table(table).columns[:3] == ("uid", "entity", "supersedes")
