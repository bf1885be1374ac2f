"""The lane of events above the air, and the hatching where nobody recorded it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QFontMetricsF, QPolygonF

from kilnlog.drying.air.lines import Hole
from kilnlog.ui.kiln_air.curve_lines import ShownEvent
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import GAP_4, GAP_12, Role

_TRIANGLE_PX = 8
#: Narrower than this a hole is a break in the line and no more [px].
_HATCHED_FROM_PX = 3
#: Events closer than this are told together, behind the last of them [px]; of no more than so many.
_TOGETHER_PX, _TOLD_TOGETHER = 24, 3
_SILENT = "no record"


class Lane(pg.UIGraphicsItem):
    """Events as small triangles with their words where they do not run into the next; holes as hatching.

    It paints in pixels of its own: a few dozen words are cheaper drawn than kept as items.
    """

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._events: Sequence[ShownEvent] = ()
        self._holes: Sequence[Hole] = ()
        self.setZValue(15)

    def show_all(self, events: Sequence[ShownEvent], holes: Sequence[Hole]) -> None:
        """Show these, in order of time."""
        self._events, self._holes = events, holes
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
        self._write_events(painter, to_px, page)
        painter.restore()

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
        font = self._appearance.sizes.font(Role.LABEL)
        metrics = QFontMetricsF(font)
        words = f"{_SILENT}, {told_length(hole.hours)}"
        width = metrics.horizontalAdvance(words) + 2 * GAP_4
        at = left - width if left - width >= page.left() else min(right, page.right() - width)
        label = QRectF(at, page.bottom() - metrics.height() - GAP_4, width, metrics.height())
        painter.fillRect(label, tokens.colour("sheet"))
        painter.setFont(font)
        painter.setPen(tokens.colour("ink2"))
        painter.drawText(label, int(Qt.AlignmentFlag.AlignCenter), words)

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
                painter.drawText(QPointF(x + gap, baseline), words)
                written_to = x + gap + width
            elif first_x - gap - width >= written_to + GAP_4:
                painter.drawText(QPointF(first_x - gap - width, baseline), words)
                written_to = x + half
            else:
                written_to = x + half


def told_length(hours: float) -> str:
    """``14 h 10 min``, ``3 days 4 h``, ``25 min``."""
    minutes = round(hours * 60)
    days, rest = divmod(minutes, 24 * 60)
    whole_hours, minutes = divmod(rest, 60)
    parts = [f"{days} {'day' if days == 1 else 'days'}"] if days else []
    parts += [f"{whole_hours} h"] if whole_hours else []
    parts += [f"{minutes} min"] if minutes and not days else []
    return " ".join(parts) or "a minute"
