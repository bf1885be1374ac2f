"""From entries to the rows of the files: every version, so that what goes out can come back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kilnlog.exchange.air_tables import READINGS
from kilnlog.exchange.columns import Column, FileTable, Holds, Part
from kilnlog.exchange.logger_readings import Readings, no_readings
from kilnlog.exchange.names import KEY_OF_REFERENCE, Names
from kilnlog.exchange.tables import FILE_TABLES
from kilnlog.exchange.to_cells import (
    Value,
    instant_cell,
    moment_cell,
    number_cell,
    text_cell,
    weight_cells,
    yes_no_cell,
)
from kilnlog.records.charge_record import closings_in_force
from kilnlog.records.closing import Closing
from kilnlog.records.errors import KilnlogError
from kilnlog.records.version import Entry
from kilnlog.records.weight import Weight, WeightUnit

Entries = Mapping[str, Sequence[Entry[Any]]]

#: A sealed charge's papers or a logger's day may be longer than a cell; they go on in the next column.
PIECE_LENGTH = 16_000


@dataclass(frozen=True)
class TableRows:
    """One table to write."""

    table: FileTable
    columns: tuple[str, ...]
    rows: tuple[tuple[Value, ...], ...]


def rows_of(entries: Entries, readings: Readings = no_readings) -> tuple[TableRows, ...]:
    """All tables, those without rows too, in the order in which one may refer to another.

    Args:
        entries: By table, each in the order written. A reference to what is not among them is left blank.
        readings: Gives the readings of a logger batch by its entity.
    """
    return (*_Tables(entries).all(), _reading_rows(entries.get("logger_batch", ()), readings))


class _Tables:
    def __init__(self, entries: Entries) -> None:
        self._entries = entries
        self._names = Names()
        self._names.put_entries(entries)
        # Files are read in the zone of the last row that bears the charge's number.
        self._zones = {entry.fact.charge: entry.fact.zone for entry in entries.get("charge", ())}
        self._closings = closings_in_force(entries.get("closing", ()))

    def all(self) -> tuple[TableRows, ...]:
        return tuple(self._table(table) for table in FILE_TABLES.values())

    def _table(self, table: FileTable) -> TableRows:
        entries = self._entries.get(table.table, ())
        newest = {entry.entity: entry.version.uid for entry in entries}
        rows = [self._row(table, entry, newest[entry.entity] == entry.version.uid) for entry in entries]
        columns = _columns_to_write(table, rows)
        return TableRows(table, columns, tuple(tuple(row.get(name) for name in columns) for row in rows))

    def _row(self, table: FileTable, entry: Entry[Any], is_newest: bool) -> dict[str, Value]:
        fact, version = entry.fact, entry.version
        row: dict[str, Value] = {}
        zone = self._zone(table, entry)
        unit = _unit_of(table, fact)
        if table.name == "charges" and is_newest:
            row.update(_closing_cells(self._closings.get(entry.entity), zone))
        for column in table.columns:
            match column.part:
                case Part.OBSERVED:
                    row[column.name] = moment_cell(entry.at, zone)
                case Part.UNIT:
                    row[column.name] = unit.value if unit else None
                case Part.FACT:
                    self._put(row, column, fact, zone, unit)
                case Part.CLOSING:
                    pass
        if "zone" not in row:
            row["zone"] = zone
        row["uid"] = version.uid
        row["supersedes"] = version.supersedes
        row["version"] = version.kind.value
        row[table.reason_column] = text_cell(version.reason)
        row["entered_at"] = instant_cell(version.entered_utc)
        row["entered_by"] = text_cell(version.entered_by)
        return row

    def _zone(self, table: FileTable, entry: Entry[Any]) -> str:
        if table.name == "charges":
            return str(entry.fact.zone)
        if table.belongs_to_charge:
            return str(self._zones[self._names.name_of("charge", entry.fact.charge)])
        return str(entry.at.zone)

    def _put(
        self, row: dict[str, Value], column: Column, fact: Any, zone: str, unit: WeightUnit | None
    ) -> None:
        name, value = column.name, getattr(fact, column.field)
        match column.holds:
            case Holds.WEIGHT:
                row[name], row[f"{name}_typed"] = weight_cells(value, unit)
            case Holds.REFERENCE:
                row[name], row[f"{name}_uid"] = self._reference(column, fact)
            case Holds.MOMENT:
                row[name] = moment_cell(value, zone)
            case Holds.NUMBER | Holds.COUNT:
                row[name] = number_cell(value)
            case Holds.YES_NO:
                row[name] = yes_no_cell(value)
            case Holds.LONG:
                row.update(_pieces(name, value or ""))
            case _:
                row[name] = text_cell(value)

    def _reference(self, column: Column, fact: Any) -> tuple[Value, Value]:
        """The name of what a row refers to, and its uid where the name alone would not find it."""
        entity, kind = getattr(fact, column.name), column.refers_to
        if entity is None or kind is None or not self._names.knows(kind, entity):
            return None, None
        name = self._names.name_of(kind, entity)
        *within, _ = KEY_OF_REFERENCE[column.name]
        try:
            found = self._names.find(kind, (*(getattr(fact, part) for part in within), name))
        except KilnlogError:
            found = None
        return name, None if found == entity else entity


def _closing_cells(entry: Entry[Closing] | None, zone: str) -> dict[str, Value]:
    """What a charge's row says of its closing, to be read; the closings themselves are a table."""
    if entry is None:
        return {}
    return {"closed_at": moment_cell(entry.at, zone), "closing_reason": text_cell(entry.fact.closing_reason)}


def _pieces(name: str, text: str) -> dict[str, Value]:
    """A long text in as many cells as it takes."""
    return {
        name if number == 1 else f"{name}_{number}": text[start : start + PIECE_LENGTH]
        for number, start in enumerate(range(0, len(text), PIECE_LENGTH), start=1)
    }


def _reading_rows(batches: Sequence[Entry[Any]], readings: Readings) -> TableRows:
    rows: list[dict[str, Value]] = [
        {"batch": batch, "day": day.day.isoformat(), **_pieces("readings", day.text)}
        for batch in dict.fromkeys(entry.entity for entry in batches)
        for day in readings(batch)
    ]
    columns = max((tuple(row) for row in rows), key=len, default=("batch", "day", "readings"))
    return TableRows(READINGS, columns, tuple(tuple(row.get(name) for name in columns) for row in rows))


def _unit_of(table: FileTable, fact: Any) -> WeightUnit | None:
    """The unit of a row: that of its first weight."""
    for column in table.weights:
        weight: Weight | None = getattr(fact, column.name)
        if weight is not None:
            return weight.unit
    return None


def _columns_to_write(table: FileTable, rows: Sequence[Mapping[str, Value]]) -> tuple[str, ...]:
    """The table's own columns and those about versions; of the rest, those that hold something."""
    filled = {name for row in rows for name, value in row.items() if value is not None}
    own = {column.name for column in table.columns if column.part is not Part.CLOSING}
    always = (
        own | {"closed_at", "closing_reason"} | {"uid", "supersedes", "version", "entered_at", "entered_by"}
    )
    always.add(table.reason_column)
    columns: list[str] = []
    for name in table.known_columns:
        if name in always or name in filled:
            columns.append(name)
        columns += sorted(
            (more for more in filled if more.startswith(f"{name}_") and more[len(name) + 1 :].isdigit()),
            key=lambda more: int(more.rpartition("_")[2]),
        )
    return tuple(columns)
