"""Sheets of the customer workbook: how they print, and how two cells are held against each other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from kilnlog.exchange.papers.options import PaperSize
from kilnlog.exchange.papers.words import TIE
from kilnlog.exchange.sheet import Look, Sheet

#: ECMA-376 part 1, 18.3.1.63: the codes of paper sizes.
_PAPER_CODES = {PaperSize.A4: "9", PaperSize.LETTER: "1"}
_SIDE_IN, _TOP_IN, _EDGE_IN = 0.5, 0.8, 0.35
_MOST_IN_FOOT = 100  # characters; programs refuse a head or foot of more than 255 with its codes

#: How differences are shown.
DIFFERENCE = "0.000"
#: Figures told and figures worked out are rounded so, before a viewer rounds what it shows: else the noise of
#: binary fractions parts a mean of 7.275 into 7.27 and 7.28.
_NO_NOISE = 10


def without_noise(value: float | None) -> float | None:
    """A figure told, as ``formula_without_noise`` gives it."""
    return None if value is None else round(value, _NO_NOISE)


def formula_without_noise(formula: str) -> str:
    """The formula of a figure worked out, as ``without_noise`` tells it."""
    return f"ROUND({formula},{_NO_NOISE})"


@dataclass(frozen=True, slots=True)
class Printing:
    """What all sheets of a lot have in common when they are printed."""

    size: PaperSize
    head: str
    foot: str


def new_sheet(
    book: Any,
    title: str,
    widths: Sequence[float],
    printing: Printing,
    *,
    heading_row: int,
    is_upright: bool = False,
) -> Sheet:
    """A sheet that prints on one page's width, its headings on every page.

    Args:
        book: The workbook.
        title: Of the sheet.
        widths: Of the columns, in characters.
        printing: Paper, head and foot.
        heading_row: Of the headings that stay in sight and are repeated.
        is_upright: The page stands upright.
    """
    sheet = Sheet(book, title, widths, heading_row=heading_row, footer=printing.foot[:_MOST_IN_FOOT])
    own = sheet.openpyxl_sheet
    own.page_setup.paperSize = _PAPER_CODES[printing.size]
    own.page_setup.orientation = "portrait" if is_upright else "landscape"
    own.page_margins.left = own.page_margins.right = _SIDE_IN
    own.page_margins.top = own.page_margins.bottom = _TOP_IN
    own.page_margins.header = own.page_margins.footer = _EDGE_IN
    own.sheet_view.showGridLines = False
    own.HeaderFooter.oddHeader.right.text = printing.head[:_MOST_IN_FOOT].replace("&", "&&")
    own.HeaderFooter.oddFooter.right.text = "Page &P of &N"
    return sheet


def plain(text: str) -> str:
    """The text with common blanks, so that a search in the sheet finds ``8 %``."""
    return text.replace(TIE, " ")


def printable(text: str) -> str:
    """The text without what a name of the document or a foot cannot hold."""
    return "".join(sign for sign in plain(text) if sign.isprintable())


def apart(told: str, worked_out: str) -> str:
    """The formula of how far two cells are apart; 1 where only one is a number, or two words differ."""
    words = f'IF({told}&""={worked_out}&"",0,1)'
    return f"IF(COUNT({told},{worked_out})=2,ABS({told}-{worked_out}),{words})"


def greatest(ranges: Iterable[str]) -> str:
    """The formula of the greatest of these ranges."""
    return f"MAX({','.join(ranges)})"


def add_title(sheet: Sheet, title: str, subject: str, last_column: int) -> None:
    """Two rows: what the sheet is, and of what."""
    sheet.texts((title,), Look.TITLE)
    sheet.spread({(0, last_column): plain(subject) or " "}, Look.QUIET)
