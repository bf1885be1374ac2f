"""What loggers wrote is kept a day at a time, to the letter, and its batch's line in the ledger covers it."""

from __future__ import annotations

import hashlib
import json
import time
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from kilnlog.records.errors import OutOfRange, WetAboveDry
from kilnlog.records.logger_batch import LoggerDay, number_literal
from kilnlog.records.words import SecondReading, TemperatureUnit
from kilnlog.store.errors import ChargeClosed, LockedLogbook, RefusedByRecord
from kilnlog.store.logbook_file import LogbookFile
from tests.store.mill import (
    DAYS,
    MONDAY,
    every_row,
    logged,
    one_of_each,
    plain,
    successor,
    void,
    write,
)

#: 2026-03-02 00:00 UTC; from coreutils: date -u -d 2026-03-02 +%s
MONDAY_S = 1772409600
DAY_S = 86400
LATER = (LoggerDay(date(2026, 3, 4), f"[[{MONDAY_S + 2 * DAY_S},50.10,55.0]]"),)


@pytest.fixture
def charge(book):
    rows = one_of_each()
    write(book, rows["kiln"], rows["charge"])
    return rows["charge"].entity


def keep(book: LogbookFile, entry, days):
    with book.immediate():
        return book.insert_logger_batch(entry, iter(days))


def test_a_batch_comes_back_as_it_went_in(book, charge):
    given = logged(charge)
    blank = replace(given.fact, rows=0, first_at=None, last_at=None, digest=None)
    written = keep(book, replace(given, fact=blank, version=replace(given.version, observed_at=MONDAY)), DAYS)
    assert written == given  # count, first, last and digest are worked out anew
    assert book.logger_batches(charge) == (given,)
    assert tuple(book.logger_days(given.entity)) == DAYS
    assert book.ledger_head().number == 3  # one line for all readings
    assert book.verify() == ()


def test_the_digest_is_as_described(charge, book):
    by_hand = hashlib.sha256()
    for each in DAYS:
        by_hand.update(f"{each.day} {hashlib.sha256(each.text.encode()).hexdigest()}\n".encode())
    assert keep(book, logged(charge), DAYS).fact.digest == by_hand.hexdigest()


def test_readings_are_arrays_in_order_of_time_with_holes_as_nan(book, charge):
    keep(book, logged(charge), DAYS)
    (series,) = book.logger_series(charge)
    assert (series.sensor, series.temperature_unit, series.second_is) == ("entering", "C", "rh")
    for column in (series.at_s, series.dry, series.second):
        assert column.dtype == np.float64
    assert series.at_s.tolist() == [1772433000, 1772433600, 1772434200, 1772496000]
    assert series.dry.tolist() == [48.5, 48.62, 48.7, 49.1]
    np.testing.assert_array_equal(series.second, [61, np.nan, 60.5, 58.25])
    assert book.logger_series(charge, "leaving") == ()
    assert book.logger_series("another") == ()


def test_batches_of_a_sensor_are_joined_and_sensors_kept_apart(book, charge):
    keep(book, logged(charge, LATER), LATER)
    keep(book, logged(charge), DAYS)
    keep(book, logged(charge, LATER, "leaving"), LATER)
    entering, leaving = book.logger_series(charge)
    assert (len(entering.at_s), len(leaving.at_s)) == (5, 1)
    assert np.all(np.diff(entering.at_s) > 0)
    (alone,) = book.logger_series(charge, "leaving")
    assert alone.at_s.tolist() == leaving.at_s.tolist() == [MONDAY_S + 2 * DAY_S]


def test_another_unit_or_another_second_reading_is_another_series(book, charge):
    other_unit = logged(charge, LATER)
    fahrenheit = replace(
        other_unit.fact, temperature_unit=TemperatureUnit.FAHRENHEIT, second=SecondReading.RH
    )
    keep(book, logged(charge), DAYS)
    keep(book, replace(other_unit, fact=fahrenheit), LATER)
    assert [(each.temperature_unit, len(each.at_s)) for each in book.logger_series(charge)] == [
        ("C", 4),
        ("F", 1),
    ]


def test_what_is_there_is_told_so_that_only_what_is_new_is_added(book, charge):
    assert book.logger_series(charge, "entering") == ()
    keep(book, logged(charge), DAYS)
    (there,) = book.logger_series(charge, "entering")
    assert there.at_s.tolist() == [1772433000, 1772433600, 1772434200, 1772496000]
    overlapping = (LoggerDay(date(2026, 3, 3), "[[1772496000,49.10,58.25],[1772496600,49.3,58.0]]"),)
    before = every_row(book.path)
    with pytest.raises(RefusedByRecord) as error:
        keep(book, logged(charge, overlapping), overlapping)
    assert error.value.values == {"table": "logger_batch", "why": "reading-twice"}
    assert every_row(book.path) == before
    rest = (LoggerDay(date(2026, 3, 3), "[[1772496600,49.3,58.0]]"),)
    keep(book, logged(charge, rest), rest)
    keep(book, logged(charge, overlapping, "leaving"), overlapping)  # another sensor's instants are its own
    assert len(book.logger_series(charge, "entering")[0].at_s) == 5


