"""Where the rows of a logger's file begin, what divides their cells, and where the stamps stand."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from kilnlog.exchange.logger.format import DateOrder
from kilnlog.exchange.logger.stamps import day_of, split_stamp, time_of
from kilnlog.exchange.logger.text import cells_of

#: The semicolon first: where it divides, commas are decimal marks.
DELIMITERS = (";", "\t", ",")
_FIGURE = re.compile(
    r"\s*[-+\u2212]?(?:\d+(?:[.,]\d*)?|[.,]\d+)\s*(?:[°º]?\s*[CFcf]|%\s*(?:[Rr][Hh])?)?\s*", re.ASCII
)
_WITH_COMMA = re.compile(r"\s*[-+\u2212]?\d*,\d+\D*", re.ASCII)


@dataclass(frozen=True)
class Layout:
    """The lines of a sample divided into cells."""

    delimiter: str
    stamp_column: int
    time_column: int | None
    first_row: int  # the line it stands in, counted from 0
    above: tuple[tuple[str, ...], ...]  # the lines before it, divided
    rows: tuple[tuple[str, ...], ...]  # those that carry a stamp and a figure

    @property
    def width(self) -> int:
        """How many columns a row has."""
        return Counter(map(len, self.rows)).most_common(1)[0][0]

    def column(self, number: int) -> list[str]:
        """The cells of a column, row by row."""
        return [row[number] for row in self.rows if len(row) > number]

    def stamps(self) -> list[tuple[str, str]]:
        """Day and time of each row as written."""
        found = (_stamp_at(row, self.stamp_column, self.time_column) for row in self.rows)
        return [each for each in found if each is not None]

    def figure_columns(self) -> list[int]:
        """The columns that hold figures, without those that only count the rows."""
        taken = {self.stamp_column, self.time_column}
        return [
            number
            for number in range(self.width)
            if number not in taken and is_figures(cells := self.column(number)) and not _counts(cells)
        ]


def layout_of(lines: Sequence[str], delimiters: Sequence[str] = DELIMITERS) -> Layout | None:
    """The layout by which most lines are rows; None where none are."""
    best: Layout | None = None
    for delimiter in delimiters:
        found = _divided(lines, delimiter)
        if found is not None and (best is None or len(found.rows) > len(best.rows)):
            best = found
    return best


def _divided(lines: Sequence[str], delimiter: str) -> Layout | None:
    cells = cells_of(list(lines), delimiter)
    places = Counter(place for row in cells if (place := _place(row)) is not None)
    if not places:
        return None
    (stamp, time), _ = places.most_common(1)[0]
    numbers = [index for index, row in enumerate(cells) if _place(row) == (stamp, time)]
    above = tuple(tuple(row) for row in cells[: numbers[0]])
    return Layout(delimiter, stamp, time, numbers[0], above, tuple(tuple(cells[at]) for at in numbers))


def _place(row: list[str]) -> tuple[int, int | None] | None:
    """The columns of date and time in a line that is a row: one with a figure besides."""
    for stamp in range(len(row)):
        for time in (None, stamp + 1, stamp - 1):
            if _stamp_at(row, stamp, time) is None:
                continue
            rest = [cell for number, cell in enumerate(row) if number not in (stamp, time)]
            return (stamp, time) if any(map(_FIGURE.fullmatch, rest)) else None
    return None


def _stamp_at(row: Sequence[str], stamp: int, time: int | None) -> tuple[str, str] | None:
    if time is None:
        parted = split_stamp(row[stamp]) if stamp < len(row) else None
    else:
        parted = (row[stamp], row[time]) if 0 <= time < len(row) and stamp < len(row) else None
    if parted is None or time_of(parted[1]) is None:
        return None
    return parted if any(day_of(parted[0], order) is not None for order in DateOrder) else None


def is_figures(cells: Sequence[str]) -> bool:
    """Whether most cells that hold anything hold figures."""
    filled = [cell for cell in cells if cell.strip()]
    return bool(filled) and sum(map(bool, map(_FIGURE.fullmatch, filled))) > len(filled) / 2


def decimal_mark_of(cells: Sequence[str]) -> str:
    """The mark before the decimals: a comma where any figure has one, since no air is in the thousands."""
    return "," if any(map(_WITH_COMMA.fullmatch, cells)) else "."


def _counts(cells: Sequence[str]) -> bool:
    """Whether the cells are 1, 2, 3…"""
    try:
        numbers = [int(cell) for cell in cells]
    except ValueError:
        return False
    steps = {later - earlier for earlier, later in pairwise(numbers)}
    return len(numbers) > 2 and steps in ({1}, {-1})
