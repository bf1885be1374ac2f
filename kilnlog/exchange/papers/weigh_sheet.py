"""The weigh sheet for the clipboard: boards in walking order, large, with a line for each weight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypedDict

from kilnlog.exchange.papers.blocks import Gap, RowOfTable, Words
from kilnlog.exchange.papers.flow import Flow
from kilnlog.exchange.papers.fonts import SANS, SANS_BOLD, SANS_MEDIUM, SERIF, text_width
from kilnlog.exchange.papers.options import PaperOptions, Printed
from kilnlog.exchange.papers.page import (
    BODY,
    EDGE,
    INK,
    INK2,
    PENCIL,
    RULE,
    SAID,
    About,
    Foot,
    Paper,
    Role,
    printed,
    wrapped,
)
from kilnlog.exchange.papers.title_block import TitleBlock
from kilnlog.exchange.papers.words import TIE, moment, moment_of, short_day

TITLE = "Weigh sheet"
#: A weight lost or gained tells less where a board was weighed hot or wet; a kiln can hurt whoever walks in.
CAUTION = "Hot kiln, moving fans, steam: go in only as the kiln's own safety rules allow."

_BOARD = Role(SERIF, 19, 22)
_LARGE = Role(SANS, 13, 16)
_LARGE_STRONG = Role(SANS_BOLD, 13, 16)
_MIDDLE = Role(SANS, 10.5, 13)
_HEADING = Role(SANS_MEDIUM, 9.5, 12)
_ROW = 38.0
_SPARE = 2
#: Shares of the width: board, place and lot, last weight, expected, weight now, remark.
_SHARES = (0.10, 0.16, 0.17, 0.22, 0.21, 0.14)


class WeighSheetLine(TypedDict):
    """One board to be weighed."""

    board: str
    place: str | None  # where it lies
    lot: str | None
    last_weight: str | None  # as typed, with its unit
    last_at: str | None  # ISO 8601 with offset
    expected: str | None  # a range, in the unit of the sheet


class WeighSheet(TypedDict):
    """A round that is to be walked, in the order of ``lines``."""

    charge: str
    kiln: str | None
    mill: dict[str, str]  # name, place
    unit: str  # of the weights to be written: g, kg, lb, oz, lb oz
    made_at: str  # ISO 8601 with offset
    expected_at: str  # when it is to be walked: what ``expected`` is for
    unloaded_at: str | None
    lines: list[WeighSheetLine]


def weigh_sheet(sheet: WeighSheet, options: PaperOptions) -> Printed:
    """The sheet, with spare lines for what was not foreseen, unless they alone would take another sheet."""
    bare = _with_spare_lines(sheet, options, 0)
    fuller = (_with_spare_lines(sheet, options, spare) for spare in range(_SPARE, 0, -1))
    return next((paper for paper in fuller if paper.pages == bare.pages), bare)


def _with_spare_lines(sheet: WeighSheet, options: PaperOptions, spare: int) -> Printed:
    def draw(paper: Paper) -> None:
        paper.foot = Foot(
            "Entered later as “from sheet”, with the date and the time written at the top.", CAUTION, None
        )
        flow = Flow(f"{TITLE}, charge {sheet['charge']}, continued")
        kiln = f", {sheet['kiln']}" if sheet["kiln"] else ""
        mill = sheet["mill"]
        subject = f"Charge {sheet['charge']}{kiln}"
        flow.add(TitleBlock(TITLE, subject, mill.get("name", ""), mill.get("place", "")))
        if sheet["unloaded_at"]:
            unloaded = f"Unloaded {moment(sheet['unloaded_at'], options)}: no round is asked for any more."
            flow.add(Words(unloaded, BODY, INK))
        at = moment_of(sheet["expected_at"])
        expected = f"{short_day(at, options)}, {at:%H:%M}"
        flow.add(_ToFill(("Date", "Time of the first board", "Weighed by")), Gap(4))
        flow.add(
            _ToFill(("Dry bulb", "Wet bulb or RH", "Scale")), Gap(10), _SheetHeading(sheet["unit"], expected)
        )
        flow.add(*(_SheetRow(line, options) for line in sheet["lines"]))
        flow.add(*(_SheetRow(None, options) for _ in range(spare)))
        flow.draw(paper)

    about = About(
        title=f"{TITLE}, charge {sheet['charge']}",
        author=sheet["mill"].get("name", ""),
        subject="Blank lines for one round of weighing",
        at=sheet["made_at"],
    )
    return printed(about, options, draw)


@dataclass(frozen=True)
class _ToFill:
    """Names with a line behind each, to be filled in by hand."""

    names: Sequence[str]

    def height(self, width: float) -> float:
        """Room for handwriting."""
        return 26

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Name and line, from left to right."""
        room = width / len(self.names)
        for number, name in enumerate(self.names):
            left = x + number * room
            paper.text(left, y + 20, name, _HEADING, INK2)
            begins = left + text_width(name, _HEADING.face, _HEADING.size) + 6
            paper.line(begins, y + 22, left + room - 12, y + 22, EDGE, 0.7)