def test_a_batch_taken_back_can_be_imported_anew(book, charge):
    wrong = keep(book, logged(charge), DAYS)
    write(book, void(wrong, "wrong clock"))
    assert (book.logger_batches(charge), book.logger_series(charge)) == ((), ())
    right = keep(book, logged(charge), DAYS)
    assert book.logger_batches(charge) == (right,)
    assert len(book.logger_series(charge)[0].at_s) == 4
    assert book.verify() == ()


def test_a_correction_renames_the_sensor_of_readings_that_stay(book, charge):
    batch = keep(book, logged(charge), DAYS)
    write(book, successor(batch, fact=replace(batch.fact, sensor="leaving")))
    (series,) = book.logger_series(charge)
    assert (series.sensor, len(series.at_s)) == ("leaving", 4)
    # Where both had a reading at one instant, the first written is shown.
    keep(book, logged(charge, DAYS), [replace(DAYS[0], text="[[1772433000,1.0,61.0]]")])
    (again,) = (each for each in book.logger_batches(charge) if each.fact.sensor == "entering")
    write(book, successor(again, fact=replace(again.fact, sensor="leaving")))
    (series,) = book.logger_series(charge)
    assert (len(series.at_s), series.dry[0]) == (4, 48.5)


def text_of(*rows: str) -> str:
    return f"[{','.join(rows)}]"


@pytest.mark.parametrize(
    ("why", "days"),
    [
        ("no-readings", []),
        ("unreadable-readings", ["[]"]),
        ("unreadable-readings", ["[[1772433000,48.5,61.0]"]),
        ("unreadable-readings", ["[[1772433000,48.5]]"]),
        ("unreadable-readings", ['[[1772433000,"48.5",61.0]]']),
        ("unreadable-readings", ["[[1772433000,NaN,61.0]]"]),
        ("unreadable-readings", ["[[1772433000,48.5,61.0],[1772433600,48.5]]"]),
        ("unreadable-readings", ["[[1772433000,48.5,61.0], [1772433600,48.5,61.0]]"]),
        ("nothing-read", ["[[1772433000,null,null]]"]),
        ("readings-not-rising", ["[[1772433600,48.5,61.0],[1772433000,48.5,61.0]]"]),
        ("readings-not-rising", ["[[1772433000,48.5,61.0],[1772433000,48.5,61.0]]"]),
        ("other-day", [f"[[{MONDAY_S - 1},48.5,61.0]]"]),
        ("other-day", [f"[[{MONDAY_S + DAY_S},48.5,61.0]]"]),
        ("days-not-rising", ["[[1772433000,48.5,61.0]]", "[[1772433600,48.5,61.0]]"]),
    ],
)
def test_readings_that_are_none_are_refused_and_nothing_stays(book, charge, why, days):
    before = every_row(book.path)
    with pytest.raises(RefusedByRecord) as error:
        keep(book, logged(charge), [LoggerDay(date(2026, 3, 2), text) for text in days])
    assert error.value.values == {"table": "logger_batch", "why": why}
    assert every_row(book.path) == before


@pytest.mark.parametrize("row", ["[1772409600,48.5,61.0]", "[1772495999,48.5,61.0]"])
def test_a_day_is_one_of_utc_from_its_first_second_to_its_last(book, charge, row):
    day = (LoggerDay(date(2026, 3, 2), text_of(row)),)
    assert keep(book, logged(charge, day), day).fact.rows == 1


@pytest.mark.parametrize(
    ("column", "value", "second", "row"),
    [
        ("dry_bulb", -100.5, SecondReading.RH, "[1772433000,-100.5,61]"),
        ("dry_bulb", 600.5, SecondReading.RH, "[1772433000,600.5,61]"),
        ("rh_pct", 100.1, SecondReading.RH, "[1772433000,48,100.1]"),
        ("rh_pct", -0.1, SecondReading.RH, "[1772433000,48,-0.1]"),
        ("wet_bulb", -999.0, SecondReading.WET_BULB, "[1772433000,48,-999]"),
    ],
)
def test_what_no_sensor_can_show_is_refused(book, charge, column, value, second, row):
    entry = logged(charge)
    days = [LoggerDay(date(2026, 3, 2), text_of("[1772432000,48,40]", row))]
    with pytest.raises(OutOfRange) as error:
        keep(book, replace(entry, fact=replace(entry.fact, second=second)), days)
    assert (error.value.values["column"], error.value.values["value"]) == (column, value)


