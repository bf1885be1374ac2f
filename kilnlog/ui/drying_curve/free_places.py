"""Where words find room on a drawing full of lines: beside what they name, over no line and no other word."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_GRID_PX = 2.0
_CLEAR_PX = 2.0  # between words and a line
#: How far from their mark words may stand [px], the nearest first.
_AWAY_PX = (8, 16, 26, 38, 52, 68, 86, 106, 130, 160)


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the drawing [px], y downwards."""

    left: float
    top: float
    width: float
    height: float

    def meets(self, other: Box) -> bool:
        """Whether they have a point in common."""
        across = self.left < other.left + other.width and other.left < self.left + self.width
        return across and self.top < other.top + other.height and other.top < self.top + self.height


@dataclass(frozen=True, slots=True)
class Words:
    """Words to be placed: what they name [px] and their own size. ``aside``: never right over or under it."""

    x: float
    y: float
    width: float
    height: float
    aside: bool = False


class Drawn:
    """The lines of the drawing, read off along a grid; each is a function of x."""

    def __init__(self, lines: Sequence[tuple[Floats, Floats]], width: float, height: float) -> None:
        self.width, self.height = width, height
        self._grid = np.arange(0.0, max(width, 1.0) + _GRID_PX, _GRID_PX)
        self._lines = [np.interp(self._grid, x, y, left=np.nan, right=np.nan) for x, y in lines if len(x)]

    def crossings(self, box: Box) -> int:
        """How many lines run through a box, or closer by than a line needs."""
        first = max(0, int(box.left / _GRID_PX))
        last = int((box.left + box.width) / _GRID_PX) + 2
        count = 0
        for line in self._lines:
            y = line[first:last]
            y = y[np.isfinite(y)]
            # Between two points of the grid a steep line passes without touching either.
            if len(y) and y.max() >= box.top - _CLEAR_PX and y.min() <= box.top + box.height + _CLEAR_PX:
                inside = (y >= box.top - _CLEAR_PX) & (y <= box.top + box.height + _CLEAR_PX)
                above = y < box.top
                count += bool(inside.any() or (above.any() and not above.all()))
        return count


def places(words: Sequence[Words], drawn: Drawn, taken: Sequence[Box]) -> list[Box]:
    """A box for each, in order: the nearest that meets nothing, else the one that meets least."""
    standing = list(taken)
    found = []
    for one in words:
        best, least = None, float("inf")
        for box in _candidates(one, drawn):
            met = drawn.crossings(box) + sum(box.meets(other) for other in standing)
            if met < least:
                best, least = box, met
            if met == 0:
                break
        if best is not None:
            standing.append(best)
            found.append(best)
    return found


def _candidates(words: Words, drawn: Drawn) -> Iterator[Box]:
    sides = (words.x + 4, words.x - words.width - 4)
    lefts = sides if words.aside else (words.x - words.width / 2, *sides)
    for away in _AWAY_PX:
        for top in (words.y - away - words.height, words.y + away):
            for left in lefts:
                inside = min(max(0.0, left), max(0.0, drawn.width - words.width))
                if words.aside and left < words.x < inside + words.width and inside != left:
                    continue  # there is no room on that side: they would stand on what they name
                yield Box(
                    inside,
                    min(max(0.0, top), max(0.0, drawn.height - words.height)),
                    words.width,
                    words.height,
                )
