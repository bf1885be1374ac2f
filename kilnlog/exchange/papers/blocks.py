"""What pages are put together from: blocks of known height, laid one under another, page after page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
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
    """A heading, and what is said of it at the right end of the line, or under it where it is long."""

    text: str
    said: str = ""
    role: Role = HEADING

    def _said_lines(self, width: float) -> list[str]:
        return wrapped(self.said, SAID, width)

    def _beside(self, width: float) -> float:
        return width - 24 - text_width(self.text, self.role.face, self.role.size)

    def height(self, width: float) -> float:
        """The heading with what is said."""
        lines = self._said_lines(self._beside(width))
        under = 0 if len(lines) <= 1 else len(self._said_lines(width))
        return self.role.leading + under * SAID.leading + 3

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Heading first, as it is read."""
        base = y + self.role.size
        paper.text(x, base, self.text, self.role)
        lines = self._said_lines(self._beside(width))
        if len(lines) == 1:
            paper.text(x + width, base, lines[0], SAID, INK2, "right")
        elif lines:
            for line in self._said_lines(width):
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
    other: Fact | None

    def height(self, width: float) -> float:
        """The higher one."""
        half = self._half(width)
        rest = self.other.height(width - half) if self.other else 0
        return max(self.one.height(half - 14), rest)

    @staticmethod
    def _half(width: float) -> float:
        return width * 0.515

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Left, then right."""
        half = self._half(width)
        self.one.draw(paper, x, y, half - 14)
        if self.other is not None:
            self.other.draw(paper, x + half, y, width - half)


@dataclass(frozen=True)
class Column:
    """A column of a table: heading, share of the width, and whether figures stand at its right edge."""

    heading: str
    share: float
    is_figure: bool = False


@dataclass(frozen=True)
class TableRow:
    """One row of a table; ``is_heading`` rows are repeated at the top of a page they run over to."""

    columns: Sequence[Column]
    cells: Sequence[str]
    is_heading: bool = False
    is_sum: bool = False

    def _laid(self, width: float) -> list[tuple[float, float, list[str]]]:
        total = sum(column.share for column in self.columns)
        laid, x = [], 0.0
        for column, cell in zip(self.columns, self.cells, strict=True):
            room = width * column.share / total
            laid.append((x, room - 6, wrapped(cell, self._role, room - 6)))
            x += room
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


@dataclass
class Flow:
    """Blocks to be laid; ``elastic`` ones take what room one page leaves.

    Attributes:
        running: What stands at the top of each page after the first.
        blocks: In reading order.
    """

    running: str
    blocks: list[Block] = field(default_factory=list)

    def add(self, *blocks: Block) -> None:
        """Lay these under the others."""
        self.blocks += blocks

    def table(
        self, columns: Sequence[Column], rows: Sequence[Sequence[str]], sums: Sequence[Sequence[str]] = ()
    ) -> None:
        """A table, its headings repeated where it runs over to another page."""
        self.add(TableRow(columns, [column.heading for column in columns], is_heading=True))
        self.add(*(TableRow(columns, row) for row in rows))
        self.add(*(TableRow(columns, row, is_sum=True) for row in sums))

    def fits(self, paper: Paper) -> bool:
        """Whether all of it stands on one page, elastic blocks at their least."""
        return self._needed(paper) <= paper.bottom - paper.top - 6

    def _needed(self, paper: Paper) -> float:
        width = paper.right - paper.left
        return sum(
            block.least if isinstance(block, Elastic) else block.height(width) for block in self.blocks
        )

    def draw(self, paper: Paper) -> None:
        """Lay the blocks, from the top of the page in hand."""
        width = paper.right - paper.left
        blocks = list(self.blocks)
        spare = paper.bottom - paper.top - 6 - self._needed(paper)
        elastic = [number for number, block in enumerate(blocks) if isinstance(block, Elastic)]
        for number in elastic:
            block = blocks[number]
            assert isinstance(block, Elastic)
            more = spare / len(elastic) if spare > 0 else (block.most - block.least) / 2
            blocks[number] = replace(block, room=min(block.most, block.least + more))
        y = top = paper.top
        heading: TableRow | None = None
        for number, block in enumerate(blocks):
            heading = _heading_after(heading, block)
            height = block.height(width)
            if y > top and y + height + self._kept_with(blocks, number, width) > paper.bottom - 6:
                y = top = self._turned(paper, heading, block, width)
            if isinstance(block, Gap | Ruled) and y <= top:
                continue
            block.draw(paper, paper.left, y, width)
            y += height

    def _kept_with(self, blocks: Sequence[Block], number: int, width: float) -> float:
        """The room of what must stand on the same page: a heading never ends a page."""
        block = blocks[number]
        follows = blocks[number + 1] if number + 1 < len(blocks) else None
        if follows is None:
            return 0
        is_top = isinstance(block, Headed | Ruled) or (isinstance(block, TableRow) and block.is_heading)
        if not is_top:
            return 0
        return follows.height(width) + self._kept_with(blocks, number + 1, width)

    def _turned(self, paper: Paper, heading: TableRow | None, block: Block, width: float) -> float:
        """Begin a page: what runs on is named at its top. Where the next block begins."""
        paper.next_page()
        paper.text(paper.left, paper.top + 9, self.running, SAID, INK2)
        paper.line(paper.left, paper.top + 15, paper.right, paper.top + 15, INK, 0.7)
        y = paper.top + 22
        if heading is not None and heading is not block:
            heading.draw(paper, paper.left, y, width)
            y += heading.height(width)
        return y


def _heading_after(heading: TableRow | None, block: Block) -> TableRow | None:
    """The heading of the table in hand, once this block is drawn."""
    if not isinstance(block, TableRow):
        return None
    return block if block.is_heading else heading


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
