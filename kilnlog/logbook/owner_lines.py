"""An owner's tally lines for a spreadsheet: as text to paste, and as a file of comma-separated values.

The price is a column of its own and left empty: what lumber is worth is the owner's and the mill's affair.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from kilnlog.drying.closing.tally import OWNER_COLUMNS, Cell, TallyFigures, owner_rows
from kilnlog.exchange.finished_file import finished_file

Lots = Sequence[tuple[str, TallyFigures]]

#: A text that begins so would be worked out by a spreadsheet instead of being shown.
_WORKED_OUT = ("=", "+", "-", "@", "\t", "\r")


def owner_file_name(number: str, whose: str) -> str:
    """``2026-12 Rowan Joinery tally.csv``, without what a file's name cannot hold."""
    name = re.sub(r'[<>:"/\\|?*\x00-\x1f]+', " ", f"{number} {whose} tally")
    return f"{re.sub(r' +', ' ', name).strip(' .')}.csv"


def pasted(lots: Lots, decimal_mark: str = ".") -> str:
    """The lines with their headings, a tab between cells, to be pasted into a spreadsheet.

    Args:
        lots: The owner's, each by its label, with its lines and their volumes.
        decimal_mark: Of the machine, which its spreadsheet reads numbers by.
    """
    rows: list[tuple[Cell, ...]] = [OWNER_COLUMNS, *_rows(lots)]
    return "\n".join("\t".join(_flat(cell, decimal_mark) for cell in row) for row in rows) + "\n"


def written(lots: Lots) -> str:
    """The same as a file: commas, a decimal point, a text quoted where it holds either."""
    held = io.StringIO(newline="")
    writer = csv.writer(held)
    writer.writerow(OWNER_COLUMNS)
    writer.writerows([_text(cell, ".") for cell in row] for row in _rows(lots))
    return held.getvalue()


def write_owner_lines(to: Path, lots: Lots) -> Path:
    """Write the file; raises ``WriteFailed``, and leaves what was there as it was, where it cannot."""
    with finished_file(to) as beside:
        # With its mark, so that a spreadsheet knows letters outside the first hundred.
        beside.write_text(written(lots), encoding="utf-8-sig", newline="")
    return to


def _rows(lots: Lots) -> Iterator[tuple[Cell, ...]]:
    for lot, tally in lots:
        yield from owner_rows(lot, tally)


def _text(cell: Cell, decimal_mark: str) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return f"'{cell}" if cell.startswith(_WORKED_OUT) else cell
    # 15 digits: what a spreadsheet holds.
    return f"{cell:.15g}".replace(".", decimal_mark) if isinstance(cell, float) else str(cell)


def _flat(cell: Cell, decimal_mark: str) -> str:
    return " ".join(_text(cell, decimal_mark).split())
