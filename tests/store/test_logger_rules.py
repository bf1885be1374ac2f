"""The readings of loggers stay as written, for any program, and verify shows whatever was done to them."""

from __future__ import annotations

import hashlib
import sqlite3
from dataclasses import replace
from datetime import date

import pytest

from kilnlog.records.logger_batch import LoggerDay
from kilnlog.records.version import VersionKind
from kilnlog.store.logbook_file import LogbookFile
from kilnlog.store.verifying import Misfit
from tests.store.mill import (
    DAYS,
    every_row,
    filled,
    logged,
    raw_insert,
    refused,
    successor,
    unruled,
)

LATER = (LoggerDay(date(2026, 3, 4), "[[1772582400,50.10,55.0]]"),)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE logger_day SET readings = readings",
        "UPDATE OR REPLACE logger_day SET batch = 'x'",
        "DELETE FROM logger_day",
    ],
)
def test_no_day_is_altered_or_removed(path, rows, other, statement):
    before = every_row(path)
    with refused("row-stays"):
        other.execute(statement)
    assert every_row(path) == before


LINE = "INTO logger_day (id, batch, day, rows, readings, sha256) VALUES (?, ?, ?, 1, '[[1]]', ?)"


@pytest.mark.parametrize("recursive", ["ON", "OFF"])
@pytest.mark.parametrize("how", ["INSERT", "INSERT OR REPLACE", "INSERT OR IGNORE"])
def test_no_day_is_replaced_or_joins_later(path, rows, other, how, recursive):
    other.execute(f"PRAGMA recursive_triggers = {recursive}")
    before = every_row(path)
    batch = rows["logger_batch"].entity
    with refused("batch-complete"):
        other.execute(f"{how} {LINE}", (None, batch, "2026-03-09", "0" * 64))
    other.execute("DROP TRIGGER logger_day_before_batch")
    for values in ((1, "other", "2026-03-09"), (None, batch, "2026-03-02")):
        with refused("uid-taken"):
            other.execute(f"{how} {LINE}", (*values, "0" * 64))
    assert every_row(path) == before


def test_a_batch_has_as_many_readings_as_it_says(path, rows, other):
    batch = logged(rows["charge"].entity, LATER)
    with refused("no-readings"):
        raw_insert(other, batch)
    other.execute("PRAGMA foreign_keys = ON")
    other.execute("BEGIN")
    line = (None, batch.entity, "2026-03-04", "0" * 64)
    other.execute(f"INSERT {LINE}", line)
    with refused("no-readings"):
        raw_insert(other, batch, rows=2)
    with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
        other.execute("COMMIT")  # days of a batch that was never written
    other.execute("ROLLBACK")
    for altered in ({"rows": 5}, {"digest": "0" * 64}):
        with refused("other-readings"):
            raw_insert(other, successor(rows["logger_batch"], VersionKind.CHANGE), **altered)


@pytest.mark.parametrize("day", ["2026-02-30", "02.03.2026", "2026-3-2", ""])
def test_a_day_is_one_that_exists(path, rows, other, day):
    with pytest.raises(sqlite3.IntegrityError, match="day: a day"):
        other.execute(f"INSERT {LINE}", (None, "other", day, "0" * 64))


def misfits(path):
    with LogbookFile.open(path) as book:
        return book.verify()


def changed(batch, day: str) -> Misfit:
    return Misfit("readings-changed", table="logger_batch", uid=batch.entity, detail=day)


@pytest.mark.parametrize("day", ["2026-03-02", "2026-03-03"])
def test_one_digit_of_one_reading_is_seen_and_its_day_named(path, rows, day):
    with unruled(path) as other:
        other.execute("UPDATE logger_day SET readings = replace(readings, '4', '5') WHERE day = ?", (day,))
    assert misfits(path) == (changed(rows["logger_batch"], day),)


def test_a_day_removed_or_hashed_anew_is_seen(path, rows):
    text = DAYS[1].text.replace("49", "59")
    with unruled(path) as other:
        hashed = hashlib.sha256(text.encode()).hexdigest()
        other.execute("UPDATE logger_day SET readings = ?, sha256 = ? WHERE id = 2", (text, hashed))
    assert misfits(path) == (changed(rows["logger_batch"], ""),)
    with unruled(path) as other:
        other.execute("DELETE FROM logger_day WHERE id = 2")
    assert misfits(path) == (changed(rows["logger_batch"], ""),)


def test_a_digest_made_to_fit_is_seen_in_the_ledger(path):
    rows = filled(path)
    batch = rows["logger_batch"]
    days = (DAYS[0], replace(DAYS[1], text=DAYS[1].text.replace("49", "59")))
    forged = logged(rows["charge"].entity, days).fact.digest
    with unruled(path) as other:
        hashed = hashlib.sha256(days[1].text.encode()).hexdigest()
        other.execute("UPDATE logger_day SET readings = ?, sha256 = ? WHERE id = 2", (days[1].text, hashed))
        other.execute("UPDATE logger_batch SET digest = ?", (forged,))
    assert [(misfit.why, misfit.uid) for misfit in misfits(path)] == [("row-changed", batch.entity)]


def test_days_of_no_batch_are_seen(path, rows):
    with unruled(path) as other:
        other.execute(f"INSERT {LINE}", (None, "nobody", "2026-03-09", "0" * 64))
    assert Misfit("reference", table="logger_day", detail="logger_batch") in misfits(path)
