"""What pages are put together from: blocks of known height, laid one under another, page after page."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from reportlab.lib.colors import Color

from kilnlog.exchange.papers.fonts import text_width
from kilnlog.exchange.papers.page import (
    BODY,
    EDGE,
    HEADING,
    INK,
    INK2,
    LABEL,
    RULE,
    SAID,
    SMALL,
    SMALL_STRONG,
    Paper,
    Role,
    wrapped,
)


class Block(Protocol):
    """Something drawn on a page."""

    def height(self, width: float) -> float:
        """How much room it needs [pt]."""

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Draw it with its upper left corner there."""


@dataclass(frozen=True)
class Gap:
    """Room between blocks; dropped at the top of a page."""

    room: float = 8

    def height(self, width: float) -> float:
        """The room."""
        return self.room

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Nothing."""


@dataclass(frozen=True)
class Ruled:
    """A hairline with room above and under it."""

    above: float = 7
    under: float = 7
    colour: Color = RULE
    weight: float = 0.7

    def height(self, width: float) -> float:
        """Both rooms."""
        return self.above + self.under

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """The line."""
        paper.line(x, y + self.above, x + width, y + self.above, self.colour, self.weight)


@dataclass(frozen=True)
class Headed:
    """A heading, and what is said of it at the right end of the line, or under it where it is long.

    Attributes:
        text: The heading.
        said: What is said of it.
        role: Of the heading.
        how: What is said first; where both are too long for the line it alone stands under the heading.
    """

    text: str
    said: str = ""
    role: Role = HEADING
    how: str = ""

    def _said(self, width: float) -> tuple[str, list[str]]:
        """What stands beside the heading, and the lines under it."""
        room = width - 24 - text_width(self.text, self.role.face, self.role.size)
        both = "; ".join(part for part in (self.how, self.said) if part)
        for beside, under in ((both, ""), (self.said, self.how)):
            if len(wrapped(beside, SAID, room)) <= 1:
                return beside, wrapped(under, SAID, width)
        return "", wrapped(both, SAID, width)

    def height(self, width: float) -> float:
        """The heading with what is said."""
        return self.role.leading + len(self._said(width)[1]) * SAID.leading + 3

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Heading first, as it is read."""
        base = y + self.role.size
        paper.text(x, base, self.text, self.role)
        beside, under = self._said(width)
        if beside:
            paper.text(x + width, base, beside, SAID, INK2, "right")
        for line in under:
            base += SAID.leading
            paper.text(x, base, line, SAID, INK2)


@dataclass(frozen=True)
class Words:
    """A paragraph."""

    text: str
    role: Role = SAID
    colour: Color = INK2
    after: float = 2

    def height(self, width: float) -> float:
        """Its lines."""
        return len(wrapped(self.text, self.role, width)) * self.role.leading + self.after

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Line by line."""
        for number, line in enumerate(wrapped(self.text, self.role, width)):
            paper.text(x, y + self.role.size + number * self.role.leading, line, self.role, self.colour)


@dataclass(frozen=True)
class Fact:
    """A label and what stands beside it."""

    label: str
    text: str
    label_width: float = 66
    after: float = 3

    def height(self, width: float) -> float:
        """The lines of the text; one at least."""
        return max(1, len(wrapped(self.text, BODY, width - self.label_width))) * BODY.leading + self.after

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Label, then text."""
        paper.text(x, y + BODY.size, self.label, LABEL, INK2)
        for number, line in enumerate(wrapped(self.text, BODY, width - self.label_width)):
            paper.text(x + self.label_width, y + BODY.size + number * BODY.leading, line, BODY)


@dataclass(frozen=True)
class Pair:
    """Two facts side by side."""

    one: Fact
    other: Fact

    def height(self, width: float) -> float:
        """The higher one."""
        half = self._half(width)
        return max(self.one.height(half - 14), self.other.height(width - half))

    @staticmethod
    def _half(width: float) -> float:
        return width * 0.515

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Left, then right."""
        half = self._half(width)
        self.one.draw(paper, x, y, half - 14)
        self.other.draw(paper, x + half, y, width - half)


#: Between the text of two columns of a table [pt].
_BETWEEN = 6.0


@dataclass(frozen=True)
class Column:
    """A column of a table: heading, share of the width, and whether figures stand at its right edge."""

    heading: str
    share: float
    is_figure: bool = False


class RowOfTable(ABC):
    """A row of a table; a heading is repeated at the top of each page that the table runs over to."""

    is_heading: bool = False

    @abstractmethod
    def height(self, width: float) -> float:
        """How much room it needs [pt]."""

    @abstractmethod
    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Draw it with its upper left corner there."""


@dataclass(frozen=True)
class TableRow(RowOfTable):
    """One row of texts and figures."""

    columns: Sequence[Column]
    cells: Sequence[str]
    is_heading: bool = False
    is_sum: bool = False

    def rooms(self, width: float) -> list[float]:
        """How wide the text of each column may be [pt]."""
        total = sum(column.share for column in self.columns)
        return [width * column.share / total - _BETWEEN for column in self.columns]

    def _laid(self, width: float) -> list[tuple[float, float, list[str]]]:
        laid, x = [], 0.0
        for room, cell in zip(self.rooms(width), self.cells, strict=True):
            laid.append((x, room, wrapped(cell, self._role, room)))
            x += room + _BETWEEN
        return laid

    @property
    def _role(self) -> Role:
        return LABEL if self.is_heading else SMALL_STRONG if self.is_sum else SMALL

    def height(self, width: float) -> float:
        """The most lines of a cell."""
        lines = max((len(lines) for _, _, lines in self._laid(width)), default=1)
        return max(lines, 1) * SMALL.leading + (4 if self.is_heading else 3)

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Cell by cell, left to right."""
        for column, (at, room, lines) in zip(self.columns, self._laid(width), strict=True):
            for number, line in enumerate(lines):
                base = y + SMALL.size + number * SMALL.leading + 0.5
                left = x + at + (room if column.is_figure else 0)
                colour = INK2 if self.is_heading else INK
                paper.text(left, base, line, self._role, colour, "right" if column.is_figure else "left")
        under = y + self.height(width) - 1
        paper.line(x, under, x + width, under, EDGE if self.is_heading else RULE, 0.5)


@dataclass(frozen=True)
class Elastic:
    """A figure that may be higher or lower."""

    figure: Figure
    least: float
    most: float
    room: float = 0

    def height(self, width: float) -> float:
        """What it was given."""
        return self.room or self.least

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """In the room it was given."""
        self.figure.draw_in(paper, x, y, width, self.height(width))


class Figure(Protocol):
    """Something drawn in any room."""

    def draw_in(self, paper: Paper, x: float, y: float, width: float, height: float) -> None:
        """Draw it with its upper left corner there, so wide and so high."""
