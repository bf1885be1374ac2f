"""The phases of a charge as a line of stops: filled where passed, open where still to come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import Role

_STOP = 5.2  # radius


@dataclass(frozen=True, slots=True)
class Phase:
    """One stop. ``now`` is the phase the charge is in."""

    name: str
    under: str = ""
    passed: bool = False
    now: bool = False


class PhaseLine(QWidget):
    """The stops from left to right; the "here" triangle stands after the phase that runs."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._phases: tuple[Phase, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        appearance.changed.connect(self._measure)

    def set_phases(self, phases: Sequence[Phase]) -> None:
        """Show these stops."""
        self._phases = tuple(phases)
        self.setAccessibleName(
            "phases: " + ", ".join(" ".join((p.name, p.under, "(now)" if p.now else "")) for p in phases)
        )
        self.update()

    def _measure(self) -> None:
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """The line and two texts under it."""
        sizes = self._appearance.sizes
        body = QFontMetricsF(sizes.font(Role.BODY)).height()
        tiny = QFontMetricsF(sizes.font(Role.TINY)).height()
        return QSize(340, round(2 * _STOP + 8 + body + tiny))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Line, stops, names, dates."""
        if not self._phases:
            return
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        y = _STOP + 2
        last = len(self._phases) - 1
        body, strong = sizes.font(Role.BODY), sizes.font(Role.STRONG)
        tail = QFontMetricsF(body).horizontalAdvance(self._phases[last].name)
        left, right = _STOP + 2, self.width() - max(tail / 2, _STOP) - 2
        stops = [left + (right - left) * n / max(1, last) for n in range(last + 1)]
        self._draw_line(painter, stops, y)
        for n, (phase, x) in enumerate(zip(self._phases, stops, strict=True)):
            reached = phase.passed or phase.now
            painter.setPen(QPen(tokens.colour("pencil" if reached else "edge"), 2))
            painter.setBrush(QBrush(tokens.colour("pencil" if reached else "sheet")))
            painter.drawEllipse(
                QPointF(x, y), _STOP - 1 * (not reached) + 0.4, _STOP - 1 * (not reached) + 0.4
            )
            font = strong if phase.now else body
            width = max(
                QFontMetricsF(font).horizontalAdvance(phase.name),
                QFontMetricsF(sizes.font(Role.TINY)).horizontalAdvance(phase.under),
            )
            start = 0.0 if n == 0 else min(x - width / 2, self.width() - width)
            top = y + _STOP + 4
            height = QFontMetricsF(font).height()
            painter.setFont(font)
            painter.setPen(tokens.colour("ink" if reached else "ink2"))
            painter.drawText(
                QRectF(start, top, width + 8, height), int(Qt.AlignmentFlag.AlignLeft), phase.name
            )
            painter.setFont(sizes.font(Role.TINY))
            painter.setPen(tokens.colour("ink2"))
            under = QRectF(start, top + height - 1, width + 40, height)
            painter.drawText(under, int(Qt.AlignmentFlag.AlignLeft), phase.under)

    def _draw_line(self, painter: QPainter, stops: list[float], y: float) -> None:
        tokens = self._appearance.tokens
        painter.setPen(QPen(tokens.colour("edge"), 1.3))
        painter.drawLine(QLineF(stops[0], y, stops[-1], y))
        reached = [x for phase, x in zip(self._phases, stops, strict=True) if phase.passed or phase.now]
        if not reached:
            return
        end = reached[-1]
        running = next((n for n, phase in enumerate(self._phases) if phase.now), None)
        if running is not None and running < len(stops) - 1:
            end = stops[running] + (stops[running + 1] - stops[running]) * 0.56
        painter.setPen(QPen(tokens.colour("pencil"), 3))
        painter.drawLine(QLineF(stops[0], y, end, y))
        if running is not None and running < len(stops) - 1:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QBrush(tokens.colour("focus")))
            painter.drawPolygon(QPolygonF([QPointF(end, y - 5), QPointF(end + 8, y), QPointF(end, y + 5)]))