@pytest.mark.parametrize("row", ["[1772433000,-100,0]", "[1772433000,600,100]", "[1772433000,null,50]"])
def test_the_bounds_themselves_are_taken(book, charge, row):
    day = (LoggerDay(date(2026, 3, 2), text_of(row)),)
    assert keep(book, logged(charge, day), day).fact.rows == 1


def test_a_wet_bulb_is_never_above_the_dry_bulb(book, charge):
    entry = logged(charge)
    entry = replace(entry, fact=replace(entry.fact, second=SecondReading.WET_BULB))
    equal, above = "[1772432000,48,48]", "[1772433000,48.1,48.2]"
    with pytest.raises(WetAboveDry) as error:
        keep(book, entry, [LoggerDay(date(2026, 3, 2), text_of(equal, above))])
    assert error.value.values == {"wet_bulb": 48.2, "dry_bulb": 48.1, "unit": "C"}
    assert keep(book, entry, [LoggerDay(date(2026, 3, 2), text_of(equal))]).fact.rows == 1


def test_a_batch_that_measured_one_thing_holds_one(book, charge):
    entry = logged(charge)
    entry = replace(entry, fact=replace(entry.fact, second=None))
    with pytest.raises(RefusedByRecord) as error:
        keep(book, entry, DAYS)
    assert error.value.values["why"] == "unknown-second"
    keep(book, entry, [LoggerDay(date(2026, 3, 2), "[[1772433000,48.5,null]]")])
    (series,) = book.logger_series(charge)
    assert (series.second_is, np.isnan(series.second).tolist()) == (None, [True])


def test_a_source_that_breaks_off_leaves_nothing(book, charge):
    before = every_row(book.path)

    def days():
        yield DAYS[0]
        raise InterruptedError

    with pytest.raises(InterruptedError):
        keep(book, logged(charge), days())
    assert every_row(book.path) == before
    assert keep(book, logged(charge), DAYS).fact.rows == 4


def test_a_closed_charge_takes_no_batch(path, closed_rows):
    with LogbookFile.open(path) as book, pytest.raises(ChargeClosed):
        keep(book, logged(closed_rows["charge"].entity, LATER), LATER)


def test_a_batch_is_written_in_a_transaction_only(book, charge):
    with pytest.raises(RuntimeError, match="outside"):
        book.insert_logger_batch(logged(charge), DAYS)


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("71.50", "71.50"),
        ("+71.5", "71.5"),
        (".5", "0.5"),
        ("-.50", "-0.50"),
        ("5.", "5"),
        ("007", "7"),
        ("1e2", "100"),
        ("0.00", "0.00"),
        (None, "null"),
    ],
)
def test_a_number_keeps_its_decimals(typed, kept):
    assert number_literal(typed) == kept
    assert json.loads(kept) == (None if typed is None else float(typed))


def test_readings_are_loaded_no_slower_than_twice_reading_their_json(book, charge):
    """20,160 readings, two weeks at one a minute: about 9 ms on the machine this was written on."""
    days = [
        LoggerDay.from_rows(
            date(2026, 3, 2 + day),
            (
                (MONDAY_S + day * DAY_S + minute * 60, f"{48 + minute % 97 / 10:.2f}", f"{60 + minute % 13}")
                for minute in range(1440)
            ),
        )
        for day in range(14)
    ]
    keep(book, logged(charge, days), days)

    def shortest(run) -> float:
        taken = []
        for _ in range(5):
            start = time.thread_time()
            run()
            taken.append(time.thread_time() - start)
        return min(taken)

    bare = shortest(lambda: [np.array(json.loads(each.text), dtype=np.float64) for each in days])
    loaded = shortest(lambda: book.logger_series(charge))
    assert len(book.logger_series(charge)[0].at_s) == 20160
    assert loaded < 2 * bare


def test_another_program_that_holds_the_file_is_told(path, rows):
    with LogbookFile.open(path) as book, plain(path) as other:
        book._connection.execute("PRAGMA busy_timeout = 10")
        other.execute("BEGIN EXCLUSIVE")
        for read in (
            lambda: book.logger_series(rows["charge"].entity),
            lambda: list(book.logger_days(rows["logger_batch"].entity)),
        ):
            with pytest.raises(LockedLogbook):
                read()
        other.execute("ROLLBACK")


def test_a_charges_record_names_its_batches_and_leaves_the_readings_out(book, charge):
    batch = keep(book, logged(charge), DAYS)
    (line,) = book.charge_record(charge).logger_batch
    assert line.entries == (batch,)
