"""The lane of events above the air, and the hatching where nobody recorded it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPolygonF

from kilnlog.drying.air.lines import Hole
from kilnlog.ui.drying_curve.free_places import Box
from kilnlog.ui.kiln_air.curve_lines import ShownEvent
from kilnlog.ui.kiln_air.line_names import Panel
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import GAP_4, GAP_12, Role

_TRIANGLE_PX = 8
#: Narrower than this a hole is a break in the line and no more [px].
_HATCHED_FROM_PX = 3
#: Events closer than this are told together, behind the last of them [px]; of no more than so many.
_TOGETHER_PX, _TOLD_TOGETHER = 24, 3
_SILENT = "no record"
#: Of so many holes it is told how long they were, the longest first.
_HOLES_TOLD = 12


class Lane(pg.UIGraphicsItem):
    """Events as small triangles with their words where they do not run into the next; holes as hatching.

    It paints in pixels of its own: a few dozen words are cheaper drawn than kept as items.
    """

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._events: Sequence[ShownEvent] = ()
        self._holes: Sequence[Hole] = ()
        self._tinted: Sequence[tuple[float, float]] = ()
        self._tinted_px: list[tuple[float, float]] = []
        self._told: Sequence[tuple[str, Box]] = ()
        self.setZValue(15)

    def show_all(
        self, events: Sequence[ShownEvent], holes: Sequence[Hole], tinted: Sequence[tuple[float, float]] = ()
    ) -> None:
        """Show these, in order of time, over a ground that is tinted so [UTC s]."""
        self._events, self._holes, self._tinted = events, holes, tinted
        self.update()

    @staticmethod
    def height(appearance: Appearance) -> float:
        """The room the lane takes above the air [px]."""
        return QFontMetricsF(appearance.sizes.font(Role.LABEL)).height() + GAP_12

    def paint(self, painter: Any, *_: Any) -> None:
        """Hatching under everything, then the events."""
        bounds = self.boundingRect()
        to_px = painter.worldTransform()
        painter.save()
        painter.resetTransform()
        # With y upwards in the view, the bottom of its rectangle is the top of the screen.
        page = to_px.mapRect(bounds)
        for hole in self._holes:
            self._hatch(painter, hole, to_px, page)
        painter.setFont(self._appearance.sizes.font(Role.LABEL))
        self._write_holes(painter, page)
        self._tinted_px = [
            (to_px.map(QPointF(begin, 0)).x(), to_px.map(QPointF(end, 0)).x()) for begin, end in self._tinted
        ]
        self._write_events(painter, to_px, page)
        painter.restore()

    def hatched(self, panel: Panel) -> list[Box]:
        """What of the panel is hatched."""
        edges = (self._edges(hole, panel) for hole in self._holes)
        return [
            Box(left, 0, right - left, panel.height)
            for left, right in edges
            if right - left >= _HATCHED_FROM_PX
        ]

    def longest_holes(self, panel: Panel) -> list[tuple[float, float, str]]:
        """The holes of which it is told how long they were: their edges [px] and the words, longest first."""
        edges = [(*self._edges(hole, panel), hole.hours) for hole in self._holes]
        shown = [one for one in edges if one[1] - one[0] >= _HATCHED_FROM_PX]
        longest = sorted(shown, key=lambda one: one[2], reverse=True)[:_HOLES_TOLD]
        return [(left, right, f"{_SILENT}, {told_length(hours)}") for left, right, hours in longest]

    def tell_holes(self, told: Sequence[tuple[str, Box]]) -> None:
        """Write these words at these places [px]."""
        self._told = told
        self.update()

    @staticmethod
    def _edges(hole: Hole, panel: Panel) -> tuple[float, float]:
        return max(0.0, float(panel.x(hole.from_s))), min(panel.width, float(panel.x(hole.until_s)))

    def _hatch(self, painter: Any, hole: Hole, to_px: Any, page: QRectF) -> None:
        left = to_px.map(QPointF(hole.from_s, 0)).x()
        right = to_px.map(QPointF(hole.until_s, 0)).x()
        left, right = max(left, page.left()), min(right, page.right())
        if right - left < _HATCHED_FROM_PX:
            return
        tokens = self._appearance.tokens
        box = QRectF(left, page.top(), right - left, page.height())
        painter.fillRect(box, tokens.colour("sheet"))
        painter.fillRect(box, QBrush(tokens.colour("edge"), Qt.BrushStyle.BDiagPattern))

    def _write_holes(self, painter: Any, page: QRectF) -> None:
        painter.setPen(self._appearance.tokens.colour("ink2"))
        for words, box in self._told:
            place = QRectF(page.left() + box.left, page.top() + box.top, box.width, box.height)
            painter.drawText(place, int(Qt.AlignmentFlag.AlignCenter), words)

    def _write_events(self, painter: Any, to_px: Any, page: QRectF) -> None:
        tokens = self._appearance.tokens
        metrics = QFontMetricsF(painter.font())
        places = [to_px.map(QPointF(event.at_s, 0)).x() for event in self._events]
        middle = page.top() + self.height(self._appearance) / 2
        half = _TRIANGLE_PX / 2
        written_to = page.left()
        pending: list[str] = []  # words of events that stand too close to the next one for words between
        first_x = 0.0
        for number, (event, x) in enumerate(zip(self._events, places, strict=True)):
            if not page.left() - half <= x <= page.right() + half:
                continue
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(tokens.colour("ink2"))
            painter.drawPolygon(
                QPolygonF(
                    [
                        QPointF(x - half, middle - half),
                        QPointF(x + half, middle - half),
                        QPointF(x, middle + half),
                    ]
                )
            )
            following = places[number + 1] if number + 1 < len(places) else page.right()
            first_x = first_x if pending else x
            pending.append(event.words)
            if len(pending) < _TOLD_TOGETHER and following - x < _TOGETHER_PX and following <= page.right():
                continue
            words, pending = ", ".join(pending), []
            room = min(following, page.right()) - x - half - GAP_12
            width, gap = metrics.horizontalAdvance(words), half + GAP_4 + 2
            painter.setPen(tokens.colour("ink2"))
            baseline = middle + metrics.capHeight() / 2
            if width <= room:
                self._write(painter, x + gap, baseline, words)
                written_to = x + gap + width
            elif first_x - gap - width >= written_to + GAP_4:
                self._write(painter, first_x - gap - width, baseline, words)
                written_to = x + half
            else:
                written_to = x + half

    def _write(self, painter: Any, x: float, baseline: float, words: str) -> None:
        """Over a line that leaves the scale and runs through the lane, words stand on paper of their own."""
        metrics = QFontMetricsF(painter.font())
        box = QRectF(
            x - 2, baseline - metrics.ascent(), metrics.horizontalAdvance(words) + 4, metrics.height()
        )
        painter.fillRect(box, self._ground_at(box.center().x()))
        painter.drawText(QPointF(x, baseline), words)

    def _ground_at(self, x: float) -> QColor:
        is_tinted = any(left <= x <= right for left, right in self._tinted_px)
        return self._appearance.tokens.colour("step_b" if is_tinted else "sheet")


def told_length(hours: float) -> str:
    """``14 h 10 min``, ``3 days 4 h``, ``25 min``."""
    minutes = round(hours * 60)
    days, rest = divmod(minutes, 24 * 60)
    whole_hours, minutes = divmod(rest, 60)
    parts = [f"{days} {'day' if days == 1 else 'days'}"] if days else []
    parts += [f"{whole_hours} h"] if whole_hours else []
    parts += [f"{minutes} min"] if minutes and not days else []
    return " ".join(parts) or "a minute"
