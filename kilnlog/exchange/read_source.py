"""Read whatever was handed over: a folder of CSV files or a workbook."""

from __future__ import annotations

from pathlib import Path

from kilnlog.exchange.errors import SourceMissing, SourceUnknown
from kilnlog.exchange.raw_tables import RawTables
from kilnlog.exchange.read_folder import read_folder
from kilnlog.exchange.read_workbook import read_workbook

_WORKBOOKS = {".xlsx", ".xlsm"}


def read(source: Path) -> RawTables:
    """Read the tables at ``source``; raises ``KilnlogError``, nothing is made of them yet."""
    if source.is_dir():
        return read_folder(source)
    if not source.exists():
        raise SourceMissing(path=str(source))
    if source.suffix.lower() in _WORKBOOKS:
        return read_workbook(source)
    raise SourceUnknown(path=str(source))
