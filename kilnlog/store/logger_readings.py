"""The readings of loggers: written a day at a time, read back as arrays."""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from kilnlog.records.errors import OutOfRange, WetAboveDry
from kilnlog.records.logger_batch import LoggerBatch, LoggerDay
from kilnlog.records.words import ProbePlace, SecondReading, TemperatureUnit
from kilnlog.store.errors import RefusedByRecord
from kilnlog.store.logger_digest import BatchDigest, day_hash

Reals = NDArray[np.float64]

#: Bounds of what is possible at all, as those of readings by hand.
_TEMPERATURES = (-100.0, 600.0)
_HUMIDITIES = (0.0, 100.0)

_DAY_S = 86400
_WRITTEN = re.compile(r"\[\[[\[\]0-9.,eEnul+-]*\]\]")

#: The batches that count, so that one taken back may be imported anew.
_DAYS = "FROM logger_day AS d JOIN current_logger_batch AS b ON b.entity = d.batch WHERE b.charge = ?"


@dataclass(frozen=True)
class LoggerSeries:
    """The readings of one sensor that count, rising in time; NaN where the logger wrote nothing.

    Attributes:
        sensor: Its name.
        at_s: When [s since 1970-01-01 00:00 UTC, leap seconds not counted].
        dry: Dry bulb [temperature_unit].
        second: Wet bulb [temperature_unit] or relative humidity [%], as ``second_is`` says.
        temperature_unit: Of this stretch: a sensor read in two units gives two series.
        second_is: None where nothing was measured beside the dry bulb.
        placed_in: Of a probe while the wood is heated, whose temperatures ``dry`` then holds; None: a sensor
            of the kiln's air. One name may stand for both, and makes two series.
    """

    sensor: str
    at_s: Reals
    dry: Reals
    second: Reals
    temperature_unit: TemperatureUnit
    second_is: SecondReading | None
    placed_in: ProbePlace | None = None


@dataclass(frozen=True, slots=True)
class WrittenDays:
    """What the days of a batch came to."""

    rows: int
    first_s: float
    last_s: float
    digest: str


def write_days(
    connection: sqlite3.Connection, uid: str, batch: LoggerBatch, days: Iterable[LoggerDay]
) -> WrittenDays:
    """Write the days of a batch, in ascending order, before its row; one day at a time is held.

    Raises ``RefusedByRecord``, ``OutOfRange``, ``WetAboveDry``, or SQLite's errors.
    """
    digest, rows, first_s, last_s, before = BatchDigest(), 0, 0.0, 0.0, date.min
    for each in days:
        if each.day <= before:
            raise _refused("days-not-rising")
        values = readings_of(each.text)
        _check(values, each.day, batch)
        day, hashed = each.day.isoformat(), day_hash(each.text)
        if np.isin(values[:, 0], _instants(connection, batch, day)).any():
            raise _refused("reading-twice")
        connection.execute(
            "INSERT INTO logger_day (batch, day, rows, readings, sha256) VALUES (?, ?, ?, ?, ?)",
            (uid, day, len(values), each.text, hashed),
        )
        digest.add(day, hashed)
        first_s = first_s if rows else float(values[0, 0])
        rows, last_s, before = rows + len(values), float(values[-1, 0]), each.day
    if not rows:
        raise _refused("no-readings")
    return WrittenDays(rows, first_s, last_s, digest.hex)


def readings_of(text: str) -> Reals:
    """A day's text as an array of three columns: seconds UTC, dry bulb, second reading."""
    if not _WRITTEN.fullmatch(text):
        raise _refused("unreadable-readings")
    try:
        values = np.array(json.loads(text), dtype=np.float64)
    except (ValueError, TypeError) as error:
        raise _refused("unreadable-readings") from error
    if values.ndim != 2 or values.shape[1] != 3:
        raise _refused("unreadable-readings")
    return values


def _check(values: Reals, day: date, batch: LoggerBatch) -> None:
    at_s, dry, second = values.T
    start = datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp()
    if not (np.all(at_s >= start) and np.all(at_s < start + _DAY_S)):
        raise _refused("other-day")
    if not np.all(np.diff(at_s) > 0):
        raise _refused("readings-not-rising")
    if np.any(np.isnan(dry) & np.isnan(second)):
        raise _refused("nothing-read")
    if batch.second is None and not np.all(np.isnan(second)):
        raise _refused("unknown-second")
    _check_bounds("dry_bulb", dry, _TEMPERATURES)
    if batch.second is SecondReading.RH:
        _check_bounds("rh_pct", second, _HUMIDITIES)
        return
    _check_bounds("wet_bulb", second, _TEMPERATURES)
    if (above := second > dry).any():
        at = int(np.argmax(above))
        raise WetAboveDry(
            wet_bulb=float(second[at]), dry_bulb=float(dry[at]), unit=str(batch.temperature_unit)
        )


def _check_bounds(column: str, values: Reals, bounds: tuple[float, float]) -> None:
    low, high = bounds
    outside = (values < low) | (values > high)
    if outside.any():
        raise OutOfRange(column=column, value=float(values[np.argmax(outside)]), low=low, high=high)


def _refused(why: str) -> RefusedByRecord:
    return RefusedByRecord(table="logger_batch", why=why)


def _instants(connection: sqlite3.Connection, batch: LoggerBatch, day: str) -> Reals:
    """When a batch's sensor has readings that count on one day of UTC [s since 1970-01-01 00:00 UTC]."""
    sql = f"SELECT d.readings {_DAYS} AND b.sensor = ? AND b.placed_in IS ? AND d.day = ?"
    asked = (batch.charge, batch.sensor, batch.placed_in, day)
    found = [readings_of(text)[:, 0] for (text,) in connection.execute(sql, asked)]
    return np.concatenate(found) if found else np.empty(0)


def series(
    connection: sqlite3.Connection, charge: str, sensor: str | None, *, probes: bool = False
) -> tuple[LoggerSeries, ...]:
    """The readings that count, sensor by sensor in the order of their names: of the air, or of the probes."""
    listed = "b.sensor, b.placed_in, b.temperature_unit, b.second"
    of_which = f"b.placed_in IS {'NOT NULL' if probes else 'NULL'}"
    sql, asked = f"SELECT {listed}, d.readings {_DAYS} AND {of_which}", [charge]
    if sensor is not None:
        sql, asked = f"{sql} AND b.sensor = ?", [*asked, sensor]
    rows = connection.execute(f"{sql} ORDER BY {listed}, d.day, d.id", asked)
    found = []
    for (name, place, unit, word), days in groupby(rows, key=lambda row: row[:4]):
        values = _in_order(np.concatenate([readings_of(text) for *_, text in days]))
        at_s, dry, second = np.ascontiguousarray(values.T)
        second_is = None if word is None else SecondReading(word)
        placed_in = None if place is None else ProbePlace(place)
        found.append(LoggerSeries(name, at_s, dry, second, TemperatureUnit(unit), second_is, placed_in))
    return tuple(found)


def _in_order(values: Reals) -> Reals:
    """Rising in time; of two readings at one instant, as a corrected sensor may bring, the first written."""
    if np.all(np.diff(values[:, 0]) > 0):
        return values
    _, first = np.unique(values[:, 0], return_index=True)
    return values[first]


def days_of(connection: sqlite3.Connection, batch: str) -> Iterator[LoggerDay]:
    """The readings of one batch as they are kept, day by day."""
    for day, text in connection.execute(
        "SELECT day, readings FROM logger_day WHERE batch = ? ORDER BY day", (batch,)
    ):
        yield LoggerDay(date.fromisoformat(day), text)
