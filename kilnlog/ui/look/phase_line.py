"""The phases of a charge as a line of stops: filled where passed, open where still to come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QFont, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import Role

_STOP = 5.2  # radius
_APART = 6.0  # between two texts, at least


@dataclass(frozen=True, slots=True)
class Phase:
    """One stop. ``now`` is the phase the charge is in."""

    name: str
    under: str = ""
    passed: bool = False
    now: bool = False


@dataclass(frozen=True, slots=True)
class Span:
    """Where a text stands along the line [px]."""

    begin: float
    width: float

    @property
    def end(self) -> float:
        """Where it ends."""
        return self.begin + self.width


@dataclass(frozen=True, slots=True)
class Place:
    """One stop, its name, and what stands under that; None: nothing, or no room."""

    stop: float
    name: Span
    under: Span | None


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
        places = self.places()
        self._draw_line(painter, [place.stop for place in places], y)
        for phase, place in zip(self._phases, places, strict=True):
            reached = phase.passed or phase.now
            painter.setPen(QPen(tokens.colour("pencil" if reached else "edge"), 2))
            painter.setBrush(QBrush(tokens.colour("pencil" if reached else "sheet")))
            radius = _STOP - 1 * (not reached) + 0.4
            painter.drawEllipse(QPointF(place.stop, y), radius, radius)
            font = self._font(phase)
            metrics = QFontMetricsF(font)
            top, height = y + _STOP + 4, metrics.height()
            painter.setFont(font)
            painter.setPen(tokens.colour("ink" if reached else "ink2"))
            name = metrics.elidedText(phase.name, Qt.TextElideMode.ElideRight, place.name.width + 1)
            _write(painter, place.name, top, height, name)
            if place.under is not None:
                painter.setFont(sizes.font(Role.TINY))
                painter.setPen(tokens.colour("ink2"))
                _write(painter, place.under, top + height - 1, height, phase.under)

    def _font(self, phase: Phase) -> QFont:
        return self._appearance.sizes.font(Role.STRONG if phase.now else Role.BODY)

    def places(self) -> list[Place]:
        """Where each stop and its texts stand, none upon another.

        Each phase takes the room of its wider text. Where the line is too short for that, the names share it,
        and of the dates the first and the last stand, and those between where there is room.
        """
        tiny = QFontMetricsF(self._appearance.sizes.font(Role.TINY))
        names = [QFontMetricsF(self._font(one)).horizontalAdvance(one.name) for one in self._phases]
        unders = [tiny.horizontalAdvance(one.under) for one in self._phases]
        many = len(names)
        needs = [max(pair) for pair in zip(names, unders, strict=True)]
        if sum(needs) + _APART * (many - 1) > self.width():
            needs = names
        if sum(needs) + _APART * (many - 1) > self.width():
            share = (self.width() - _APART * (many - 1)) / many
            names = needs = [min(name, share) for name in names]
        apart = (self.width() - sum(needs)) / max(1, many - 1)
        places: list[Place] = []
        x = 0.0
        for n, need in enumerate(needs):
            stop = _STOP + 2 if n == 0 else x + need / 2
            name = self._span(stop, names[n], n)
            places.append(Place(stop, name, self._span(stop, unders[n], n) if unders[n] else None))
            x += need + apart
        return _without_clashes(places)

    def _span(self, stop: float, width: float, n: int) -> Span:
        """A text under its stop, within the line; the first begins where the line does."""
        begin = 0.0 if n == 0 else max(0.0, min(stop - width / 2, self.width() - width))
        return Span(begin, width)

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


def _write(painter: QPainter, span: Span, top: float, height: float, text: str) -> None:
    box = QRectF(span.begin, top, span.width + 8, height)
    painter.drawText(box, int(Qt.AlignmentFlag.AlignLeft) | int(Qt.TextFlag.TextSingleLine), text)


def _without_clashes(places: list[Place]) -> list[Place]:
    """The same, without what would stand upon the text before it or upon the last one."""
    last, end = places[-1].under, 0.0
    kept: list[Place] = []
    for n, place in enumerate(places):
        under = place.under
        is_last = n == len(places) - 1
        if under is not None and n > 0:
            runs_into_last = last is not None and not is_last and under.end + _APART > last.begin
            if under.begin < end + _APART or runs_into_last:
                under = None
        if under is not None:
            end = under.end
        kept.append(replace(place, under=under))
    return kept
