"""Read a workbook that holds the same tables, one sheet each."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import Any
from zipfile import BadZipFile

from kilnlog.exchange.errors import (
    FormulaWithoutValue,
    SourceEmpty,
    SourceUnreadable,
    TableTwice,
    UnknownTable,
)
from kilnlog.exchange.raw_tables import Cell, Problems, RawTable, RawTables, table_from
from kilnlog.exchange.sheet_names import is_readable_sheet
from kilnlog.exchange.sheet_text import text_from_sheet
from kilnlog.exchange.tables import KNOWN_TABLES

_FIXED_DECIMALS = re.compile(r"(?P<whole>0+|#,##0)(?:\.(?P<decimals>0+))?", re.ASCII)


def read_workbook(path: Path) -> RawTables:
    """Read every table's sheet; raises ``ImportRefused``, ``SourceEmpty``, ``SourceUnreadable``."""
    with _opened(path, values_only=False) as book:
        tables, has_formulas = _read_sheets(book, path, None)
    if not has_formulas:
        return tables
    with _opened(path, values_only=True) as values:
        return _read_sheets(values, path, has_formulas)[0]


@contextmanager
def _opened(path: Path, *, values_only: bool) -> Iterator[Any]:
    """The workbook, read from a file of our own: its library leaves the file open where a sheet is
    left half read or the workbook is refused, and an open file cannot be moved or saved over on Windows."""
    from openpyxl import load_workbook  # noqa: PLC0415 - slow to load, wanted by this verb alone
    from openpyxl.utils.exceptions import InvalidFileException  # noqa: PLC0415 - as above

    with ExitStack() as closing:
        try:
            stream = closing.enter_context(path.open("rb"))
            book = load_workbook(stream, read_only=True, data_only=values_only)
        except (OSError, BadZipFile, InvalidFileException, KeyError, ValueError, SyntaxError) as error:
            # SyntaxError is what XML parsers raise on text that is no XML.
            raise SourceUnreadable(path=str(path), why=str(error)) from error
        closing.callback(book.close)
        yield book


_Formulas = dict[tuple[str, int, int], str]


def _read_sheets(book: Any, path: Path, formulas: _Formulas | None) -> tuple[RawTables, _Formulas]:
    """Read the sheets. Where ``formulas`` tells of some, each must have its value worked out by now."""
    problems = Problems()
    tables: dict[str, RawTable] = {}
    found: _Formulas = {}
    for sheet in book.worksheets:
        name = sheet.title.strip().lower()
        file = f"{path.name}, sheet {sheet.title}"
        if is_readable_sheet(sheet.title):
            continue
        rows = _rows(sheet, file, problems, formulas, found)
        first = next(rows, None)
        if name not in KNOWN_TABLES:
            if first is not None:
                problems.add(file, None, None, UnknownTable(table=sheet.title, known=tuple(KNOWN_TABLES)))
            continue
        if first is None:
            continue
        if name in tables:
            problems.add(file, None, None, TableTwice(table=name))
            continue
        tables[name] = table_from(KNOWN_TABLES[name], file, first[0], _chained(first, rows), problems)
    if not found:
        problems.refuse_any()
        if not tables:
            raise SourceEmpty(path=str(path), known=tuple(KNOWN_TABLES))
    return RawTables(str(path), tables), found


def _chained(
    first: tuple[int, list[Cell]], rest: Iterator[tuple[int, list[Cell]]]
) -> Iterator[tuple[int, list[Cell]]]:
    yield first
    yield from rest


def _rows(
    sheet: Any, file: str, problems: Problems, formulas: _Formulas | None, found: _Formulas
) -> Iterator[tuple[int, list[Cell]]]:
    """The rows that are not blank, numbered as the spreadsheet shows them."""
    sheet.reset_dimensions()  # the size a file claims need not be its size
    for number, row in enumerate(sheet.iter_rows(), start=1):
        cells: list[Cell] = []
        for position, cell in enumerate(row):
            value = cell.value
            if value is None:
                typed = formulas.get((file, number, position)) if formulas else None
                if typed is not None:
                    problems.add(file, number, None, FormulaWithoutValue(typed=typed))
                cells.append("")
            elif cell.data_type == "f":
                found[file, number, position] = str(value)
                cells.append("")
            elif cell.data_type == "e":
                problems.add(file, number, None, FormulaWithoutValue(typed=str(value)))
                cells.append("")
            else:
                cells.append(_cell(value, cell.number_format))
        if any(not isinstance(cell, str) or cell.strip() for cell in cells):
            yield number, cells


def _cell(value: object, number_format: str) -> Cell:
    match value:
        case str():
            return text_from_sheet(value)
        case bool():
            return "yes" if value else "no"
        case int() | float():
            return _number(value, number_format)
        case datetime():
            return value
        case _:
            return str(value)  # a clock time or a span: no column of ours holds one


def _number(value: float, number_format: str) -> Cell:
    """A number as the sheet shows it where that loses nothing (``1842.50``, ``007``), else itself."""
    if match := _FIXED_DECIMALS.fullmatch(number_format):
        decimals = len(match["decimals"] or "")
        width = len(match["whole"]) if match["whole"].startswith("0") else 1
        shown = f"{abs(Decimal(repr(value))):.{decimals}f}"
        whole, point, rest = shown.partition(".")
        shown = ("-" if value < 0 else "") + whole.zfill(width) + point + rest
        if float(shown) == value:
            return shown
    if isinstance(value, int):
        return str(value)
    return str(int(value)) if value.is_integer() and abs(value) < 1e15 else value
