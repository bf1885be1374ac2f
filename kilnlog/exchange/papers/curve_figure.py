"""How it dried: the moisture of each sample board over time, with its last value beside it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reportlab.lib.colors import Color, HexColor

from kilnlog.exchange.papers.contents import BoardPart, LimitsPart
from kilnlog.exchange.papers.fonts import text_width
from kilnlog.exchange.papers.limit_words import has_limits, range_words
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.page import (
    BAND,
    INK,
    INK2,
    PENCIL,
    RULE,
    SMALL,
    SMALL_STRONG,
    Paper,
    wrapped,
)
from kilnlog.exchange.papers.time_axis import TimeAxis
from kilnlog.exchange.papers.words import TIE, figure, moment_of

#: Six hues that stay apart for every kind of sight, as the window draws them; dashes and marks for grey.
_HUES = [HexColor(hue) for hue in ("#0F3756", "#BF4C00", "#006B4B", "#AF7594", "#553500", "#0090C8")]
_DASHES: Sequence[Sequence[float]] = (
    (),
    (5, 2.2),
    (5, 2.2, 1.1, 2.2),
    (1.1, 1.9),
    (8, 2.2),
    (3, 1.5, 0.8, 1.5, 0.8, 1.5),
    (6.5, 2.2, 2.2, 2.2),
    (2.2, 1.5),
)
_KEY, _LABELS, _UNDER = 96.0, 24.0, 18.0
_KEY_LINE, _LOW_KEY_LINE = 13.0, 10.0


@dataclass(frozen=True)
class Style:
    """How one board is told from another: by hue, dash and mark; the mark is hollow from the seventh on."""

    hue: Color
    dash: Sequence[float]
    mark: int
    is_hollow: bool

    @classmethod
    def of(cls, number: int) -> Style:
        """The style of the board of that number, from nought."""
        return cls(_HUES[number % len(_HUES)], _DASHES[number % len(_DASHES)], number % 6, number % 12 >= 6)


@dataclass(frozen=True)
class CurveFigure:
    """The curves of some boards.

    Attributes:
        boards: In the order of their styles.
        limits: What was ordered, drawn as a band; None: no band.
        control: The controlling moisture content, drawn under the boards; empty for an owner.
        emc: What the air would bring the wood to; empty for an owner.
        axis: The time shown.
        options: How days are written.
    """

    boards: Sequence[BoardPart]
    limits: LimitsPart | None
    control: Sequence[tuple[str, float]]
    emc: Sequence[tuple[str, float]]
    axis: TimeAxis
    options: PaperOptions
    names_days: bool = True

    def draw_in(self, paper: Paper, x: float, y: float, width: float, height: float) -> None:
        """Grid and band, curves, the key."""
        left, room = x + _LABELS, width - _LABELS - _KEY
        base, top = y + height - (_UNDER if self.names_days else 4), y + 6
        high = self._top_pct()

        def down(mc_pct: float) -> float:
            return base - mc_pct / high * (base - top)

        self._draw_band(paper, left, room, down)
        self._draw_grid(paper, x, left, room, high, down)
        if self.names_days:
            self.axis.draw(paper, left, base, room, self.options)
        paper.polyline(self._placed(self.emc, left, room, down), PENCIL, 0.8, (2.5, 1.5))
        paper.polyline(self._placed(self.control, left, room, down), INK, 2.2)
        for number, board in enumerate(self.boards):
            self._draw_board(paper, self._placed(board["points"], left, room, down), number)
        key_line = min(_KEY_LINE, (height - 8) / max(1, self._key_lines()))
        key_top = max(y, base - self._key_lines() * key_line)  # a long key goes on beside the days
        self._draw_key(paper, left + room + 10, x + width, key_top, key_line)

    def least_height(self) -> float:
        """What the key needs, and the curve to be read at all [pt]."""
        return max(88.0, self._key_lines() * _LOW_KEY_LINE + 8)

    def _key_lines(self) -> int:
        lines = sum(len(_key_names(board["board"])) for board in self.boards)
        return lines + bool(self.control) + bool(self.emc)

    def _top_pct(self) -> float:
        values = [value for board in self.boards for _, value in board["points"]]
        values += [value for _, value in self.control] + [value for _, value in self.emc]
        if self.limits is not None and self.limits["high_pct"] is not None:
            values.append(self.limits["high_pct"])
        highest = max(values, default=10)
        return max(10.0, highest * 1.04)

    @staticmethod
    def _step(highest: float) -> int:
        return next((step for step in (5, 10, 20, 50) if highest / step <= 4.6), 100)

    def _placed(
        self,
        points: Sequence[tuple[str, float]],
        left: float,
        room: float,
        down: Callable[[float], float],
    ) -> list[tuple[float, float]]:
        return [(self.axis.at(moment_of(at), left, room), down(value)) for at, value in points]

    def _draw_grid(
        self, paper: Paper, x: float, left: float, room: float, high: float, down: Callable[[float], float]
    ) -> None:
        step = self._step(high)
        values = list(range(0, int(high) + 1, step))
        for value in reversed(values):
            y = down(value)
            paper.text(left - 6, y + 3, str(value), SMALL, INK2, "right")
            if value or not self.names_days:
                paper.line(left, y, left + room, y, RULE, 0.7)

    def _draw_band(self, paper: Paper, left: float, room: float, down: Callable[[float], float]) -> None:
        if self.limits is None or not has_limits(self.limits):
            return
        low, high = self.limits["low_pct"], self.limits["high_pct"]
        upper = down(high if high is not None else low or 0)
        lower = down(low if low is not None else 0)
        paper.rect(left, upper, room, max(lower - upper, 0.8), BAND)
        label = f"ordered: {range_words(low, high)}"
        thick = lower - upper
        y = upper + thick / 2 + 3 if thick >= 10 else lower + 9
        if y > down(0) - 2:
            y = upper - 3  # no room between a thin band and the days
        paper.text(left + 6, y, label, SMALL, INK2)

    def _draw_board(self, paper: Paper, points: list[tuple[float, float]], number: int) -> None:
        style = Style.of(number)
        paper.polyline(points, style.hue, 1.15, style.dash)
        last = -math.inf
        skipped = number % 4 * 10.0  # marks of one board stand between those of another
        for x, y in points:
            if x - last >= 40 or (last == -math.inf and len(points) < 3):
                if last == -math.inf and skipped > 0 and len(points) > 6:
                    last = x - 40 + skipped
                    continue
                draw_mark(paper, x, y, style)
                last = x

    def _draw_key(self, paper: Paper, left: float, right: float, top: float, key_line: float) -> None:
        """Wettest at the top, its last value at the right edge."""
        ends = sorted(
            enumerate(self.boards),
            key=lambda item: (-(item[1]["points"][-1][1] if item[1]["points"] else -1), item[0]),
        )
        y = top + 8
        if self.emc:
            self._draw_key_line(paper, left, right, y, "EMC of air", self.emc[-1][1], PENCIL, 0.8, (2.5, 1.5))
            y += key_line
        if self.control:
            self._draw_key_line(paper, left, right, y, "control", self.control[-1][1], INK, 2.2, ())
            y += key_line
        for number, board in ends:
            style = Style.of(number)
            value = board["points"][-1][1] if board["points"] else None
            names = _key_names(board["board"])
            self._draw_key_line(paper, left, right, y, names[0], value, style.hue, 1.15, style.dash)
            draw_mark(paper, left + 10, y - 3, style)
            for name in names[1:]:
                y += key_line
                paper.text(left + 25, y, name, SMALL)
            y += key_line

    def _draw_key_line(
        self,
        paper: Paper,
        left: float,
        right: float,
        y: float,
        name: str,
        value: float | None,
        colour: Color,
        weight: float,
        dash: Sequence[float],
    ) -> None:
        paper.line(left, y - 3, left + 20, y - 3, colour, weight, dash)
        paper.text(left + 25, y, name, SMALL)
        paper.text(right, y, figure(value), SMALL_STRONG, INK, "right")


def _key_names(name: str) -> list[str]:
    """The board's name in lines that leave room for its value: a long name takes more lines."""
    room = _KEY - 10 - 26 - text_width("88.8", SMALL_STRONG.face, SMALL_STRONG.size) - 5
    return wrapped(_board_name(name), SMALL, room)


