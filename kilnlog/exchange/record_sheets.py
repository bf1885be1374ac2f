"""The sheets that hold the record itself, in the form in which it can be taken in again."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime
from typing import Any

from kilnlog.exchange.errors import TextTooLong
from kilnlog.exchange.sheet import Sheet, fits_a_sheet
from kilnlog.exchange.to_cells import ClockTime, Digits, Value
from kilnlog.exchange.to_tables import TableRows

_CLOCK = re.compile(r"\d{4}-\d{2}-\d{2} \d{2}:\d{2}(?::\d{2})?", re.ASCII)
_PROGRESS_EVERY = 500  # rows
_WIDTH_FROM = 200  # rows tell how wide a column is


def write_table(book: Any, rows: TableRows, footer: str, tick: Callable[[int], None]) -> None:
    """Write one table; ``tick`` is told now and then how many rows were written since."""
    sheet = Sheet(book, rows.table.name, _widths(rows), heading_row=1, footer=footer)
    sheet.headings(rows.columns)
    for number, row in enumerate(rows.rows, start=1):
        try:
            sheet.append(
                [None if value is None else _cell(sheet, column, value) for column, value in enumerate(row)]
            )
        except TextTooLong as error:
            name = rows.columns[int(str(error.values["column"])) - 1]
            raise TextTooLong(**{**error.values, "column": name}) from error
        if number % _PROGRESS_EVERY == 0:
            tick(_PROGRESS_EVERY)
    tick(len(rows.rows) % _PROGRESS_EVERY)


def _cell(sheet: Sheet, column: int, value: Value) -> Any:
    if isinstance(value, str):
        if isinstance(value, ClockTime):
            return _clock(sheet, column, value)
        if isinstance(value, Digits):
            return _digits(sheet, column, value)
        return sheet.text(column, value)
    # openpyxl writes 16 digits; the few numbers that need 17 go out as text, and are read from that.
    if isinstance(value, float) and float(f"{value:.16g}") != value:
        return sheet.text(column, repr(value))
    return value


def _clock(sheet: Sheet, column: int, text: ClockTime) -> Any:
    if _CLOCK.fullmatch(text) and fits_a_sheet(clock := datetime.fromisoformat(text)):
        return sheet.clock(column, clock)
    return sheet.text(column, str(text))


def _digits(sheet: Sheet, column: int, digits: Digits) -> Any:
    """A number that shows as it was typed; the format is what tells ``1842.50`` from ``1842.5``."""
    whole, _, decimals = digits.partition(".")
    if len(whole) + len(decimals) > 15:
        return sheet.text(column, str(digits))
    number_format = ("0" * len(whole) if whole.startswith("0") and len(whole) > 1 else "0") + (
        "." + "0" * len(decimals) if decimals else ""
    )
    return sheet.number(column, float(digits), number_format)


def _widths(rows: TableRows) -> list[float]:
    shown = (rows.columns, *rows.rows[:_WIDTH_FROM])
    return [
        2 + max(len(str(row[column])) for row in shown if row[column] is not None)
        for column in range(len(rows.columns))
    ]
