"""How each board's line is drawn: hue, dashes and marker together, so that none of them is needed alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainterPath, QPen, QPolygonF

from kilnlog.ui.look.tokens import Tokens

_DASHES: tuple[tuple[float, ...], ...] = (
    (),
    (7, 3),
    (7, 3, 1.5, 3),
    (1.5, 2.5),
    (11, 3),
    (4, 2, 1, 2, 1, 2),
    (9, 3, 3, 3),
    (3, 2),
)
MARKER_PX = 6.5
FEEDS_W, OTHERS_W, CONTROL_W = 1.6, 1.1, 3.4


def _polygon(*points: tuple[float, float]) -> QPainterPath:
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(x, y) for x, y in points]))
    path.closeSubpath()
    return path


def _disc() -> QPainterPath:
    path = QPainterPath()
    path.addEllipse(QPointF(0, 0), 0.5, 0.5)
    return path


#: Unit shapes; y grows downwards.
MARKERS: tuple[QPainterPath, ...] = (
    _disc(),
    _polygon((0, -0.58), (0.55, 0.42), (-0.55, 0.42)),
    _polygon((-0.46, -0.46), (0.46, -0.46), (0.46, 0.46), (-0.46, 0.46)),
    _polygon((0, -0.6), (0.6, 0), (0, 0.6), (-0.6, 0)),
    _polygon((0, 0.58), (0.55, -0.42), (-0.55, -0.42)),
    _polygon((-0.5, 0), (-0.25, -0.45), (0.25, -0.45), (0.5, 0), (0.25, 0.45), (-0.25, 0.45)),
)


@dataclass(frozen=True)
class LineStyle:
    """One board's drawing; ``hollow`` tells a second board of the same hue from the first."""

    colour: str
    dashes: tuple[float, ...]
    marker: QPainterPath
    hollow: bool

    def pen(self, width: float) -> QPen:
        """The pen of its line [px]; dashes keep their length whatever the width."""
        pen = QPen(pg.mkColor(self.colour), width)
        pen.setCosmetic(True)
        if self.dashes:
            pen.setDashPattern([dash / width for dash in self.dashes])
        return pen

    def marker_pen(self) -> Any:
        """The outline of its marker."""
        return pg.mkPen(self.colour, width=1.2)

    def marker_brush(self, tokens: Tokens) -> Any:
        """Filled with its hue, or with the sheet where hollow."""
        return pg.mkBrush(tokens.sheet if self.hollow else self.colour)


def style_of(number: int, tokens: Tokens) -> LineStyle:
    """The style of the ``number``-th board in walking order, from 0."""
    hues = tokens.boards
    return LineStyle(
        colour=hues[number % len(hues)],
        dashes=_DASHES[number % len(_DASHES)],
        marker=MARKERS[number % len(MARKERS)],
        hollow=number // len(hues) % 2 == 1,
    )
