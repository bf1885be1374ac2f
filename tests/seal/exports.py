"""A logbook handed out, as somebody would carry it to another machine."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from kilnlog.exchange.to_tables import rows_of
from kilnlog.exchange.write_folder import write_folder
from kilnlog.logbook.exporting import export
from kilnlog.logbook.session import Logbook
from kilnlog.records.version import Entry


def as_folder(book: Logbook, folder: Path, *, without_seals: bool = False) -> Path:
    """All tables as CSV files; without seals as a mill would write them by hand."""
    tables = book.file.everything()
    if without_seals:
        tables["closing"] = [_bare(entry) for entry in tables["closing"]]
    folder.mkdir()
    write_folder(folder, rows_of(tables, book.file.logger_days))
    return folder


def as_workbook(book: Logbook, path: Path) -> Path:
    """The workbook of everything, by the verb."""
    export(book, path)
    return path


def _bare(entry: Entry[Any]) -> Entry[Any]:
    fact = replace(entry.fact, sealed_text=None, ledger_number=None, ledger_head=None, program_version=None)
    return Entry(entry.version, fact)
