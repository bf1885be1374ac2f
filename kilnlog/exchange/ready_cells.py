"""A shortcut through openpyxl for rows whose cells are made already."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any


def take_ready_cells(sheet: Any) -> None:
    """Let a write-only sheet take cells as they are, and texts and numbers that were looked at before.

    openpyxl tries every cell as a plain value first and writes out an error message for each before it looks
    whether it is a cell; and it examines every text once more. That costs a quarter of an export. Should a
    later openpyxl keep these things elsewhere, sheets come out the same, only slower.
    """
    from openpyxl.cell import Cell, WriteOnlyCell  # noqa: PLC0415 - slow to load, wanted by one verb alone

    plain = WriteOnlyCell(sheet)
    if not (hasattr(plain, "_value") and hasattr(sheet, "_values_to_row")):
        return

    def values_to_row(values: Sequence[Any], row: int) -> Iterator[Any]:
        for column, value in enumerate(values, start=1):
            if value is None:
                continue
            if isinstance(value, Cell):
                cell = value
            else:
                cell = plain
                cell._value = value
                cell.data_type = "s" if isinstance(value, str) else "n"
            cell.column, cell.row = column, row
            yield cell

    sheet._values_to_row = values_to_row
