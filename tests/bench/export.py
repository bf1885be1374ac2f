"""Writing the workbook, against bare openpyxl writing the same cells with the same formats."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from openpyxl import Workbook, load_workbook
from openpyxl.cell import WriteOnlyCell

from kilnlog.logbook.exporting import export
from kilnlog.logbook.session import open_logbook
from tests.bench.measured import Measured, ratio_of_medians, spread

ROUNDS = 5
BAR = 1.3


@dataclass(frozen=True)
class Sheet:
    """A sheet as it was written: its cells, each with the number of its format or None."""

    title: str
    rows: list[list[tuple[Any, int | None]]]


def measure(sample: Path, folder: Path) -> list[Measured]:
    """Export the whole sample and write the same cells barely, in turn."""
    own, peer = folder / "own.xlsx", folder / "bare.xlsx"
    _export(sample, own)
    sheets, formats = read_back(own)
    ours: list[float] = []
    bare: list[float] = []
    for _ in range(ROUNDS + 1):
        ours.append(_milliseconds(lambda: _export(sample, own)))
        bare.append(_milliseconds(lambda: write_barely(peer, sheets, formats)))
    cells = sum(value is not None for sheet in sheets for row in sheet.rows for value, _ in row)
    return [
        Measured(
            "export of the sample, bare openpyxl",
            ratio_of_medians(ours[1:], bare[1:]),
            BAR,
            "times",
            f"{cells} cells: ours {spread(ours[1:])}, bare {spread(bare[1:])}",
        )
    ]


def _export(sample: Path, to: Path) -> None:
    to.unlink(missing_ok=True)
    book = open_logbook(sample, read_only=True)
    try:
        export(book, to)
    finally:
        book.close()


def read_back(path: Path) -> tuple[list[Sheet], list[dict[str, Any]]]:
    """The cells of a workbook and the formats they carry."""
    book = load_workbook(path)
    formats: dict[int, dict[str, Any]] = {}
    places: dict[int, int] = {}
    sheets = []
    for sheet in book.worksheets:
        rows = []
        for row in sheet.iter_rows():
            cells: list[tuple[Any, int | None]] = []
            for cell in row:
                number = None
                if cell.has_style:
                    number = places.setdefault(cell.style_id, len(places))
                    formats.setdefault(number, _format(cell))
                cells.append((cell.value, number))
            rows.append(cells)
        sheets.append(Sheet(sheet.title, rows))
    return sheets, [formats[number] for number in range(len(formats))]


def _format(cell: Any) -> dict[str, Any]:
    return {
        "number_format": cell.number_format,
        "font": cell.font.copy(),
        "fill": cell.fill.copy(),
        "border": cell.border.copy(),
        "alignment": cell.alignment.copy(),
    }


def write_barely(path: Path, sheets: list[Sheet], formats: list[dict[str, Any]]) -> None:
    """The quickest way openpyxl has: write-only, one reused cell per format, plain values elsewhere."""
    book = Workbook(write_only=True)
    for sheet in sheets:
        written = book.create_sheet(sheet.title)
        styled = [_styled(written, form) for form in formats]
        for row in sheet.rows:
            written.append(_filled(row, styled))
    book.save(path)


def _styled(sheet: Any, form: dict[str, Any]) -> Any:
    cell: Any = WriteOnlyCell(sheet)
    for name, value in form.items():
        setattr(cell, name, value)
    return cell


def _filled(row: list[tuple[Any, int | None]], styled: list[Any]) -> Iterator[Any]:
    """The row, cell by cell, as openpyxl asks for them."""
    for value, number in row:
        if number is None:
            yield value
        else:
            cell = styled[number]
            cell.value = value
            yield cell


def _milliseconds(work: Callable[[], None]) -> float:
    began = time.perf_counter()
    work()
    return (time.perf_counter() - began) * 1000
