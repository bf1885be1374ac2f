"""Words on the air panel: names at the ends of its lines and how long nobody recorded, over nothing drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from PySide6.QtGui import QFontMetricsF

from kilnlog.ui.drying_curve.free_places import Box
from kilnlog.ui.kiln_air.curve_lines import Reals

#: What a text item keeps round its words, on each side [px].
_INSET_PX = 4.0
_NEAR_PX = 2.0  # beside the end of a line
_GRID_PX, _CLEAR_PX = 2.0, 1.5  # how finely lines are read off, and how near words may come to them
#: Readings that are looked at for what words must keep clear of: it happens at every step of a pan.
_LOOKED_AT, _ENVELOPE = 20_000, 1000
#: How far from the end of its line a name may stand [px], the nearest first.
_AWAY_PX = (*range(3, 60, 3), *range(60, 160, 6))
#: And how far before it: a line may rise steeply, or end soon after a hole.
_BACK_PX = (0, 24, 48, 80, 120)
#: Words on words, or on hatching, are read by nobody; a line through them is a lesser evil.
_WORDS_WEIGH = 10.0
#: A name without its figure is no better than one that a line runs through.
_NO_FIGURE_WEIGHS = 1.5


@dataclass(frozen=True, slots=True)
class LineName:
    """One name.

    Attributes:
        item: The text item, anchored at its left upper corner.
        texts: What it may say, the fullest first.
        at_s: When the line was read, up to its last reading [UTC s].
        values: What was read then.
        on_scale: Where such values are drawn.
        above: Whether the words rather stand over the line.
    """

    item: Any
    texts: tuple[str, ...]
    at_s: Reals
    values: Reals
    on_scale: Callable[[Reals], Reals]
    above: bool


class Lines:
    """How high each line of the panel stands, along a grid [px]."""

    def __init__(self, lines: Sequence[tuple[Reals, Reals]], width: float) -> None:
        grid = np.arange(0.0, max(width, 1.0) + _GRID_PX, _GRID_PX)
        rows = [np.interp(grid, x, y, left=np.nan, right=np.nan) for x, y in lines if len(x)]
        self._heights = np.array(rows).reshape(len(rows), len(grid))

    def beside(self, left: float, width: float) -> list[tuple[float, float]]:
        """Between which heights each line that runs there does so, with what a line needs."""
        first, last = max(0, int(left / _GRID_PX)), int((left + width) / _GRID_PX) + 2
        part = self._heights[:, first:last]
        known = np.isfinite(part)
        top = np.where(known, part, np.inf).min(axis=1, initial=np.inf)
        bottom = np.where(known, part, -np.inf).max(axis=1, initial=-np.inf)
        runs = zip(top.tolist(), bottom.tolist(), strict=True)
        return [(high - _CLEAR_PX, low + _CLEAR_PX) for high, low in runs if high <= low]


@dataclass(frozen=True, slots=True)
class Panel:
    """The part of the panel that shows: times [UTC s] and its scale, in how many pixels, in which letters."""

    shown: tuple[tuple[float, float], tuple[float, float]]
    width: float
    height: float
    metrics: QFontMetricsF

    def x(self, at_s: Any) -> Any:
        """Where an instant stands [px]."""
        low, high = self.shown[0]
        return (at_s - low) * self.width / (high - low)

    def y(self, value: Any) -> Any:
        """Where a figure of the scale stands, downwards [px]."""
        low, high = self.shown[1]
        return (high - value) * self.height / (high - low)

    def time_at(self, x: float) -> float:
        """The instant at a place [UTC s]."""
        low, high = self.shown[0]
        return low + x * (high - low) / self.width

    def value_at(self, y: float) -> float:
        """The figure of the scale at a place."""
        low, high = self.shown[1]
        return high - y * (high - low) / self.height

    def size(self, text: str) -> tuple[float, float]:
        """What words take [px]."""
        return self.metrics.horizontalAdvance(text), self.metrics.height()

    def lines(self, drawn: Sequence[tuple[Reals, Reals]]) -> Lines:
        """What is drawn, as words keep clear of it: of many readings the highest and lowest side by side."""
        low, high = self.shown[0]
        found: list[tuple[Reals, Reals]] = []
        for at_s, values in drawn:
            # One reading beyond each edge: the line runs on to it.
            first = max(0, int(np.searchsorted(at_s, low)) - 1)
            last = int(np.searchsorted(at_s, high)) + 1
            every = max(1, (min(last, len(at_s)) - first) // _LOOKED_AT)
            x, y = self.x(at_s[first:last:every]), self.y(values[first:last:every])
            found += [(x, y)] if len(x) <= _ENVELOPE else _envelope(x, y)
        return Lines(found, self.width)


def place_names(names: Sequence[LineName], panel: Panel, drawn: Lines, taken: Sequence[Box]) -> list[Box]:
    """Stand each name where its line ends, fuller words farther off rather than fewer close by.

    Returns what the names take.
    """
    standing: list[Box] = []
    for name in names:
        x = float(panel.x(float(name.at_s[-1])))
        is_in_sight = 0 <= x <= panel.width
        name.item.setVisible(is_in_sight)
        if not is_in_sight:
            continue
        y = float(panel.y(float(name.on_scale(name.values[-1:])[0])))
        text, box = _best(name, panel, drawn, (*taken, *standing), x, y)
        name.item.setVisible(box.width > 0)  # nothing fits into a panel as low as that
        standing.append(box)
        name.item.setText(text)
        name.item.setPos(panel.time_at(box.left - _INSET_PX), panel.value_at(box.top - _INSET_PX))
    return standing


def place_holes(
    holes: Sequence[tuple[float, float, str]], panel: Panel, drawn: Lines, taken: Sequence[Box]
) -> list[tuple[str, Box]]:
    """Where it is told how long nobody recorded; not told where there is no room.

    Args:
        holes: Their left and right edges [px] and the words, the longest first.
        panel: What shows.
        drawn: The lines.
        taken: What words must not stand on: the names, the lane, the hatching.
    """
    told: list[tuple[str, Box]] = []
    for left, right, words in holes:
        width, height = panel.size(words)
        standing = [*taken, *(box for _, box in told)]
        beside = (left - width - _INSET_PX, right + _INSET_PX)
        lefts = [one for one in beside if 0 <= one <= panel.width - width]
        tops = np.array([panel.height - 2 - height * (row + 1) for row in range(int(panel.height // height))])
        box, met = _least_met(tops, lefts, (width, height), drawn, standing)
        if box is not None and met == 0:
            told.append((words, box))
    return told


def _best(
    name: LineName, panel: Panel, drawn: Lines, taken: Sequence[Box], x: float, y: float
) -> tuple[str, Box]:
    """The fullest words that stand on nothing; where all would, on a line rather than on other words."""
    best, least = (name.texts[-1], Box(0, 0, 0, 0)), float("inf")
    for text in name.texts:
        width, height = panel.size(text)
        lefts = [x - width - _NEAR_PX - back for back in _BACK_PX] + [x + _NEAR_PX]
        # Or before what is hatched there, which takes all of the height.
        hatched = [box.left for box in taken if box.height == panel.height and box.left < x]
        lefts += [max(hatched) - width - _NEAR_PX] if hatched else []
        lefts = [left for left in lefts if 0 <= left <= panel.width - width]
        base = _NO_FIGURE_WEIGHS if text == name.texts[-1] else 0.0
        tops = np.array(list(_tops(panel, height, y, above=name.above)))
        box, met = _least_met(tops, lefts, (width, height), drawn, taken)
        if box is not None and met + base < least:
            best, least = (text, box), met + base
        if least == 0:
            break
    return best


def _least_met(
    tops: Reals, lefts: Sequence[float], size: tuple[float, float], drawn: Lines, taken: Sequence[Box]
) -> tuple[Box | None, float]:
    """The place where words of that size [px] stand on least, and how much that weighs; of several the first.

    All of them are weighed at once: one by one they would take longer than the rest of a step of a pan.
    """
    if not len(tops) or not lefts:
        return None, float("inf")
    width, height = size
    weighed = []
    for left in lefts:
        runs = [(high, low, 1.0) for high, low in drawn.beside(left, width)]
        runs += [
            (one.top, one.top + one.height, _WORDS_WEIGH)
            for one in taken
            if left < one.left + one.width and one.left < left + width
        ]
        high, low, weight = np.array(runs, dtype=np.float64).reshape(-1, 3).T
        above = tops[:, np.newaxis]
        weighed.append(((high < above + height) & (above < low)) @ weight)
    met = np.column_stack(weighed)
    row, column = divmod(int(met.argmin()), len(lefts))
    return Box(lefts[column], float(tops[row]), width, height), float(met[row, column])


def _tops(panel: Panel, height: float, y: float, *, above: bool) -> Iterator[float]:
    for away in _AWAY_PX:
        over, under = y - away - height, y + away
        for top in (over, under) if above else (under, over):
            if 0 <= top <= panel.height - height:
                yield top


def _envelope(x: Reals, y: Reals) -> list[tuple[Reals, Reals]]:
    """The highest and the lowest of every few readings; what is no reading at all stays a gap."""
    each = -(-len(x) // _ENVELOPE)
    whole = len(x) // each * each
    rows, known = y[:whole].reshape(-1, each), np.isfinite(y[:whole]).reshape(-1, each)
    gap = ~known.any(axis=1)
    top = np.where(known, rows, np.inf).min(axis=1)
    bottom = np.where(known, rows, -np.inf).max(axis=1)
    top[gap] = bottom[gap] = np.nan
    middle = x[:whole:each]
    rest = [(x[whole:], y[whole:])] if whole < len(x) else []
    return [(middle, top), (middle, bottom), *rest]