def _board_name(name: str) -> str:
    return name if "board" in name.casefold() else f"board {name}"


def draw_mark(paper: Paper, x: float, y: float, style: Style) -> None:
    """Disc, triangle up, square, diamond, triangle down, hexagon."""
    fill, stroke = (None, style.hue) if style.is_hollow else (style.hue, None)
    r = 2.4
    match style.mark:
        case 0:
            paper.disc(x, y, r, fill, stroke)
        case 1:
            paper.shape([(x, y - r * 1.2), (x + r * 1.15, y + r), (x - r * 1.15, y + r)], fill, stroke)
        case 2:
            paper.shape([(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)], fill, stroke)
        case 3:
            paper.diamond(x, y, r * 1.25, fill, stroke, 0.8)
        case 4:
            paper.shape([(x, y + r * 1.2), (x + r * 1.15, y - r), (x - r * 1.15, y - r)], fill, stroke)
        case _:
            corners = [
                (math.cos(math.pi * k / 3) * r * 1.1, math.sin(math.pi * k / 3) * r * 1.1) for k in range(6)
            ]
            paper.shape([(x + dx, y + dy) for dx, dy in corners], fill, stroke)


#: Percent, for the heading beside the figure.
UNIT = f"moisture content of the sample boards,{TIE}%"
