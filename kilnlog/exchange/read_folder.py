"""Read a folder of CSV files, one table each."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path

from kilnlog.exchange.columns import FileTable
from kilnlog.exchange.errors import (
    BrokenCsv,
    MixedSeparators,
    NoHeading,
    NotUtf8,
    SourceEmpty,
    SourceUnreadable,
    TableNotCsv,
    TableTwice,
    UnknownTable,
)
from kilnlog.exchange.raw_tables import Cell, Problems, RawTable, RawTables, table_from
from kilnlog.exchange.tables import KNOWN_TABLES
from kilnlog.records.errors import KilnlogError

SEPARATORS = (",", ";", "\t")

#: Forms a table may have been left in by mistake; other files in the folder are nobody's table.
_OTHER_FORMS = {".tsv", ".txt", ".xlsx", ".xls", ".ods", ".numbers"}

# A sealed charge keeps its papers in one cell; the csv module's own limit is 131,072 characters.
_LONGEST_FIELD = 16_000_000

_LINE_END = re.compile(r"\r\n|\r|\n")


def read_folder(folder: Path) -> RawTables:
    """Read every ``.csv`` file; raises ``ImportRefused``, ``SourceEmpty``, ``SourceUnreadable``."""
    problems = Problems()
    tables: dict[str, RawTable] = {}
    try:
        paths = sorted(path for path in folder.iterdir() if path.is_file() and not path.name.startswith("."))
    except OSError as error:
        raise SourceUnreadable(path=str(folder), why=error.strerror or str(error)) from error
    for path in paths:
        name, ending = path.stem.lower(), path.suffix.lower()
        if ending in _OTHER_FORMS and name in KNOWN_TABLES:
            problems.add(path.name, None, None, TableNotCsv(table=name, path=str(path)))
        if ending != ".csv":
            continue
        if name not in KNOWN_TABLES:
            problems.add(path.name, None, None, UnknownTable(table=path.stem, known=tuple(KNOWN_TABLES)))
        elif name in tables:
            problems.add(path.name, None, None, TableTwice(table=name))
        elif (raw := _read_file(path, KNOWN_TABLES[name], problems)) is not None:
            tables[name] = raw
    problems.refuse_any()
    if not tables:
        raise SourceEmpty(path=str(folder), known=tuple(KNOWN_TABLES))
    return RawTables(str(folder), tables)


def _read_file(path: Path, table: FileTable, problems: Problems) -> RawTable | None:
    try:
        data = path.read_bytes()
    except OSError as error:
        raise SourceUnreadable(path=str(path), why=error.strerror or str(error)) from error
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = data[: error.start].count(b"\n") + 1
        problems.add(path.name, row, None, NotUtf8())
        return None
    records = _Records(text)
    try:
        heading_row = records.skip_to_heading()
        return table_from(table, path.name, heading_row, iter(records), problems)
    except KilnlogError as error:
        if not isinstance(error, BrokenCsv | MixedSeparators | NoHeading):
            raise
        problems.add(path.name, records.row, None, error)
        return None


class _Records:
    """The records of a CSV text, counted as a spreadsheet counts its rows: blank lines too."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._lines = _LINE_END.split(text)
        self.row = 1

    def skip_to_heading(self) -> int:
        """The row the heading stands in; raises ``NoHeading``."""
        for number, line in enumerate(self._lines, start=1):
            if line.strip(" ,;\t"):
                self.row = number
                return number
        raise NoHeading

    def __iter__(self) -> Iterator[tuple[int, list[Cell]]]:
        heading_row = self.row
        separator = _separator(self._lines[heading_row - 1])
        csv.field_size_limit(_LONGEST_FIELD)
        reader = csv.reader(io.StringIO(self._text, newline=""), delimiter=separator, strict=True)
        self.row = 0
        while True:
            self.row += 1
            try:
                record = next(reader)
            except StopIteration:
                return
            except csv.Error as error:
                raise BrokenCsv(detail=str(error)) from error
            if self.row >= heading_row and record:
                yield self.row, list(record)


def _separator(heading: str) -> str:
    """What separates the columns. No column's name holds any of the three, so the heading is unmistakable."""
    found = tuple(mark for mark in SEPARATORS if mark in heading)
    if len(found) > 1:
        raise MixedSeparators(found=found)
    return found[0] if found else ","
