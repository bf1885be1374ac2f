"""Read a workbook that holds the same tables, one sheet each."""

from __future__ import annotations

import warnings
import zlib
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import IO, Any
from zipfile import BadZipFile

from kilnlog.exchange.errors import (
    FormulaWithoutValue,
    SourceEmpty,
    SourceUnreadable,
    TableTwice,
    UnknownTable,
)
from kilnlog.exchange.raw_tables import Cell, Problems, RawTable, RawTables, table_from
from kilnlog.exchange.sheet_cells import cell_from_sheet
from kilnlog.exchange.sheet_names import is_readable_sheet
from kilnlog.exchange.tables import KNOWN_TABLES

#: What the library may raise on a workbook that is none or is damaged: it checks little before it reads. Text
#: that is no XML is a ``SyntaxError``.
_DAMAGE = (
    BadZipFile,
    zlib.error,
    OSError,
    EOFError,
    SyntaxError,
    LookupError,
    ValueError,
    ArithmeticError,
    TypeError,
    AttributeError,
    AssertionError,
    RuntimeError,
)


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
    with ExitStack() as closing:
        try:
            stream = closing.enter_context(path.open("rb"))
        except OSError as error:
            raise SourceUnreadable(path=str(path), why=error.strerror or str(error)) from error
        with _telling_damage(path):
            book = _loaded(stream, values_only=values_only)
        closing.callback(book.close)
        yield book


def _loaded(stream: IO[bytes], *, values_only: bool) -> Any:
    from openpyxl.reader.excel import ExcelReader  # noqa: PLC0415 - slow to load, wanted by this verb alone

    charts: list[str] = []

    class WithoutCharts(ExcelReader):
        """A sheet that is nothing but a chart holds no table, and cannot be read as rows."""

        def read_chartsheet(self, sheet: Any, rel: Any) -> None:
            """Pass it by."""
            charts.append(sheet.name)

    # It warns of what it will not write again (drop-down lists, page heads): here nothing is written again.
    warnings.filterwarnings("ignore", category=UserWarning, module=r"openpyxl\.")
    reader = WithoutCharts(stream, read_only=True, data_only=values_only)
    reader.read()
    # A sheet that is listed and not there would be passed over in silence, and its rows with it.
    listed = {sheet.name for sheet in reader.parser.sheets}
    if lost := sorted(listed.difference(charts, reader.wb.sheetnames)):
        raise ValueError(f"sheet {lost[0]} is not in it")
    return reader.wb


@contextmanager
def _telling_damage(path: Path) -> Iterator[None]:
    """Around the library's own work alone: what it raises there is the file's fault, not ours."""
    from openpyxl.utils.exceptions import InvalidFileException  # noqa: PLC0415 - as above

    try:
        yield
    except (*_DAMAGE, InvalidFileException) as error:
        why = f"it is no workbook, or a damaged one ({str(error) or type(error).__name__})"
        raise SourceUnreadable(path=str(path), why=why) from error


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
        rows = _rows(_cells_of(sheet, path), file, problems, formulas, found)
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


_SheetCell = tuple[object, str, str]  # its value, its kind, its number format


def _cells_of(sheet: Any, path: Path) -> Iterator[tuple[_SheetCell, ...]]:
    """The rows of a sheet; raises ``SourceUnreadable`` where one cannot be made out."""
    with _telling_damage(path):
        sheet.reset_dimensions()  # the size a file claims need not be its size
        rows = sheet.iter_rows()
    while True:
        with _telling_damage(path):
            row = next(rows, None)
            if row is None:
                return
            cells = tuple((cell.value, cell.data_type, cell.number_format) for cell in row)
        yield cells


def _rows(
    sheet: Iterator[tuple[_SheetCell, ...]],
    file: str,
    problems: Problems,
    formulas: _Formulas | None,
    found: _Formulas,
) -> Iterator[tuple[int, list[Cell]]]:
    """The rows that are not blank, numbered as the spreadsheet shows them."""
    for number, row in enumerate(sheet, start=1):
        cells: list[Cell] = []
        for position, (value, kind, number_format) in enumerate(row):
            if value is None:
                typed = formulas.get((file, number, position)) if formulas else None
                if typed is not None:
                    problems.add(file, number, None, FormulaWithoutValue(typed=typed))
                cells.append("")
            elif kind == "f":
                found[file, number, position] = str(value)
                cells.append("")
            elif kind == "e":
                problems.add(file, number, None, FormulaWithoutValue(typed=str(value), why="error"))
                cells.append("")
            else:
                cells.append(cell_from_sheet(value, number_format))
        if any(not isinstance(cell, str) or cell.strip() for cell in cells):
            yield number, cells
