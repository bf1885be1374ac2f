"""Lays blocks one under another over as many pages as needed, and loses none of their lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from kilnlog.exchange.papers.blocks import (
    Block,
    Column,
    Elastic,
    Fact,
    Gap,
    Headed,
    RowOfTable,
    Ruled,
    TableRow,
    Words,
)
from kilnlog.exchange.papers.page import BODY, INK, INK2, SAID, SMALL, Paper, Role, wrapped


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
        return sum(_least(block, width) for block in self.blocks)

    def draw(self, paper: Paper) -> None:
        """Lay the blocks, from the top of the page in hand."""
        width = paper.right - paper.left
        room = (paper.bottom - paper.top) * 0.75
        blocks = [part for block in self.blocks for part in _parts(block, width, room)]
        spare = paper.bottom - paper.top - 6 - self._needed(paper)
        elastic = [number for number, block in enumerate(blocks) if isinstance(block, Elastic)]
        for number in elastic:
            block = blocks[number]
            assert isinstance(block, Elastic)
            more = spare / len(elastic) if spare > 0 else (block.most - block.least) / 2
            blocks[number] = replace(block, room=min(block.most, block.least + more))
        y = top = paper.top
        heading: RowOfTable | None = None
        for number, block in enumerate(blocks):
            heading = _heading_after(heading, block)
            end = paper.bottom - 6
            if y > top and y + _least(block, width) + self._kept_with(blocks, number, width) > end:
                y = top = self._turned(paper, heading, block, width)
            placed = _lowered(block, end - y)
            if isinstance(block, Gap | Ruled) and y <= top:
                continue
            placed.draw(paper, paper.left, y, width)
            y += placed.height(width)

    def _kept_with(self, blocks: Sequence[Block], number: int, width: float) -> float:
        """The room of what must stand on the same page: a heading never ends a page."""
        block = blocks[number]
        follows = blocks[number + 1] if number + 1 < len(blocks) else None
        if follows is None:
            return 0
        is_top = isinstance(block, Headed | Ruled) or (isinstance(block, RowOfTable) and block.is_heading)
        if not is_top:
            return 0
        return _least(follows, width) + self._kept_with(blocks, number + 1, width)

    def _turned(self, paper: Paper, heading: RowOfTable | None, block: Block, width: float) -> float:
        """Begin a page: what runs on is named at its top. Where the next block begins."""
        paper.next_page()
        y = paper.top + 9
        for line in wrapped(self.running, SAID, width):
            paper.text(paper.left, y, line, SAID, INK2)
            y += SAID.leading
        paper.line(paper.left, y - 6, paper.right, y - 6, INK, 0.7)
        y += 1
        if heading is not None and heading is not block:
            heading.draw(paper, paper.left, y, width)
            y += heading.height(width)
        return y


def _least(block: Block, width: float) -> float:
    """The room it takes at the least [pt]."""
    return block.least if isinstance(block, Elastic) else block.height(width)


def _lowered(block: Block, room: float) -> Block:
    """The block; an elastic one no higher than the room that a page has left, down to its least."""
    if not isinstance(block, Elastic):
        return block
    return replace(block, room=max(block.least, min(block.room, room)))


def _parts(block: Block, width: float, room: float) -> list[Block]:
    """The block, or where it is higher than a page its lines in several, so that none is lost at the foot."""
    if not isinstance(block, Words | Fact | TableRow) or block.height(width) <= room:
        return [block]
    if isinstance(block, Words):
        return [replace(block, text=text) for text in _chunks(block.text, block.role, width, room)]
    if isinstance(block, Fact):
        texts = _chunks(block.text, BODY, width - block.label_width, room)
        return [
            replace(block, label="" if number else block.label, text=text)
            for number, text in enumerate(texts)
        ]
    cells = [_chunks(cell, SMALL, at, room) for cell, at in zip(block.cells, block.rooms(width), strict=True)]
    rows = max(len(chunks) for chunks in cells)
    return [
        replace(block, cells=[chunks[number] if number < len(chunks) else "" for chunks in cells])
        for number in range(rows)
    ]


def _chunks(text: str, role: Role, width: float, room: float) -> list[str]:
    """The text in pieces, each of no more lines than the room holds."""
    lines = wrapped(text, role, width)
    most = max(1, int(room / role.leading) - 1)
    return [" ".join(lines[start : start + most]) for start in range(0, len(lines), most)] or [""]


def _heading_after(heading: RowOfTable | None, block: Block) -> RowOfTable | None:
    """The heading of the table in hand, once this block is drawn."""
    if not isinstance(block, RowOfTable):
        return None
    return block if block.is_heading else heading
