"""Every reading a dot against the limits, a row for each pack; what lies outside is a hollow diamond."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count

from kilnlog.drying.closing.statistics import same_name
from kilnlog.exchange.papers.contents import LimitsPart, PackPart, ReadingPart, SeriesPart
from kilnlog.exchange.papers.fonts import text_width
from kilnlog.exchange.papers.limit_words import has_limits, is_outside
from kilnlog.exchange.papers.page import (
    BODY,
    EDGE,
    INK,
    INK2,
    LOOK,
    PALE,
    PENCIL,
    RULE,
    SMALL,
    SMALL_STRONG,
    Paper,
    wrapped,
)
from kilnlog.exchange.papers.words import TIE, figure, pack_words

LABELS, _RIGHT, _BEYOND = 66.0, 16.0, 56.0
_RADIUS, _TIGHT_RADIUS, _SMALLEST = 3.0, 2.2, 1.5
_AXIS = 19.0
#: What a row of a whole series is called.
_KIND_NAMES = {"oven-dry": "oven-dried", "sample boards": "boards"}
#: A row of so many levels of dots gets smaller dots.
_HIGH = 96.0


@dataclass(frozen=True)
class Scale:
    """From a moisture content to a place across the page: whole percents at both ends."""

    low_pct: float
    high_pct: float
    has_over: bool = False  # room beyond the end for what a meter tells no figure of

    def at(self, mc_pct: float, x: float, width: float) -> float:
        """Where it stands [pt]."""
        left, room = x + LABELS, self.end(x, width) - x - LABELS
        return left + (mc_pct - self.low_pct) / (self.high_pct - self.low_pct) * room

    def end(self, x: float, width: float) -> float:
        """Where the figures of the axis end [pt]."""
        return x + width - _RIGHT - (_BEYOND if self.has_over else 0)

    def beyond(self, x: float, width: float) -> float:
        """Where that stands which is over the range [pt]."""
        return self.end(x, width) + 14

    def step(self) -> int:
        """Whole percents between two figures on the axis: some ten at most."""
        steps = (figure * int(10**power) for power in count() for figure in (1, 2, 5))
        return next(step for step in steps if (self.high_pct - self.low_pct) / step <= 10.5)


def scale_of(series: Sequence[SeriesPart], limits: LimitsPart) -> Scale:
    """One scale for all series of a lot, so that they can be compared by eye."""
    known = [
        reading["mc_pct"] for one in series for reading in one["readings"] if reading["mc_pct"] is not None
    ]
    known += [bound for bound in (limits["low_pct"], limits["high_pct"]) if bound is not None]
    has_over = any(reading["over"] for one in series for reading in one["readings"])
    if not known:
        return Scale(0, 10, has_over)
    low, high = math.floor(min(known)), math.ceil(max(known))
    low = max(0, low - 1 if min(known) - low < 0.3 else low)
    high = high + 1 if high - max(known) < 0.3 else high
    return Scale(low, max(high, low + 3), has_over)


@dataclass(frozen=True, slots=True)
class _Diamond:
    x: float
    level: int
    label: str  # "" where there is no room for it
    is_below: bool


@dataclass(frozen=True)
class ReadingsRow:
    """One pack: name and mean at the left, dots in the order of moisture, the mean as a tick under them."""

    pack: PackPart
    name: str
    readings: Sequence[ReadingPart]
    limits: LimitsPart
    scale: Scale
    ends_series: bool
    is_tight: bool = False  # lower, so that a page holds it

    def _inside(self, width: float) -> tuple[float, list[tuple[float, int]]]:
        """Radius, and each dot's x with its level; dots shrink before a row grows out of the page."""
        values = sorted(
            reading["mc_pct"]
            for reading in self.readings
            if reading["mc_pct"] is not None and not is_outside(reading, self.limits)
        )
        radius = _TIGHT_RADIUS if self.is_tight else _RADIUS
        while True:
            placed = swarm([self.scale.at(value, 0, width) for value in values], 2 * radius + 1.4)
            levels = max((level for _, level in placed), default=0) + 1
            if levels * (2 * radius + 1.4) <= _HIGH or radius <= _SMALLEST:
                return radius, placed
            radius -= 0.5

    def _outside(self, width: float) -> list[_Diamond]:
        """Each diamond with its level; its value stands away from the limits, where there is room."""
        low = self.limits["low_pct"]
        marks = sorted(
            (self.scale.beyond(0, width), f"over{TIE}30", False)
            if reading["mc_pct"] is None
            else (
                self.scale.at(reading["mc_pct"], 0, width),
                figure(reading["mc_pct"]),
                low is not None and reading["mc_pct"] < low,
            )
            for reading in self.readings
            if is_outside(reading, self.limits)
        )
        placed = swarm([x for x, _, _ in marks], 11)
        diamonds = []
        for (x, level), (_, label, is_below) in zip(placed, marks, strict=True):
            room = text_width(label, SMALL_STRONG.face, SMALL_STRONG.size) + 9
            beside = [other for other, at in placed if at == level]
            if is_below:
                free = x - max((other for other in beside if other < x), default=LABELS - 9)
            else:
                free = min((other for other in beside if other > x), default=width + 9) - x
            diamonds.append(_Diamond(x, level, label if room + 5 <= free else "", is_below))
        return diamonds

    def _labels(self) -> list[str]:
        return wrapped(self.name, BODY, LABELS - 4)

    def height(self, width: float) -> float:
        """As high as its highest heap of dots; never less than its two lines of text."""
        radius, dots = self._inside(width)
        levels = max((level for _, level in dots), default=0) + 1
        marks = max((mark.level for mark in self._outside(width)), default=0) + 1
        heap = max(levels * (2 * radius + 1.4), marks * 11.0)
        text = len(self._labels()) * 12 + 14
        return max(heap + 13, text + 1) if self.is_tight else max(heap + 15, text + 6)

    def tells_all(self, width: float) -> bool:
        """Whether every piece can be read off it: its heap is no higher than a row may be."""
        return self._inside(width)[0] >= (_TIGHT_RADIUS if self.is_tight else _RADIUS)

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Ground, text, dots."""
        height = self.height(width)
        self._draw_limits(paper, x, y, width, height)
        self._draw_text(paper, x, y, height)
        base = y + height - 12
        radius, dots = self._inside(width)
        for at, level in dots:
            paper.disc(x + at, base - level * (2 * radius + 1.4), radius, INK)
        for mark in self._outside(width):
            at, middle = x + mark.x, base - mark.level * 11
            paper.diamond(at, middle, 4.0, None, LOOK, 1.2)
            if mark.label and mark.is_below:
                paper.text(at - 7, middle + 3, mark.label, SMALL_STRONG, LOOK, "right")
            elif mark.label:
                paper.text(at + 7, middle + 3, mark.label, SMALL_STRONG, LOOK)
        if self.pack["mean_pct"] is not None:
            mean = self.scale.at(self.pack["mean_pct"], x, width)
            paper.line(mean, y + height - 8.5, mean, y + height - 1.5, PENCIL, 1.4)
        colour = EDGE if self.ends_series else RULE
        paper.line(x + LABELS, y + height, self.scale.end(x, width), y + height, colour, 0.7)

    def _draw_limits(self, paper: Paper, x: float, y: float, width: float, height: float) -> None:
        if not has_limits(self.limits):
            return
        low, high = self.limits["low_pct"], self.limits["high_pct"]
        left = self.scale.at(self.scale.low_pct if low is None else low, x, width)
        right = self.scale.at(self.scale.high_pct if high is None else high, x, width)
        paper.rect(left, y, right - left, height, PALE)
        for bound, at in ((low, left), (high, right)):
            if bound is not None:
                paper.line(at, y, at, y + height, INK, 1)

    def _draw_text(self, paper: Paper, x: float, y: float, height: float) -> None:
        lines = self._labels()
        base = y + height - 19 - (len(lines) - 1) * 12
        for number, line in enumerate(lines):
            paper.text(x, base + number * 12, line, BODY)
        paper.text(x, y + height - 7, mean_words(self.pack), SMALL, PENCIL)


@dataclass(frozen=True)
class ReadingsAxis:
    """Whole percents under the rows."""

    scale: Scale

    def height(self, width: float) -> float:
        """Ticks and figures."""
        return _AXIS

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """The line, its ticks, ten to a step at the most, figures at whole steps."""
        low, high = int(self.scale.low_pct), int(self.scale.high_pct)
        paper.line(x + LABELS, y, self.scale.end(x, width), y, EDGE, 0.9)
        if self.scale.has_over:
            paper.line(self.scale.end(x, width), y, x + width - _RIGHT, y, EDGE, 0.9, (1.5, 2.5))
        step = self.scale.step()
        for value in range(low, high + 1, max(1, step // 10)):
            at = self.scale.at(value, x, width)
            is_named = (value - low) % step == 0
            paper.line(at, y, at, y + (4 if is_named else 2.5), EDGE, 0.8)
            if is_named:
                label = f"{value}{TIE}%" if value == low else str(value)
                paper.text(at, y + 14, label, SMALL, INK2, "centre")


def readings_rows(
    series: SeriesPart, limits: LimitsPart, scale: Scale, is_main: bool, *, is_tight: bool = False
) -> list[ReadingsRow]:
    """A row for each pack, or one of them all.

    Args:
        series: The series.
        limits: What was asked of its pieces.
        scale: Of all series of the lot.
        is_main: Whether the heading names it.
        is_tight: Lower rows, and one alone for a series that is not the main one.
    """
    by_pack = series["packs"] if is_main or not is_tight else []
    packs = by_pack or [series["whole"]]
    rows: list[ReadingsRow] = []
    for pack in packs:
        readings = [
            reading
            for reading in series["readings"]
            if not by_pack or same_name(reading["pack"]) == same_name(pack["pack"])
        ]
        is_last = pack is packs[-1]
        name = _row_name(series, pack, is_main)
        rows.append(ReadingsRow(pack, name, readings, limits, scale, is_last, is_tight))
    return rows


def _row_name(series: SeriesPart, pack: PackPart, is_main: bool) -> str:
    if pack["pack"] is not None:
        if not is_main:
            return f"{_KIND_NAMES.get(series['kind'], series['kind'])}, {pack['pack']}"
        return pack_words(pack["pack"])
    if pack is not series["whole"] and any(other["pack"] is not None for other in series["packs"]):
        return "no pack"
    return _KIND_NAMES.get(series["kind"], series["kind"])


def mean_words(pack: PackPart) -> str:
    """The mean with the number of pieces it is of: those over the range are in no mean."""
    n, over, mean_pct = pack["n"], pack["over"], pack["mean_pct"]
    if mean_pct is None:
        return f"no mean, n {n}"
    return f"mean {figure(mean_pct)}, {n - over} of {n}" if over else f"mean {figure(mean_pct)}, n {n}"


def swarm(places: Sequence[float], apart: float) -> list[tuple[float, int]]:
    """Each place with the lowest level where nothing stands nearer than ``apart``; places in rising order."""
    last: list[float] = []
    placed = []
    for place in places:
        level = next(
            (number for number, taken in enumerate(last) if place - taken >= apart - 1e-6), len(last)
        )
        if level == len(last):
            last.append(place)
        else:
            last[level] = place
        placed.append((place, level))
    return placed
