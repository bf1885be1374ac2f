"""What a workbook's cell holds, as the sheet shows it."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta
from decimal import Decimal
from functools import cache

from kilnlog.exchange.raw_tables import Cell
from kilnlog.exchange.sheet_text import text_from_sheet

_FIXED_DECIMALS = re.compile(r"(?P<whole>0+|#,##0)(?:\.(?P<decimals>0+))?", re.ASCII)
#: Parts of a number format that are shown as they stand: quoted, after a backslash, colours and conditions.
_SHOWN_AS_IT_STANDS = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?![hms]+\])[^\]]*\]', re.IGNORECASE)
_SPAN = re.compile(r"\[(?:h+|m+|s+)\]", re.IGNORECASE)


def cell_from_sheet(value: object, number_format: str) -> Cell:
    """The cell; ``value`` is what the workbook's library makes of it."""
    match value:
        case str():
            return text_from_sheet(value)
        case bool():
            return "yes" if value else "no"
        case int() | float():
            return _number(value, number_format)
        case datetime():
            return _moment(value, number_format)
        case time() | timedelta():
            return str(value)  # no column of ours holds a time of day or a span
        case _:
            return str(value)


def _moment(value: datetime, number_format: str) -> Cell:
    """A moment; a day alone where the sheet shows no hour and keeps none: nobody said midnight."""
    plain = _plain_format(number_format)
    if _SPAN.search(plain):
        return str(value)
    is_day = "h" not in plain and value.time() == time()
    return value.date() if is_day else value


def _number(value: float, number_format: str) -> Cell:
    """A number as the sheet shows it where that loses nothing (``1842.50``, ``007``), else itself.

    A percentage is kept as a fraction of one and shown as hundredths: what is shown is what was meant.
    """
    number_format = number_format or ""
    if "%" in number_format and "%" in _plain_format(number_format):
        value = float(Decimal(f"{value:.15g}").scaleb(2))
        number_format = number_format.replace("%", "").strip()
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


@cache
def _plain_format(number_format: str) -> str:
    """The signs of a number format that stand for parts of the number, in small letters."""
    return _SHOWN_AS_IT_STANDS.sub("", number_format).lower()
