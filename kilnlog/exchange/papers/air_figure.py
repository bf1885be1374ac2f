"""The air under the curve: dry bulb and wet bulb or humidity by the hour; a hole is a gap with its length."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from reportlab.lib.colors import Color

from kilnlog.exchange.papers.contents import AirPart
from kilnlog.exchange.papers.curve_figure import CurveFigure
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.page import DRY, INK2, PALE, RULE, SMALL, SMALL_STRONG, WET, Paper
from kilnlog.exchange.papers.time_axis import TimeAxis
from kilnlog.exchange.papers.words import TIE, figure, moment_of, unit_words

#: As wide at both sides as the curve above, so that the days stand under one another.
_KEY, _LABELS, _UNDER = 96.0, 24.0, 18.0
_WET_DASH = (4.5, 2)
_RH_DASH = (1.4, 1.8)
#: So many readings at the most are marked one by one.
_FEW = 40

_Line = list[tuple[str, float]]


@dataclass(frozen=True)
class CurveAndAir:
    """The curve with the air under it, on one page and one axis of time."""

    curve: CurveFigure
    air: AirFigure

    def draw_in(self, paper: Paper, x: float, y: float, width: float, height: float) -> None:
        """The curve takes what the air leaves."""
        air = max(105.0, height * 0.36)
        self.curve.draw_in(paper, x, y, width, height - air)
        self.air.draw_in(paper, x, y + height - air, width, air)


@dataclass(frozen=True)
class AirFigure:
    """Temperatures; relative humidity, on a scale of its own from 0 to 100, where no wet bulb was read.

    Attributes:
        air: Of the whole charge.
        axis: The time of the curve above.
        options: How days are written.
    """

    air: AirPart
    axis: TimeAxis
    options: PaperOptions

    def _lines(self) -> tuple[_Line, _Line, _Line]:
        hours = self.air["hours"]
        dry = [(at, value) for at, value, _, _ in hours]
        wet = [(at, value) for at, _, value, _ in hours if value is not None]
        humidity = [(at, value) for at, _, _, value in hours if value is not None]
        return dry, wet, [] if wet else humidity

    def draw_in(self, paper: Paper, x: float, y: float, width: float, height: float) -> None:
        """Holes, grid, lines, and their names with the last values."""
        left, room = x + _LABELS, width - _LABELS - _KEY
        top, base = y + 6, y + height - _UNDER
        dry, wet, humidity = self._lines()
        temperatures = [value for _, value in (*dry, *wet)] or [0, 100]
        step = next(
            (step for step in (5, 10, 20, 50) if (max(temperatures) - min(temperatures)) / step <= 4), 100
        )
        low = math.floor(min(temperatures) / step) * step
        high = max(math.ceil(max(temperatures) / step) * step, low + step)

        def down(value: float, least: float = low, most: float = high) -> float:
            return base - (value - least) / (most - least) * (base - top)

        self._draw_holes(paper, left, room, top, base)
        for value in range(high, low - 1, -step):
            paper.text(left - 6, down(value) + 3, str(value), SMALL, INK2, "right")
            if value > low:
                paper.line(left, down(value), left + room, down(value), RULE, 0.7)
        self.axis.draw(paper, left, base, room, self.options)
        styles: list[tuple[_Line, Color, Sequence[float]]] = [(dry, DRY, ()), (wet, WET, _WET_DASH)]
        for line, colour, dash in styles:
            for piece in self._unbroken(line):
                places = [(self.axis.at(moment_of(at), left, room), down(value)) for at, value in piece]
                self._draw_line(paper, places, colour, dash)
        for piece in self._unbroken(humidity):
            places = [(self.axis.at(moment_of(at), left, room), down(value, 0, 100)) for at, value in piece]
            self._draw_line(paper, places, WET, _RH_DASH)
        self._draw_key(paper, left + room + 10, x + width, base, (dry, wet, humidity))

    def _unbroken(self, line: _Line) -> list[_Line]:
        """The line in pieces, one more for each hole between two readings."""
        holes = [(moment_of(first), moment_of(last)) for first, last in self.air["holes"]]
        pieces: list[_Line] = []
        last: datetime | None = None
        for point in line:
            now = moment_of(point[0])
            if last is None or any(_is_between(last, now, hole) for hole in holes):
                pieces.append([])
            pieces[-1].append(point)
            last = now
        return pieces

    def _draw_line(
        self, paper: Paper, places: list[tuple[float, float]], colour: Color, dash: Sequence[float]
    ) -> None:
        """A line; few readings, as by hand, are marked one by one, so that one alone is seen too."""
        paper.polyline(places, colour, 1.1, dash)
        if len(places) <= _FEW:
            for x, y in places:
                paper.disc(x, y, 1.2, colour)

    def _draw_holes(self, paper: Paper, left: float, room: float, top: float, base: float) -> None:
        for begins, ends in self.air["holes"]:
            start = max(self.axis.at(moment_of(begins), left, room), left)
            end = min(self.axis.at(moment_of(ends), left, room), left + room)
            if end <= start:
                continue
            paper.rect(start, top, end - start, base - top, PALE)
            at = start
            while at < end:  # hatched, so that it is seen in grey
                paper.line(at, base, min(at + 5, end), base - 8 * (min(at + 5, end) - at) / 5, RULE, 0.6)
                at += 5
            hours = (moment_of(ends) - moment_of(begins)).total_seconds() / 3600
            label = f"no air {figure(hours, 0)}{TIE}h"
            paper.text(min(start + 2, left + room - 52), top + 8, label, SMALL, INK2)

    def _draw_key(self, paper: Paper, left: float, right: float, base: float, lines: Sequence[_Line]) -> None:
        unit = unit_words(self.air["unit"])
        styles = (
            (f"dry bulb, {unit}", DRY, ()),
            (f"wet bulb, {unit}", WET, _WET_DASH),
            (f"RH, {TIE}% of 100", WET, _RH_DASH),
        )
        shown = [(line, style) for line, style in zip(lines, styles, strict=True) if line]
        y = base - len(shown) * 13 + 8
        for line, (name, colour, dash) in shown:
            paper.line(left, y - 3, left + 16, y - 3, colour, 1.1, dash)
            paper.text(left + 20, y, name, SMALL)
            paper.text(right, y, figure(line[-1][1], 0), SMALL_STRONG, align="right")
            y += 13


def _is_between(last: datetime, now: datetime, hole: tuple[datetime, datetime]) -> bool:
    """Whether the hole is most of the time between two readings; an hour's moment may lie inside its edge."""
    return min(now, hole[1]) - max(last, hole[0]) > (now - last) / 2
