"""A workbook while it is written: sheets streamed to a folder, and one file of it at the end."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile

from kilnlog.exchange.ready_cells import stream_into


@contextlib.contextmanager
def new_book(scratch: Path) -> Iterator[Any]:
    """A workbook being streamed by way of a folder; where it ends early, half-written sheets are closed."""
    from openpyxl import Workbook  # noqa: PLC0415 - slow to load, wanted by this verb alone

    book: Any = Workbook(write_only=True)
    plain = book.create_sheet

    def create_sheet(title: str) -> Any:
        sheet = plain(title)
        stream_into(sheet, scratch)
        return sheet

    book.create_sheet = create_sheet
    try:
        yield book
    except BaseException:
        for sheet in book.worksheets:
            if not sheet.closed:
                with contextlib.suppress(Exception):  # whatever stopped the writing stops this too
                    sheet.close()
        raise


def save_book(book: Any, path: Path) -> None:
    """As the library saves; but it leaves a file that could not be finished open, and complains on stderr
    when that is let go of."""
    from openpyxl.writer.excel import ExcelWriter  # noqa: PLC0415 - as above

    with path.open("wb") as file:
        archive = ZipFile(file, "w", ZIP_DEFLATED, allowZip64=True)
        try:
            ExcelWriter(book, archive).save()
        except BaseException:
            archive.fp = None  # closed for good: nothing more is tried on a disk that refuses
            raise
