"""The axes of the curve: time in the charge's own zone, moisture with its unit on the top tick."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

import pyqtgraph as pg

from kilnlog.records.moment import zone_named

_HOUR = 3600
_DAY = 24 * _HOUR
#: Steps between time labels [s], finest first: whole hours of a day, then whole days.
_STEPS_S = (_HOUR, 3 * _HOUR, 6 * _HOUR, 12 * _HOUR, _DAY, 2 * _DAY, 4 * _DAY, 7 * _DAY, 14 * _DAY, 28 * _DAY)
_LEAST_PX = 68  # between labels
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


class TimeAxis(pg.AxisItem):
    """UTC seconds told by the clock of one zone. Days begin at that zone's midnight, summer time or not."""

    def __init__(self) -> None:
        super().__init__("bottom")
        self.enableAutoSIPrefix(False)
        self.setStyle(hideOverlappingLabels=False)  # the first label names the month and stands at the edge
        self._zone = "UTC"

    def set_zone(self, zone: str) -> None:
        """Tell times by this zone's clock."""
        if zone != self._zone:
            self._zone = zone
            self.picture = None
            self.update()

    def clock(self, at_s: float) -> str:
        """``07:44``: the time of an instant [UTC s]."""
        return f"{datetime.fromtimestamp(at_s, UTC).astimezone(zone_named(self._zone)):%H:%M}"

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """One level of ticks, as close as their labels allow."""
        if not high > low or size <= 0:
            return []
        wanted = (high - low) * _LEAST_PX / size
        step = next((one for one in _STEPS_S if one >= wanted), _STEPS_S[-1])
        return [(float(step), list(self._ticks(low, high, step)))]

    def _ticks(self, low: float, high: float, step: int) -> list[float]:
        zone = zone_named(self._zone)
        start = datetime.fromtimestamp(low, UTC).astimezone(zone).replace(tzinfo=None)
        midnight = start.replace(hour=0, minute=0, second=0, microsecond=0)
        if step >= _DAY:
            # Counted from a fixed day, so that ticks stay on their days while the view is moved.
            days = step // _DAY
            midnight -= timedelta(days=(midnight.toordinal() % days))
        ticks = []
        wall = midnight
        while (seconds := wall.replace(tzinfo=zone).timestamp()) <= high:
            if seconds >= low:
                ticks.append(seconds)
            wall += timedelta(seconds=step)
        return ticks

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """Hours within a day, else the day; the month where it begins, the year on the first label of one."""
        zone = zone_named(self._zone)
        written: list[str] = []
        before: datetime | None = None
        for value in values:
            local = datetime.fromtimestamp(value, UTC).astimezone(zone)
            if spacing < _DAY and (local.hour or local.minute):
                written.append(f"{local:%H:%M}")
            elif before is None or before.month != local.month or spacing < _DAY:
                year = f" {local.year}" if before is not None and before.year != local.year else ""
                written.append(f"{local.day} {_MONTHS[local.month - 1]}{year}")
            else:
                written.append(str(local.day))
            before = local
        return written


class MoistureAxis(pg.AxisItem):
    """Moisture content; no line of its own, the unit stands once, on the top tick."""

    def __init__(self) -> None:
        super().__init__("left")
        self.enableAutoSIPrefix(False)

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """One level of round values."""
        if not high > low or size <= 0:
            return []
        wanted = (high - low) * 42 / size
        step = next((one for one in (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0) if one >= wanted), 100.0)
        first = int(-(-low // step))
        count = int(high // step) - first + 1
        return [(step, [round((first + one) * step, 6) for one in range(max(0, count))])]

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """Figures, the last with the unit."""
        written = [f"{value:.{0 if spacing >= 1 else 1}f}" for value in values]
        return [*written[:-1], f"{written[-1]} %"] if written else []


class Ground(pg.UIGraphicsItem):
    """What lies under the lines: every second step tinted, horizontal rules at the moisture ticks.

    pyqtgraph's own grid costs 15 to 20 ms a repaint; this costs about one.
    """

    def __init__(self, axis: MoistureAxis) -> None:
        super().__init__()
        self._axis = axis
        self._pen: Any = pg.mkPen("k")
        self._tint: Any = pg.mkBrush("w")
        self._tinted: list[tuple[float, float]] = []
        self.setZValue(-100)

    def set_look(self, pen: Any, tint: Any, tinted: list[tuple[float, float]]) -> None:
        """Rule with this pen, and tint these spans of time [UTC s]."""
        self._pen, self._tint, self._tinted = pen, tint, tinted
        self.update()

    def paint(self, painter: Any, *_: Any) -> None:
        """The tinted spans, then a line at every tick."""
        bounds = self.boundingRect()
        for begin, end in self._tinted:
            left, right = max(begin, bounds.left()), min(end, bounds.right())
            if left < right:
                band = pg.QtCore.QRectF(left, bounds.top(), right - left, bounds.height())
                painter.fillRect(band, self._tint)
        levels = self._axis.tickValues(bounds.top(), bounds.bottom(), self._axis.height())
        values = levels[0][1] if levels else []
        if values:
            painter.setPen(self._pen)
            painter.drawLines(
                [pg.QtCore.QLineF(bounds.left(), value, bounds.right(), value) for value in values]
            )