def _columns(x: float, width: float) -> list[tuple[float, float]]:
    """Left edge and room of each column."""
    columns = []
    for share in _SHARES:
        columns.append((x, width * share))
        x += width * share
    return columns


@dataclass(frozen=True)
class _SheetHeading(RowOfTable):
    unit: str
    expected: str  # the moment it is for
    is_heading: bool = True

    def height(self, width: float) -> float:
        """Two lines."""
        return 28

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """What stands in each column; the unit to write in stands here, not on each line."""
        names = (
            ("Board", ""),
            ("Place, lot", ""),
            ("Last weight", "and day"),
            ("Expected", self.expected),
            (f"Weight now, {self.unit}", ""),
            ("Remark", ""),
        )
        for (left, _), (upper, lower) in zip(_columns(x, width), names, strict=True):
            paper.text(left, y + (10 if lower else 21), upper, _HEADING, INK2)
            if lower:
                paper.text(left, y + 21, lower, _HEADING, INK2)
        paper.line(x, y + 27, x + width, y + 27, INK, 0.9)


@dataclass(frozen=True)
class _SheetRow(RowOfTable):
    line: WeighSheetLine | None
    options: PaperOptions

    def height(self, width: float) -> float:
        """Room for a weight written with a thick pencil; more where a name takes more lines."""
        if self.line is None:
            return _ROW
        columns = _columns(0, width)
        board = len(wrapped(self.line["board"], _BOARD, columns[0][1] - 6))
        place = len(self._place_lines(columns[1][1]))
        weights = max(len(self._expected(columns[3][1])) + 0.2, len(self._last(columns[2][1])) + 0.8)
        return max(_ROW, board * _BOARD.leading + 14, place * _MIDDLE.leading + 12, weights * 16 + 10)

    def _place_lines(self, room: float) -> list[str]:
        if self.line is None:
            return []
        lot = f"lot {self.line['lot']}" if self.line["lot"] else ""
        return [*wrapped(self.line["place"] or "", _MIDDLE, room - 6), *wrapped(lot, _MIDDLE, room - 6)]

    def _expected(self, room: float) -> list[str]:
        """In one line, or both ends under one another: a figure is never parted from its unit."""
        told = "" if self.line is None else self.line["expected"] or ""
        low, dash, high = told.partition(" – ")
        if text_width(told, _LARGE.face, _LARGE.size) <= room - 6:
            return [told]
        ends = [_tied(low), *([_tied(f"– {high}")] if dash else [])]
        return [line for end in ends for line in wrapped(end, _LARGE, room - 6)]

    def _last(self, room: float) -> list[str]:
        told = "" if self.line is None else self.line["last_weight"] or ""
        return wrapped(_tied(told), _LARGE_STRONG, room - 6)

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """From left to right; the room for the weight is framed by two lines and stays empty."""
        columns, height = _columns(x, width), self.height(width)
        if self.line is not None:
            for number, text in enumerate(wrapped(self.line["board"], _BOARD, columns[0][1] - 6)):
                paper.text(columns[0][0], y + 25 + number * _BOARD.leading, text, _BOARD)
            for number, text in enumerate(self._place_lines(columns[1][1])):
                paper.text(columns[1][0], y + 16 + number * _MIDDLE.leading, text, _MIDDLE, INK2)
            self._draw_last(paper, columns[2], y)
            expected = self._expected(columns[3][1])
            for number, text in enumerate(expected):
                first = y + (24 if len(expected) == 1 else 17)
                paper.text(columns[3][0], first + number * _LARGE.leading, text, _LARGE, PENCIL)
        left, room = columns[4]
        paper.line(left, y + height - 8, left + room - 12, y + height - 8, INK, 1.0)
        paper.line(columns[5][0], y + height - 8, x + width, y + height - 8, EDGE, 0.6)
        paper.line(x, y + height, x + width, y + height, RULE, 0.7)

    def _draw_last(self, paper: Paper, column: tuple[float, float], y: float) -> None:
        if self.line is None or not self.line["last_weight"]:
            return
        lines = self._last(column[1])
        for number, text in enumerate(lines):
            paper.text(column[0], y + 17 + number * _LARGE_STRONG.leading, text, _LARGE_STRONG)
        if self.line["last_at"]:
            at = moment_of(self.line["last_at"])
            under = y + 30 + (len(lines) - 1) * _LARGE_STRONG.leading
            paper.text(column[0], under, f"{short_day(at, self.options)}, {at:%H:%M}", SAID, INK2)


def _tied(weight: str) -> str:
    """A weight that stays on one line."""
    return weight.replace(" ", TIE)
