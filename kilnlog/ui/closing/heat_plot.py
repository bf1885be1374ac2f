"""What the probes showed over time, against the threshold, the longest unbroken time behind them."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor, log10

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.heat import moment_of
from kilnlog.logbook.heat_seen import HeatSeen, Trace, extent_s, warmth
from kilnlog.logbook.heat_words import probe_words_of, verdict_words
from kilnlog.records.moment import Moment
from kilnlog.records.words import ProbePlace
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import GAP_4, GAP_8, GAP_16, Role

_MINUTE, _HOUR, _DAY = 60.0, 3600.0, 86400.0
_STEPS_S = (
    *(n * _MINUTE for n in (5, 10, 15, 30)),
    *(n * _HOUR for n in (1, 2, 3, 6, 12)),
    *(n * _DAY for n in (1, 2, 4, 7, 14, 28)),
)
_STEPS = (1.0, 2.0, 5.0, 10.0)
#: As for boards on the drying curve.
_DASHES = ((), (7, 3), (7, 3, 1.5, 3), (1.5, 2.5), (11, 3), (4, 2, 1, 2, 1, 2))
#: At the regular size [px].
_HEIGHT = 168
_MOST_LEVELS = 5


class HeatPlot(QWidget):
    """A picture; what it shows is told in words to who cannot see it."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._seen: HeatSeen | None = None
        self._zone = "UTC"
        self._time = (0.0, 1.0)
        self._warm = (0.0, 1.0)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Probes over time")
        appearance.changed.connect(self._measure)

    def show_seen(self, seen: HeatSeen | None, zone: str) -> None:
        """Draw this."""
        self._seen, self._zone = seen, zone
        told = []
        if seen is not None and (time := extent_s(seen.traces)) is not None:
            low, high = warmth(seen.traces) or (0.0, 1.0)
            if seen.asked is not None:
                low, high = min(low, seen.asked.at_least), max(high, seen.asked.at_least)
            room = max(1.0, 0.06 * (high - low))
            self._time = (time[0], max(time[1], time[0] + 1))
            self._warm = (low - room, high + room)
            told = [probe_words_of(trace.name, trace.placed_in) for trace in seen.traces]
            if seen.interval is not None:
                told.append(verdict_words(seen.interval, zone))
        self.setAccessibleDescription("; ".join(told))
        self._measure()

    def _measure(self) -> None:
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Nothing where there is nothing to draw."""
        drawn = self._seen is not None and extent_s(self._seen.traces) is not None
        factor = self._appearance.sizes.px(Role.LABEL) / 13
        return QSize(200, round(_HEIGHT * factor) if drawn else 0)

    @property
    def _labels(self) -> QFontMetricsF:
        return QFontMetricsF(self._appearance.sizes.font(Role.LABEL))

    def _box(self) -> QRectF:
        labels = self._labels
        names = [self._name(trace) for trace in self._seen.traces] if self._seen is not None else []
        right = max((labels.horizontalAdvance(name) for name in names), default=0) + GAP_8
        left = labels.horizontalAdvance("188 °F") + GAP_8
        return QRectF(self.rect()).adjusted(left, labels.height() / 2, -right, -labels.height() - GAP_8)

    @staticmethod
    def _name(trace: Trace) -> str:
        return trace.name if trace.placed_in is ProbePlace.CORE else f"{trace.name}, air"

    def paintEvent(self, event: QPaintEvent) -> None:
        """Grid, longest time, lines, threshold, names."""
        seen = self._seen
        if seen is None or extent_s(seen.traces) is None:
            return
        painter = QPainter(self)
        box = self._box()
        self._longest(painter, box, seen)
        self._grid(painter, box, seen)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ends: list[tuple[float, str, str]] = []
        for number, trace in enumerate(seen.traces):
            colour = self._appearance.tokens.boards[number % 6]
            self._line(painter, box, trace, number, colour)
            if trace.strokes:
                ends.append(
                    (self._y(box, float(trace.strokes[-1].temperature[-1])), self._name(trace), colour)
                )
        self._threshold(painter, box, seen)
        self._names(painter, box, ends)

    def _x(self, box: QRectF, at_s: float) -> float:
        first, last = self._time
        return box.left() + (at_s - first) / (last - first) * box.width()

    def _y(self, box: QRectF, temperature: float) -> float:
        low, high = self._warm
        return box.bottom() - (temperature - low) / (high - low) * box.height()

    def _longest(self, painter: QPainter, box: QRectF, seen: HeatSeen) -> None:
        if seen.interval is None or seen.interval.longest is None:
            return
        run = seen.interval.longest
        left, right = self._x(box, run.from_s), self._x(box, run.until_s)
        band = QRectF(left, box.top(), max(1.0, right - left), box.height())
        painter.fillRect(band, self._appearance.tokens.colour("step_b"))
        painter.setPen(QPen(self._appearance.tokens.colour("edge"), 1))
        for x in (left, right):
            painter.drawLine(QLineF(x, box.top(), x, box.bottom()))

    def _grid(self, painter: QPainter, box: QRectF, seen: HeatSeen) -> None:
        tokens, labels = self._appearance.tokens, self._labels
        painter.setFont(self._appearance.sizes.font(Role.LABEL))
        levels = list(self._levels())
        for number, level in enumerate(levels):
            y = round(self._y(box, level)) + 0.5
            painter.setPen(QPen(tokens.colour("rule"), 1))
            painter.drawLine(QLineF(box.left(), y, box.right(), y))
            painter.setPen(tokens.colour("ink2"))
            unit = f" °{seen.unit.value}" if number == len(levels) - 1 else ""
            room = QRectF(0, y - labels.height() / 2, box.left() - GAP_4, labels.height())
            # The unit stands once, on the top level.
            painter.drawText(room, int(Qt.AlignmentFlag.AlignRight), figures.trimmed(level) + unit)
        painter.setPen(QPen(tokens.colour("edge"), 1))
        painter.drawLine(QLineF(box.left(), box.bottom(), box.right(), box.bottom()))
        for at_s, text in self._ticks(box.width()):
            x = self._x(box, at_s)
            painter.setPen(QPen(tokens.colour("edge"), 1))
            painter.drawLine(QLineF(x, box.bottom(), x, box.bottom() + GAP_4))
            painter.setPen(tokens.colour("ink2"))
            width = labels.horizontalAdvance(text)
            left = min(max(0.0, x - width / 2), self.width() - width)
            painter.drawText(QPointF(left, box.bottom() + GAP_4 + labels.ascent() + 1), text)

    def _levels(self) -> Iterator[float]:
        low, high = self._warm
        rough = (high - low) / _MOST_LEVELS
        power = 10 ** floor(log10(rough))
        step = next(one * power for one in _STEPS if one * power >= rough)
        for number in range(ceil(low / step), floor(high / step) + 1):
            yield number * step

    def _ticks(self, width: float) -> Iterator[tuple[float, str]]:
        """Round times of the charge's own clock."""
        first, last = self._time
        wanted = (last - first) * self._labels.horizontalAdvance("20 May, 10:30 ") / max(1.0, width)
        step = next((one for one in _STEPS_S if one >= wanted), _STEPS_S[-1])
        offset = moment_of(first, self._zone).local.utcoffset()
        shift = offset.total_seconds() if offset is not None else 0.0
        at_s = ceil((first + shift) / step) * step - shift
        before: Moment | None = None
        while at_s <= last:
            moment = moment_of(at_s, self._zone)
            day = figures.day(moment, before or moment)
            new_day = before is None or before.local.date() != moment.local.date()
            clock = f"{moment.local:%H:%M}"
            yield at_s, day if step >= _DAY else f"{day}, {clock}" if new_day else clock
            before = moment
            at_s += step

    def _line(self, painter: QPainter, box: QRectF, trace: Trace, number: int, colour: str) -> None:
        pen = QPen(colour)
        pen.setWidthF(1.1 if trace.placed_in is ProbePlace.AIR else 1.8)
        if dash := _DASHES[number % len(_DASHES)]:
            pen.setDashPattern([length / pen.widthF() for length in dash])
        for stroke in trace.strokes:
            points = [
                QPointF(self._x(box, at_s), self._y(box, temperature))
                for at_s, temperature in zip(stroke.at_s.tolist(), stroke.temperature.tolist(), strict=True)
            ]
            painter.setPen(pen)
            painter.drawPolyline(QPolygonF(points))
            if len(points) == 1:
                painter.drawEllipse(points[0], 2.4, 2.4)

    def _threshold(self, painter: QPainter, box: QRectF, seen: HeatSeen) -> None:
        if seen.asked is None:
            return
        y = self._y(box, seen.asked.at_least)
        pen = QPen(self._appearance.tokens.colour("ink"), 1.2)
        pen.setDashPattern([9 / 1.2, 4 / 1.2])
        painter.setPen(pen)
        painter.drawLine(QLineF(box.left(), y, box.right(), y))
        painter.setPen(self._appearance.tokens.colour("ink"))
        text = f"{figures.trimmed(seen.asked.at_least)} °{seen.unit.value}"
        painter.drawText(QPointF(box.left() + GAP_16, y - GAP_4), text)

    def _names(self, painter: QPainter, box: QRectF, ends: list[tuple[float, str, str]]) -> None:
        """At the right end of each line, moved apart where they would cover one another."""
        labels = self._labels
        room, y_before = labels.height() * 0.95, -1e9
        for y, name, colour in sorted(ends):
            y_before = max(y, y_before + room)
            painter.setPen(QPen(colour))
            painter.drawText(QPointF(box.right() + GAP_4, y_before + labels.ascent() / 2 - 1), name)
