"""A small table in the terminal."""

from __future__ import annotations

from collections.abc import Sequence


def text_table(headings: Sequence[str], rows: Sequence[Sequence[str]], right: frozenset[int]) -> str:
    """The rows under their headings, each column as wide as its widest cell.

    Args:
        headings: One per column.
        rows: As many cells each.
        right: The columns set flush right.
    """
    lines = [headings, *rows]
    widths = [max(len(line[column]) for line in lines) for column in range(len(headings))]

    def written(line: Sequence[str]) -> str:
        cells = (
            cell.rjust(width) if column in right else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(line, widths, strict=True))
        )
        return "  ".join(cells).rstrip()

    return "\n".join(written(line) for line in lines)
