"""One sheet of a workbook being written: its looks, its print set-up, and cells that stay what they are."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from datetime import datetime, timedelta
from enum import StrEnum
from math import ceil
from typing import Any

from kilnlog.exchange.errors import TextTooLong
from kilnlog.exchange.ready_cells import take_ready_cells
from kilnlog.exchange.sheet_text import text_for_sheet
from kilnlog.records.moment import Moment

#: A workbook cell holds so many UTF-16 units; openpyxl would cut the rest without a word.
LONGEST_TEXT = 32_767

_MAY_BE_MORE_THAN_TEXT = re.compile(r"[=+\-@#\t\r\n]")
_EPOCH = datetime(1899, 12, 30)  # day 0 of a sheet's calendar
_FIRST_DAY = datetime(1900, 3, 1)  # before it, sheets count a day that never was
_NARROWEST, _WIDEST = 6, 46
_LINE_HEIGHT = 15  # points


class Look(StrEnum):
    """How a cell looks."""

    PLAIN = "plain"
    TITLE = "title"
    SUBTITLE = "subtitle"
    HEADING = "heading"
    HEADING_RIGHT = "heading of numbers"
    LEFT = "left"
    WRAPPED = "wrapped"
    INDENTED = "indented"  # text right of a column of numbers
    LABEL = "label"
    QUIET = "quiet"
    STRONG = "strong"
    RIGHT = "right"  # words in a column of numbers
    TO_FILL = "to be filled in"


class Sheet:
    """Writes rows to one sheet. Text stays text whatever it begins with; only ``formula`` makes formulas."""

    def __init__(
        self, book: Any, title: str, widths: Sequence[float], *, heading_row: int, footer: str
    ) -> None:
        from openpyxl.cell import WriteOnlyCell  # noqa: PLC0415 - slow to load, wanted by this verb alone
        from openpyxl.utils import get_column_letter  # noqa: PLC0415 - as above

        self._new_cell = WriteOnlyCell
        self._letter = get_column_letter
        self._sheet = book.create_sheet(title)
        take_ready_cells(self._sheet)
        self.title = title
        self.rows = 0
        self._cells: dict[tuple[int, Look, str], Any] = {}
        self._looks = _looks()
        self._plain_texts: set[str] = set()  # found to need no care
        self._widths = [max(_NARROWEST, min(_WIDEST, width)) for width in widths]
        self._set_up(heading_row, footer)

    def _set_up(self, heading_row: int, footer: str) -> None:
        sheet = self._sheet
        for column, width in enumerate(self._widths, start=1):
            sheet.column_dimensions[self._letter(column)].width = width
        sheet.freeze_panes = f"A{heading_row + 1}"
        sheet.print_title_rows = f"{heading_row}:{heading_row}"
        sheet.page_setup.orientation = "landscape"
        sheet.page_setup.fitToWidth = 1
        sheet.page_setup.fitToHeight = 0  # as many pages as it takes
        sheet.sheet_properties.pageSetUpPr.fitToPage = True
        sheet.HeaderFooter.oddHeader.left.text = "&A"
        sheet.HeaderFooter.oddFooter.left.text = footer.replace("&", "&&")
        sheet.HeaderFooter.oddFooter.right.text = "&P / &N"

    def append(self, cells: Sequence[Any]) -> None:
        """Write one row; None is a blank cell."""
        self._sheet.append(cells)
        self.rows += 1

    def blank(self) -> None:
        """Write an empty row."""
        self.append(())

    def texts(self, texts: Sequence[str | None], look: Look = Look.PLAIN) -> None:
        """Write a row of texts that look alike."""
        self.append([text and self.text(column, text, look) for column, text in enumerate(texts)])

    def headings(self, texts: Sequence[str | None], numbers: Collection[int] = (), *, lines: int = 1) -> None:
        """Write a row of headings; those of the columns ``numbers`` stand to the right, as numbers do."""
        self._sheet.row_dimensions[self.rows + 1].height = _LINE_HEIGHT * lines
        self.append(
            [
                text and self.text(column, text, Look.HEADING_RIGHT if column in numbers else Look.HEADING)
                for column, text in enumerate(texts)
            ]
        )

    def spread(
        self, texts: Mapping[tuple[int, int], str], look: Look, *, first_look: Look | None = None
    ) -> None:
        """Write a row of texts that each reach from one column to another, as high as the longest needs.

        What begins in the first column takes ``first_look`` where there is one.
        """
        row = self.rows + 1
        cells: list[Any] = [None] * (1 + max(last for _, last in texts))
        lines = 1
        for (first, last), text in texts.items():
            for column in range(first, last + 1):
                own_look = look if first or first_look is None else first_look
                cells[column] = self.text(column, text if column == first else " ", own_look)
            if last > first:
                self._sheet.merged_cells.add(f"{self._letter(first + 1)}{row}:{self._letter(last + 1)}{row}")
            room = sum(self._widths[first : last + 1])
            lines = max(lines, sum(ceil(max(1, len(part)) / room) for part in text.split("\n")))
        self._sheet.row_dimensions[row].height = _LINE_HEIGHT * lines
        self.append(cells)

    def text(self, column: int, text: str | None, look: Look = Look.PLAIN) -> Any:
        """A cell that holds this text and nothing else; raises ``TextTooLong``."""
        if not text:
            return None
        if look is Look.PLAIN and text in self._plain_texts:
            return text
        spelt = text_for_sheet(text)
        if len(spelt) > LONGEST_TEXT // 2:
            length = len(spelt.encode("utf-16-le")) // 2
            if length > LONGEST_TEXT:
                raise TextTooLong(table=self.title, column=str(column + 1), length=length, most=LONGEST_TEXT)
        is_risky = _MAY_BE_MORE_THAN_TEXT.match(text) is not None
        if look is Look.PLAIN and not is_risky:
            if spelt == text:
                self._plain_texts.add(text)
            return spelt
        cell = self._cell(column, look, "quoted" if is_risky else "")
        cell.value = spelt
        cell.data_type = "s"
        return cell

    def number(self, column: int, number: float | None, number_format: str, look: Look = Look.PLAIN) -> Any:
        """A cell that holds a number, shown in this format."""
        if number is None:
            return None
        cell = self._cell(column, look, number_format)
        cell.value = number
        return cell

    def to_fill(self, column: int, number_format: str) -> Any:
        """An empty cell for the reader to fill in."""
        cell = self._cell(column, Look.TO_FILL, number_format)
        cell.value = None
        return cell

    def formula(self, column: int, formula: str | None, number_format: str, look: Look = Look.PLAIN) -> Any:
        """A cell that works this out; only for formulas of our own making."""
        if formula is None:
            return None
        cell = self._cell(column, look, number_format)
        cell.value = f"={formula}"
        return cell

    def moment(self, column: int, moment: Moment | None, look: Look = Look.LEFT) -> Any:
        """A cell that holds a clock time of the moment's own zone, to be read."""
        if moment is None:
            return None
        return self.clock(column, moment.local.replace(tzinfo=None, second=0, microsecond=0), look)

    def clock(self, column: int, clock: datetime, look: Look = Look.LEFT) -> Any:
        """A cell that holds this clock time as sheets keep it."""
        number_format = "yyyy-mm-dd hh:mm:ss" if clock.second else "yyyy-mm-dd hh:mm"
        return self.number(column, (clock - _EPOCH) / timedelta(days=1), number_format, look)

    def add_chart(self, chart: Any, anchor: str) -> None:
        """Put a chart with its upper left corner at ``anchor``."""
        self._sheet.add_chart(chart, anchor)

    @property
    def openpyxl_sheet(self) -> Any:
        """The sheet as charts refer to it."""
        return self._sheet

    def _cell(self, column: int, look: Look, number_format: str) -> Any:
        """The one cell of this column, look and format, used over again row by row: making cells is slow."""
        key = (column, look, number_format)
        if (cell := self._cells.get(key)) is None:
            cell = self._cells[key] = self._new_cell(self._sheet)
            for name, value in self._looks[look].items():
                setattr(cell, name, value)
            if number_format == "quoted":
                # Typing into the cell again leaves it text.
                cell.quotePrefix = True
            elif number_format:
                cell.number_format = number_format
        return cell


