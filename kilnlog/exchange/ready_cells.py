"""Ways through openpyxl: a shortcut for rows whose cells are made already, and where sheets are kept."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any
from uuid import uuid4


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


def stream_into(sheet: Any, folder: Path) -> None:
    """Let a write-only sheet keep its rows in a file of this folder until the workbook is saved.

    openpyxl would put it among everybody's temporary files, where it stays for good if the program is killed.
    Should a later openpyxl do this otherwise, sheets come out the same, their files where it puts them.
    """
    from openpyxl.worksheet import _writer  # noqa: PLC0415 - as above

    if not (hasattr(sheet, "_get_writer") and hasattr(_writer, "ALL_TEMP_FILES")):
        return

    def get_writer() -> None:
        if sheet._writer is None:
            path = str(folder / f"{uuid4().hex}.xml")
            _writer.ALL_TEMP_FILES.append(path)  # from which it is taken once the sheet is in the workbook
            sheet._writer = _writer.WorksheetWriter(sheet, path)
            sheet._writer.write_top()

    sheet._get_writer = get_writer
