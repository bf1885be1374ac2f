"""What stood in the files, cell by cell, before anything is made of it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from kilnlog.exchange.columns import FileTable, Holds, Part
from kilnlog.exchange.errors import (
    MOST_PROBLEMS,
    ColumnTwice,
    ColumnUnnamed,
    ImportRefused,
    MissingColumn,
    Problem,
    UnknownColumn,
    UnstorableText,
)
from kilnlog.records.errors import KilnlogError

#: Text, or what a spreadsheet keeps in its own way: a number, a clock time without a zone (a ``datetime``), a
#: day without a time. Blank is "".
Cell = str | float | date


@dataclass(frozen=True)
class RawRow:
    """One row that is not blank."""

    number: int  # as a spreadsheet counts: the heading is row 1
    cells: Mapping[str, Cell]  # by column name; blank ones left out


@dataclass(frozen=True)
class RawTable:
    """One file or sheet."""

    table: FileTable
    file: str  # as messages name it
    columns: tuple[str, ...]
    rows: tuple[RawRow, ...]


@dataclass(frozen=True)
class RawTables:
    """All tables of one source, by name."""

    source: str
    tables: Mapping[str, RawTable]


@dataclass
class Problems:
    """Collects what is wrong, so that one import names many mistakes; stops when there are too many."""

    found: list[Problem] = field(default_factory=list)

    def add(self, file: str, row: int | None, column: str | None, cause: KilnlogError) -> None:
        """Note one, once; raises ``ImportRefused`` when there are ``MOST_PROBLEMS``."""
        if any(
            (known.file, known.row, known.column, known.cause.code) == (file, row, column, cause.code)
            for known in self.found
        ):
            return
        self.found.append(Problem(file, row, column, cause))
        if len(self.found) >= MOST_PROBLEMS:
            self.refuse_any()

    def refuse_any(self) -> None:
        """Raise ``ImportRefused`` with what was found, if anything was."""
        if self.found:
            files = list(dict.fromkeys(problem.file for problem in self.found))
            by_row = sorted(self.found, key=lambda problem: (files.index(problem.file), problem.row or 0))
            raise ImportRefused(tuple(by_row))


_UNSTORABLE = re.compile("[\x00\ud800-\udfff]")
_CONTINUED = re.compile(r"(?P<name>\w+)_(?:[2-9]|[1-9]\d{1,2})", re.ASCII)


def table_from(
    table: FileTable,
    file: str,
    heading_row: int,
    records: Iterator[tuple[int, list[Cell]]],
    problems: Problems,
) -> RawTable:
    """Put names to the cells. The first of ``records`` (row number, cells) is the heading."""
    _, heading_cells = next(records)
    heading = [str(cell).strip() for cell in heading_cells]
    while heading and not heading[-1]:
        heading.pop()
    _check_heading(table, file, heading_row, heading, problems)
    rows = []
    for number, cells in records:
        filled: dict[str, Cell] = {}
        for position, cell in enumerate(cells):
            if cell == "" or (isinstance(cell, str) and not cell.strip()):
                continue
            name = heading[position] if position < len(heading) else ""
            if not name:
                problems.add(file, number, None, ColumnUnnamed(typed=str(cell)))
                break
            if isinstance(cell, str) and _UNSTORABLE.search(cell):
                problems.add(file, number, name, UnstorableText())
            filled[name] = cell
        if filled:
            rows.append(RawRow(number, filled))
    return RawTable(table, file, tuple(name for name in heading if name), tuple(rows))


def _check_heading(table: FileTable, file: str, row: int, heading: list[str], problems: Problems) -> None:
    known = table.known_columns
    long_columns = {column.name for column in table.columns if column.holds is Holds.LONG}
    seen: set[str] = set()
    for name in heading:
        if not name:
            continue
        continued = _CONTINUED.fullmatch(name)
        if name not in known and not (continued and continued["name"] in long_columns):
            problems.add(file, row, name, UnknownColumn(name=name, table=table.name, known=known))
        elif name in seen:
            problems.add(file, row, name, ColumnTwice(name=name))
        seen.add(name)
    for column in table.columns:
        if column.required and column.part is not Part.CLOSING and column.name not in seen:
            problems.add(file, row, column.name, MissingColumn(name=column.name, table=table.name))
