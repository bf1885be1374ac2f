"""The readings of logger batches, which go out and come in beside the facts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date, datetime
from typing import Any

from kilnlog.exchange.air_tables import READINGS
from kilnlog.exchange.errors import UnknownUid
from kilnlog.exchange.from_cells import name_from, text_of
from kilnlog.exchange.raw_tables import Cell, Problems, RawRow, RawTables
from kilnlog.records.errors import MissingValue, UnreadableTime
from kilnlog.records.logger_batch import LoggerDay
from kilnlog.records.version import Entry

#: Gives the readings of a logger batch by its entity, day by day.
Readings = Callable[[str], Iterable[LoggerDay]]


def no_readings(_: str) -> Iterable[LoggerDay]:
    """Where there are none to give."""
    return ()


def readings_from(raw: RawTables, batches: Iterable[Entry[Any]]) -> Mapping[str, tuple[LoggerDay, ...]]:
    """The readings in the files by the entity of their batch, each in the order of the days.

    Whether they are what the batch says is found out when they are written.

    Args:
        raw: What stood in the files.
        batches: Every batch in the files or in the logbook.

    Raises:
        ImportRefused: With the rows that name no batch, no day or nothing.
    """
    if (table := raw.tables.get(READINGS.name)) is None:
        return {}
    known = {entry.entity for entry in batches}
    problems = Problems()
    found: dict[str, list[LoggerDay]] = {}
    for row in table.rows:
        batch, typed = name_from(row.cells.get("batch", "")), row.cells.get("day", "")
        text = "".join(_pieces(row))
        if (day := _day(typed)) is None:
            why = UnreadableTime(typed=text_of(typed), zone="UTC", why="no-such-date")
            problems.add(table.file, row.number, "day", why)
        elif batch not in known:
            problems.add(table.file, row.number, "batch", UnknownUid(uid=batch))
        elif not text:
            problems.add(table.file, row.number, "readings", MissingValue(column="readings"))
        else:
            found.setdefault(batch, []).append(LoggerDay(day, text))
    problems.refuse_any()
    return {batch: tuple(sorted(days, key=lambda each: each.day)) for batch, days in found.items()}


def _pieces(row: RawRow) -> Iterator[str]:
    name, number = "readings", 1
    while (piece := row.cells.get(name)) is not None:
        yield text_of(piece)
        number += 1
        name = f"readings_{number}"


def _day(cell: Cell) -> date | None:
    if isinstance(cell, date):
        return cell.date() if isinstance(cell, datetime) else cell
    try:
        return date.fromisoformat(name_from(cell))
    except ValueError:
        return None