def fits_a_sheet(clock: datetime) -> bool:
    """Whether sheets can count to this day."""
    return clock >= _FIRST_DAY


def _looks() -> dict[Look, dict[str, Any]]:
    from openpyxl.styles import Alignment, Border, PatternFill, Side  # noqa: PLC0415 - as above

    heading = {
        "font": _font(bold=True),
        "fill": PatternFill("solid", fgColor="E9E4D8"),
        "border": Border(bottom=Side(style="thin", color="857C6C")),
    }
    return {
        Look.PLAIN: {},
        Look.INDENTED: {"alignment": Alignment(horizontal="left", indent=1)},
        Look.WRAPPED: {"alignment": Alignment(vertical="top", wrap_text=True)},
        Look.LEFT: {"alignment": Alignment(horizontal="left")},
        Look.TITLE: {"font": _font(bold=True, size=16)},
        Look.SUBTITLE: {"font": _font(bold=True, size=13)},
        Look.HEADING: heading | {"alignment": Alignment(vertical="bottom", wrap_text=True)},
        Look.HEADING_RIGHT: heading
        | {"alignment": Alignment(horizontal="right", vertical="bottom", wrap_text=True)},
        Look.LABEL: {"font": _font(color="5A5446"), "alignment": Alignment(vertical="top")},
        Look.QUIET: {"font": _font(italic=True, color="5A5446")},
        Look.RIGHT: {"alignment": Alignment(horizontal="right")},
        Look.STRONG: {"font": _font(bold=True)},
        Look.TO_FILL: {
            "fill": PatternFill("solid", fgColor="FBF6E3"),
            "border": Border(bottom=Side(style="hair", color="857C6C")),
        },
    }


def _font(**how: Any) -> Any:
    """The face the other cells have: without its name, some programs take a book face."""
    from openpyxl.styles import Font  # noqa: PLC0415 - as above

    return Font(**{"name": "Calibri", "size": 11, **how})
