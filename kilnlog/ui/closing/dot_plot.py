"""Every reading a dot, pack by pack, between the limits; one outside is a hollow diamond with its figure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from kilnlog.drying.closing.figures import Limits, PackFigures, ReadingFigures, SeriesFigures
from kilnlog.drying.closing.statistics import as_shown, same_name, side_of
from kilnlog.logbook import figures
from kilnlog.logbook.close_out_words import between, shown_mc
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import GAP_4, GAP_8, Role

_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
_MIDDLE = int(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop)
_RADIUS, _STEP = 4.2, 11.0  # of a dot, and from dot to dot in a pile [px]
#: More packs than this move together, without their means beneath.
_MOST_IN_ROOM = 4
_MOST_TICKS = 9


@dataclass(frozen=True, slots=True)
class _Lane:
    name: str
    figures: PackFigures
    readings: tuple[ReadingFigures, ...]


class DotPlot(QWidget):
    """A picture of a series; what it shows is told in words to who cannot see it."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._lanes: tuple[_Lane, ...] = ()
        self._limits: Limits | None = None
        self._low, self._high, self._tick = 0.0, 1.0, 1.0
        self._edges = (0.0, 1.0)  # of the axis, as it is painted [px]
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        appearance.changed.connect(self._measure)

    def show_series(self, series: SeriesFigures | None, limits: Limits | None) -> None:
        """Show these readings, or nothing."""
        self._limits = limits
        self._lanes = tuple(_lanes(series)) if series is not None else ()
        self._span()
        self.setAccessibleName("Readings by pack")
        self.setAccessibleDescription("; ".join(self._told(lane) for lane in self._lanes))
        self._measure()

    def _told(self, lane: _Lane) -> str:
        outside = ", ".join(shown_mc(reading) for reading in lane.readings if self._is_outside(reading))
        limits = self._limits
        asked = between(limits.low_pct, limits.high_pct) if limits is not None else ""
        parts = (
            f"{lane.name or 'all'}: {figures.count(lane.figures.n, 'reading')}",
            _mean(lane, " %") if lane.figures.mean_pct is not None else "",
            f"outside {asked}: {outside}" if outside else "",
        )
        return ", ".join(part for part in parts if part)

    def _is_outside(self, reading: ReadingFigures) -> bool:
        if reading.over or reading.mc_pct is None:
            return True
        limits = self._limits
        return limits is not None and side_of(reading.mc_pct, limits.low_pct, limits.high_pct) != 0

    def _span(self) -> None:
        """The axis: all readings and limits with a point of room, in whole percents."""
        known = [reading.mc_pct for lane in self._lanes for reading in lane.readings]
        values = [value for value in known if value is not None]
        if self._limits is not None:
            values += [v for v in (self._limits.low_pct, self._limits.high_pct) if v is not None]
        if not values:
            return
        self._low, self._high = float(max(0, floor(min(values) - 0.3))), float(ceil(max(values) + 0.3))
        for tick in (0.5, 1.0, 2.0, 5.0, 10.0):
            self._tick = tick
            if (self._high - self._low) / tick <= _MOST_TICKS:
                break
        self._low = floor(self._low / self._tick) * self._tick
        self._high = ceil(self._high / self._tick) * self._tick

    def _measure(self) -> None:
        self.updateGeometry()
        self.update()

    @property
    def _factor(self) -> float:
        return self._appearance.sizes.px(Role.BODY) / 15

    def _names_h(self) -> float:
        """What name and mean of a lane ask."""
        names = QFontMetricsF(self._appearance.sizes.font(Role.BODY)).height()
        means = QFontMetricsF(self._appearance.sizes.font(Role.LABEL)).height()
        return names + (means if len(self._lanes) <= _MOST_IN_ROOM else 0) + 2

    def _axis_h(self) -> float:
        return QFontMetricsF(self._appearance.sizes.font(Role.TINY)).height() + 14

    def _lane_h(self) -> float:
        """What the page leaves to each lane."""
        return (self.height() - self._axis_h()) / max(1, len(self._lanes))

    def sizeHint(self) -> QSize:
        """Lanes as high as the highest pile asks, and the axis."""
        piles = [count for lane in self._lanes for count in _piles(lane.readings).values()]
        wanted = max(max(piles, default=1) * _STEP * self._factor + 18 * self._factor, self._names_h() + 6)
        most = 72.0 * self._factor if len(self._lanes) > 1 else 120.0 * self._factor
        lane_h = max(self._names_h(), min(wanted, most))
        return QSize(300, round(len(self._lanes) * lane_h + self._axis_h()) if self._lanes else 0)

    def minimumSizeHint(self) -> QSize:
        """Names and dots closer together."""
        names = QFontMetricsF(self._appearance.sizes.font(Role.BODY)).height() + 4
        height = len(self._lanes) * names + self._axis_h() if self._lanes else 0
        return QSize(200, round(height))

    def _x(self, value: float) -> float:
        left, right = self._edges
        return left + (value - self._low) / (self._high - self._low) * (right - left)

    def _find_edges(self) -> tuple[float, float]:
        """Asked once for a picture: it goes through every reading."""
        label = QFontMetricsF(self._appearance.sizes.font(Role.BODY))
        wide = max((label.horizontalAdvance(lane.name) for lane in self._lanes), default=0.0)
        means = QFontMetricsF(self._appearance.sizes.font(Role.LABEL))
        mean = max(
            (means.horizontalAdvance(_mean(lane)) for lane in self._lanes),
            default=means.horizontalAdvance("mean 88.8"),
        )
        over = any(reading.over for lane in self._lanes for reading in lane.readings)
        right_room = QFontMetricsF(self._appearance.sizes.font(Role.TINY)).horizontalAdvance("over 30")
        return min(self.width() * 0.3, max(wide, mean) + 22), self.width() - (
            right_room + 34 if over else 18.0
        )

    def paintEvent(self, event: QPaintEvent) -> None:
        """Limits, lanes, axis."""
        if not self._lanes:
            return
        self._edges = self._find_edges()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        lane_h = self._lane_h()
        bottom = 6 + lane_h * len(self._lanes)
        self._draw_limits(painter, bottom)
        for number, lane in enumerate(self._lanes):
            self._draw_lane(painter, lane, 6 + number * lane_h, lane_h)
        self._draw_axis(painter, bottom)

    def _draw_limits(self, painter: QPainter, bottom: float) -> None:
        limits, tokens = self._limits, self._appearance.tokens
        if limits is None or not limits.for_pieces:
            return
        left, right = self._edges
        low = left if limits.low_pct is None else self._x(limits.low_pct)
        high = right if limits.high_pct is None else self._x(limits.high_pct)
        painter.fillRect(QRectF(low, 0, high - low, bottom), tokens.colour("step_b"))
        painter.setPen(QPen(tokens.colour("ink"), 1.6))
        for value, x in ((limits.low_pct, low), (limits.high_pct, high)):
            if value is not None:
                painter.drawLine(QLineF(x, 0, x, bottom))

    def _draw_lane(self, painter: QPainter, lane: _Lane, top: float, lane_h: float) -> None:
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        left, right = self._edges
        base = top + lane_h
        painter.setPen(QPen(tokens.colour("rule"), 1))
        painter.drawLine(QLineF(left, base, right, base))
        self._draw_dots(painter, lane, base, lane_h)
        name, label = (QFontMetricsF(sizes.font(role)).height() for role in (Role.BODY, Role.LABEL))
        with_mean = len(self._lanes) <= _MOST_IN_ROOM and lane_h >= self._names_h()
        y = base - name - (label if with_mean else 0) - 2
        painter.setFont(sizes.font(Role.BODY))
        painter.setPen(tokens.colour("ink"))
        text = QFontMetricsF(painter.font()).elidedText(lane.name, Qt.TextElideMode.ElideRight, left - GAP_8)
        painter.drawText(QRectF(0, y, left, name), _LEFT, text)
        if lane.figures.mean_pct is None:
            return
        if with_mean:
            painter.setFont(sizes.font(Role.LABEL))
            painter.setPen(tokens.colour("pencil"))
            painter.drawText(QRectF(0, y + name, left, label), _LEFT, _mean(lane))
        x = self._x(lane.figures.mean_pct)
        painter.setPen(QPen(tokens.colour("pencil"), 2))
        painter.drawLine(QLineF(x, base - 9 * self._factor, x, base))

    def _draw_dots(self, painter: QPainter, lane: _Lane, base: float, lane_h: float) -> None:
        """Piled by what is shown, to 0.1 %; a pile that finds no room stands closer."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        radius, step = _RADIUS * self._factor, _STEP * self._factor
        piles = _piles(lane.readings)
        foot = base - 12 * self._factor - radius / 2
        room = lane_h - 14 * self._factor
        said: set[str] = set()
        placed: dict[str, int] = {}
        for reading in lane.readings:
            shown = _shown(reading)
            place = placed[shown] = placed.get(shown, -1) + 1
            close = min(step, room / max(1, piles[shown]))
            x = self._x(float(as_shown(reading.mc_pct))) if reading.mc_pct is not None else self.width() - 8.0
            y = foot - place * close
            if not self._is_outside(reading):
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(QBrush(tokens.colour("ink")))
                painter.drawEllipse(QPointF(x, y), radius, radius)
                continue
            size = radius + 1.6
            painter.setPen(QPen(tokens.colour("look"), 1.6))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPolygon(
                QPolygonF(
                    [QPointF(x, y - size), QPointF(x + size, y), QPointF(x, y + size), QPointF(x - size, y)]
                )
            )
            if shown in said:
                continue
            said.add(shown)
            painter.setFont(sizes.font(Role.TINY))
            metrics = QFontMetricsF(painter.font())
            text = "over 30" if reading.over else figures.mc(reading.mc_pct)
            width = metrics.horizontalAdvance(text)
            right_of = x + size + GAP_4
            at = right_of if right_of + width <= self.width() else x - size - GAP_4 - width
            painter.drawText(QRectF(at, y - metrics.height() / 2, width + 2, metrics.height()), _LEFT, text)

    def _draw_axis(self, painter: QPainter, bottom: float) -> None:
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        left, right = self._edges
        painter.setPen(QPen(tokens.colour("edge"), 1))
        painter.drawLine(QLineF(left, bottom, right, bottom))
        painter.setFont(sizes.font(Role.TINY))
        height = QFontMetricsF(painter.font()).height()
        for number in range(round((self._high - self._low) / self._tick) + 1):
            value = self._low + number * self._tick
            x = self._x(value)
            painter.setPen(QPen(tokens.colour("edge"), 1))
            painter.drawLine(QLineF(x, bottom, x, bottom + 5))
            if self._tick < 1 and value % 1:
                continue  # between whole percents a tick says enough
            unit = " %" if number == 0 else ""
            painter.setPen(tokens.colour("ink2"))
            painter.drawText(
                QRectF(x - 40, bottom + 6, 80, height), _MIDDLE, f"{figures.trimmed(value)}{unit}"
            )


def _lanes(series: SeriesFigures) -> Sequence[_Lane]:
    if not series.packs:
        return (_Lane("", series.whole, series.readings),)
    return [
        _Lane(
            f"pack {pack.pack}" if pack.pack else "no pack",
            pack,
            tuple(one for one in series.readings if same_name(one.pack) == same_name(pack.pack)),
        )
        for pack in series.packs
    ]


def _mean(lane: _Lane, unit: str = "") -> str:
    """``mean 8.0``; ``mean 8.0 of 4`` where readings over the range are not in it."""
    of = f" of {lane.figures.n - lane.figures.over}" if lane.figures.over else ""
    return f"mean {figures.mc(lane.figures.mean_pct)}{unit}{of}"


def _shown(reading: ReadingFigures) -> str:
    return "over" if reading.mc_pct is None else str(as_shown(reading.mc_pct))


def _piles(readings: Sequence[ReadingFigures]) -> dict[str, int]:
    piles: dict[str, int] = {}
    for reading in readings:
        piles[_shown(reading)] = piles.get(_shown(reading), 0) + 1
    return piles
